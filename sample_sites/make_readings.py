"""Make the crew's readings of the sample sites: invented, the same bytes every time.

Run ``python sample_sites/make_readings.py``; it writes for each site

* ``asbuilt.csv``: tapes, levels and bearings between the anchors once they are in,
* ``plumb.csv``: the lean of the mast as seen from its sides;

and for the flat yard ``asbuilt_slip.csv``, the same readings with one tape typed a metre wrong.

The true places of the anchor eyes below are made up, some centimetres off the plan of the site
file. Every reading is what a perfect instrument would show, plus noise from a fixed seed, rounded
as a crew writes it down.
"""

import csv
import math
import sys
from collections.abc import Callable, Iterable
from fractions import Fraction
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

Array = NDArray[np.float64]
Places = dict[str, Array]
Row = dict[str, str]

HERE = Path(__file__).resolve().parent
SEED = 20260615

SIDES = ("front", "right", "back", "left")
SPOKES = [("hinge", side) for side in SIDES]
RING = [("front", "right"), ("right", "back"), ("back", "left"), ("left", "front")]
ACROSS = [("front", "back"), ("right", "left")]

TAPE, LEVEL, COMPASS = 0.010, 0.005, 0.4  # noise, before rounding: [m], [m], [degrees]

YARD = {
    "front": (0.05, 7.46, 0.02),
    "right": (7.55, -0.04, -0.01),
    "back": (-0.03, -7.52, 0.03),
    "left": (-7.44, 0.06, -0.02),
}
"""Eyes of the flat yard, x, y, z from the hinge [m]."""

HILL = {
    "front": (7.84, -7.71, -0.69),
    "right": (-7.70, -7.86, -0.15),
    "back": (-7.79, 7.74, 0.33),
    "left": (7.73, 7.80, -0.19),
}
"""Eyes of the hill paddock, mast moved, x, y, z from the hinge [m]."""

HILL_MAGNETIC = 0.36
"""Compass reading less grid bearing on the hill: convergence 0.64°, declination 0.28° [degrees]."""

TERRACE = {
    "front": (0.04, 7.99, -0.10),
    "right": (7.88, -0.06, -0.16),
    "back": (-0.09, -9.70, -2.33),
    "left": (-7.95, 0.05, -0.12),
}
"""Eyes of the terrace, x, y, z from the hinge [m]."""

HEADER = ("reading", "from", "to", "value", "sigma", "note")
PLUMB_HEADER = ("reading", "from", "to", "value", "height", "distance", "note")


def metres(value: float) -> str:
    """Write a length as read off a metric tape, to the half centimetre."""
    return f"{round(value * 200) / 200:.3f}"


def feet(value: float) -> str:
    """Write a length as read off a tape in feet, to an eighth of an inch."""
    eighths = round(abs(value) / 0.0254 * 8)
    whole, rest = divmod(eighths, 96)
    inches, part = divmod(Fraction(rest, 8), 1)
    shown = f"{inches} {part}" if part and inches else f"{part or inches}"
    sign = "-" if value < 0 and eighths else ""
    return f"{sign}{whole} ft {shown} in" if whole else f"{sign}{shown} in"


def places(eyes: dict[str, tuple[float, float, float]]) -> Places:
    """Return all points by name, the hinge at zero [m]."""
    return {"hinge": np.zeros(3)} | {side: np.array(eye) for side, eye in eyes.items()}


def tapes(where: Places, rng: np.random.Generator, write: Callable[[float], str]) -> Iterable[Row]:
    """Return every tape, eye to eye and hinge to eye."""
    for start, end in [*SPOKES, *RING, *ACROSS]:
        length = float(np.linalg.norm(where[end] - where[start])) + rng.normal(0.0, TAPE)
        yield row("slope", start, end, write(length), write(0.01))


def levels(where: Places, rng: np.random.Generator, write: Callable[[float], str]) -> Iterable[Row]:
    """Return differences of height from the hinge, and around."""
    for start, end in [*SPOKES, *RING]:
        rise = float(where[end][2] - where[start][2]) + rng.normal(0.0, LEVEL)
        yield row("level", start, end, write(rise), write(0.005))


def bearings(where: Places, rng: np.random.Generator, *, off: float, kind: str) -> Iterable[Row]:
    """Return compass bearings from the hinge, or a grid bearing to the front only."""
    for start, end in SPOKES if kind == "compass" else SPOKES[:1]:
        away = where[end] - where[start]
        noise = rng.normal(0.0, COMPASS if kind == "compass" else 0.1)
        degrees = (math.degrees(math.atan2(away[0], away[1])) + off + noise) % 360.0
        yield row(kind, start, end, f"{round(degrees * 2) / 2:.1f}", "0.5")


