"""The survey of the anchors as lines of text."""

import math
from collections.abc import Iterator

import numpy as np

from visual.crew.adjustment import Suspect
from visual.crew.as_built_record import AsBuilt, JudgedReading
from visual.crew.columns import heading, paragraph, table
from visual.crew.network import Equation
from visual.crew.readings import Reading
from visual.model import InstalledWire
from visual.units import UnitSystem, format_angle, format_length


def as_built_lines(survey: AsBuilt, *, units: UnitSystem) -> list[str]:
    """Return the survey as lines at most 100 columns wide."""
    return [
        *heading("Anchors as built: the eyes, from the hinge"),
        *_anchors(survey, units),
        *heading("Readings"),
        *_readings(survey, units),
        *_verdict(survey),
        *(line for s in survey.suspects for line in paragraph(suspect_text(s, units=units))),
        *_mirrors(survey, units),
        *_unchecked(survey),
    ]


def wire_lines(wires: tuple[InstalledWire, ...], *, units: UnitSystem) -> list[str]:
    """Return the lengths of the wires on the measured anchors as lines."""
    return [
        *heading("Wires on these anchors"),
        *table(
            ("wire", "straight", "±", "cut", "standing"),
            [
                (
                    wire.name,
                    format_length(wire.straight_length, units, decimals=3),
                    format_length(wire.straight_length_pm, units, decimals=3),
                    format_length(wire.cut_length, units, decimals=3),
                    "final" if wire.final else "provisional",
                )
                for wire in wires
            ],
        ),
    ]


def _anchors(survey: AsBuilt, units: UnitSystem) -> Iterator[str]:
    titles = (
        "anchor",
        "bearing",
        "level",
        "above",
        "± out",
        "± side",
        "± up",
        "off plan",
        "higher",
    )
    yield from table(
        titles,
        [
            (
                anchor.side,
                format_angle(math.atan2(anchor.eye[0], anchor.eye[1]) % math.tau, decimals=2),
                _tape(math.hypot(anchor.eye[0], anchor.eye[1]), units),
                _tape(float(anchor.eye[2]), units),
                *(_tape(float(sigma), units) for sigma in anchor.sigmas),
                _tape(math.hypot(anchor.moved[0], anchor.moved[1]), units),
                _tape(float(anchor.moved[2]), units),
            )
            for anchor in survey.anchors
        ],
    )
    yield from paragraph("Bearings from grid north; ± is one standard deviation.")
    ground = [anchor.side for anchor in survey.anchors if anchor.from_ground]
    if ground:
        yield from paragraph(
            f"No reading gives the height of {', '.join(ground)}: it is that of the ground data. "
            "A level or clinometer reading would make it final."
        )
    if survey.misplaced:
        named = ", ".join(anchor.side for anchor in survey.misplaced)
        yield from paragraph(
            f"WRONG SIDE: {named} more than 45° off the planned bearing. Are names mixed up, or is "
            "this the site file of another layout?"
        )
    missing = survey.missing
    if missing:
        yield from paragraph(f"Nothing was read of {', '.join(missing)}: as planned.")
    if survey.turn is not None:
        yield from paragraph(
            f"Compass and magnetic model together are off by {format_angle(survey.turn)}."
        )
    if survey.shift is not None:
        off = math.hypot(survey.shift[0], survey.shift[1])
        yield from paragraph(
            f"The receiver at the base is {_tape(off, units)} off the site file's position; only "
            "differences to it were used."
        )


def _readings(survey: AsBuilt, units: UnitSystem) -> list[str]:
    return table(
        ("reading", "read", "computed", "residual", "in its σ", "checked"),
        [
            (
                _short(judged.equation.name),
                _value(judged.equation, judged.equation.value, units),
                _value(judged.equation, judged.equation.value + judged.residual, units),
                _difference(judged, units),
                f"{judged.standardised:+.1f}" if judged.checked else "?",
                "LEFT OUT" if judged.left_out else f"{judged.redundancy:.0%}",
            )
            for judged in survey.readings
        ],
    )


def _short(name: str) -> str:
    return name if len(name) <= 38 else f"{name[:18]}…{name[-19:]}"


def _value(equation: Equation, value: float, units: UnitSystem) -> str:
    if equation.reading.is_angle:
        turned = value if equation.reading.kind == "clinometer" else value % math.tau
        return format_angle(turned, decimals=2)
    return _tape(value, units)


def _difference(judged: JudgedReading, units: UnitSystem) -> str:
    if judged.equation.reading.is_angle:
        return format_angle(judged.residual, decimals=2)
    return _tape(judged.residual, units)


def _verdict(survey: AsBuilt) -> list[str]:
    if survey.freedom == 0:
        return paragraph(
            "No reading checks another: a slip anywhere would stay hidden. Add tapes between "
            "neighbouring and opposite anchors, and a second level."
        )
    verdict = "as they should be" if survey.fits else "too large: something is wrong"
    return paragraph(
        f"{survey.freedom} readings more than needed; residuals are {survey.scatter:.2f} times "
        f"what was stated: {verdict}."
    )


def suspect_text(suspect: Suspect, *, units: UnitSystem) -> str:
    """Say which reading is suspect, and by how much."""
    reading = suspect.reading
    by = _slip(reading, suspect.slip, units)
    text = (
        f"SUSPECT {reading.name}: off by about {by} by all the others "
        f"({abs(suspect.standardised):.0f} standard deviations); left out here. Read it again."
    )
    if suspect.or_else:
        others = ", ".join(other.name for other in suspect.or_else)
        text += f" It could as well be: {others}."
    return text


def _slip(reading: Reading, slip: float, units: UnitSystem) -> str:
    sign = "+" if slip >= 0 else ""
    shown = format_angle(slip, decimals=1) if reading.is_angle else format_length(slip, units)
    return sign + shown


def _mirrors(survey: AsBuilt, units: UnitSystem) -> Iterator[str]:
    for mirror in survey.mirrors:
        points = ", ".join(mirror.points)
        seen = f"reflected in the line {mirror.line[0]} – {mirror.line[1]}"
        if mirror.told_by_names:
            yield from paragraph(
                f"The readings fit as well with {points} elsewhere ({seen}); only the names of the "
                "sides tell that this is not so."
            )
            break
        yield from paragraph(
            f"MIRROR IMAGE: the readings fit as well with {points} {seen}, "
            f"{_tape(_distance(survey, mirror.unknowns), units)} away. To settle it, "
            f"{mirror.question}."
        )


def _distance(survey: AsBuilt, unknowns: object) -> float:
    """Return how far the other layout moves an anchor at most. [m]"""
    other = np.asarray(unknowns, dtype=float)
    return max(
        float(np.linalg.norm(other[3 * k : 3 * k + 3] - anchor.eye))
        for k, anchor in enumerate(survey.anchors)
    )


def _unchecked(survey: AsBuilt) -> list[str]:
    names = [judged.equation.name for judged in survey.unchecked]
    if not names or survey.freedom == 0:
        return []
    return paragraph(
        f"Checked by no other reading, so a slip would stay hidden: {'; '.join(names)}."
    )


def _tape(metres: float, units: UnitSystem) -> str:
    return format_length(metres, units, decimals=3)