def row(reading: str, start: str, end: str, value: str, sigma: str, note: str = "") -> Row:
    """Return one row of a file of readings."""
    cells = (reading, start, end, value, sigma, note)
    return dict(zip(HEADER, cells, strict=True))


def yard() -> list[Row]:
    """Return the readings of the flat yard, where a compass tells no more than angles."""
    rng, where = np.random.default_rng(SEED), places(YARD)
    rows = [*tapes(where, rng, metres), *levels(where, rng, metres)]
    rows += bearings(where, rng, off=3.0, kind="compass")
    return [*rows, row("bearing", "hinge", "front", "0.4", "0.2", "along the painted line")]


def hill() -> list[Row]:
    """Return the readings of the hill paddock, mast moved."""
    rng, where = np.random.default_rng(SEED + 1), places(HILL)
    rows = [*tapes(where, rng, metres), *levels(where, rng, metres)]
    return [*rows, *bearings(where, rng, off=HILL_MAGNETIC, kind="compass")]


def terrace() -> list[Row]:
    """Return the readings of the terrace, in feet and inches."""
    rng, where = np.random.default_rng(SEED + 2), places(TERRACE)
    rows = [*tapes(where, rng, feet), *levels(where, rng, feet)]
    rows += bearings(where, rng, off=-7.0, kind="compass")
    return [*rows, row("bearing", "hinge", "front", "0.3", "0.2", "along the laid string")]


def with_slip(rows: list[Row]) -> list[Row]:
    """Return the readings with the tape from the right to the back anchor typed a metre long."""
    wrong = [dict(one) for one in rows]
    slip = next(one for one in wrong if (one["from"], one["to"]) == ("right", "back"))
    slip["value"] = f"{float(slip['value']) + 1.0:.3f}"
    return wrong


def plumb_row(reading: str, start: str, value: str, note: str = "") -> Row:
    """Return one row of a file of plumb readings."""
    cells = (reading, start, "", value, "", "", note)
    return dict(zip(PLUMB_HEADER, cells, strict=True))


def tension(wire: str, value: str) -> Row:
    """Return one gauge reading."""
    return dict(zip(PLUMB_HEADER, ("tension", "", wire, value, "", "", ""), strict=True))


YARD_PLUMB = [
    plumb_row("offset", "front", "0.055", "top against the foot, looking at the mast, + right"),
    plumb_row("offset", "back", "-0.045"),
    plumb_row("offset", "left", "0.020"),
    plumb_row("offset", "right", "-0.020"),
]
HILL_PLUMB = [
    plumb_row("offset", "front", "-0.060"),
    plumb_row("offset", "right", "0.085"),
    *(
        tension(wire, value)
        for wire, value in {
            "front 1": "3.9 kN",
            "front 2": "4.0 kN",
            "right 1": "4.1 kN",
            "right 2": "4.0 kN",
            "back 1": "3.9 kN",
            "back 2": "4.0 kN",
            "left 1": "4.2 kN",
            "left 2": "4.1 kN",
        }.items()
    ),
]
TERRACE_PLUMB = [
    plumb_row("offset", "front", "2 1/2 in"),
    plumb_row("offset", "left", "-1 1/4 in"),
]


def write(path: Path, header: tuple[str, ...], rows: Iterable[Row]) -> None:
    """Write one file of readings."""
    path.parent.mkdir(parents=True, exist_ok=True)
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.DictWriter(file, header, lineterminator="\n")
        table.writeheader()
        table.writerows(rows)


def main(folder: Path = HERE) -> None:
    """Write all files of readings below a folder."""
    write(folder / "flat_yard" / "asbuilt.csv", HEADER, yard())
    write(folder / "flat_yard" / "asbuilt_slip.csv", HEADER, with_slip(yard()))
    write(folder / "flat_yard" / "plumb.csv", PLUMB_HEADER, YARD_PLUMB)
    write(folder / "hill_paddock" / "asbuilt.csv", HEADER, hill())
    write(folder / "hill_paddock" / "plumb.csv", PLUMB_HEADER, HILL_PLUMB)
    write(folder / "terrace" / "asbuilt.csv", HEADER, terrace())
    write(folder / "terrace" / "plumb.csv", PLUMB_HEADER, TERRACE_PLUMB)


if __name__ == "__main__":
    main(Path(sys.argv[1]) if len(sys.argv) > 1 else HERE)
