"""Judged sites, each made once for all tests of the sheets, and a reader that measures a PDF."""

import datetime as dt
import functools
import io
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
import pytest
from pypdf import PdfReader
from pypdf.generic import ContentStream
from shapely.geometry import LineString, Point, box

from visual.checks import Report, assess
from visual.model import load_model
from visual.scene import site_ground
from visual.scene.build import SceneMaker
from visual.scene.labels import lay_out
from visual.sheets import labelling
from visual.sheets.document import Document, Heading
from visual.sheets.elevation_sheet import draw_elevation_sheet
from visual.sheets.paper import PAPERS
from visual.sheets.plan_sheet import draw_plan_sheet
from visual.site import Feature

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"
SITES = {
    "paddock": "hill_paddock/site.toml",
    "moved": "hill_paddock/site_moved.toml",
    "terrace": "terrace/site.toml",
    "yard": "flat_yard/site.toml",
}
POINT = 25.4 / 72  # [mm]

# --- an invented site with everything on it -----------------------------------------------------

HEAD = {
    "mass": 50.0,
    "centre_above_top": 0.2,
    "rotor_diameter": 2.0,
    "rotor_above_top": 0.3,
}
LONG = "The very long name of a shed that somebody gave it and nobody ever shortened, " * 3
FEATURES = (
    Feature("boundary", "Ольгино field", box(-38.0, -33.0, 30.0, 41.0), 1),
    Feature("building", LONG, box(-25.0, -25.0, -18.0, -19.0), 2, height=4.0),
    Feature("tree", "ash <&> {nb} **bold**", Point(16.0, 14.0), 3, height=7.0, crown_radius=2.0),
    Feature(
        "overhead_line",
        "11 kV \u0633\u0644\u0627\u0645",
        LineString([(-45.0, 36.0), (45.0, 33.0)]),
        4,
        conductor_heights=(9.0, 9.0),
        sag=0.5,
        voltage_kv=11.0,
    ),
    Feature("road", "lane", box(-60.0, -50.0, 60.0, -45.0), 5),
    Feature("viewpoint", "gate", Point(30.0, -30.0), 6, eye_height=1.6),
)
SETBACKS = [
    {"to": "boundary", "from": "base", "times": 1.1, "of": "total_height", "basis": "rule 7"},
    {"to": "building", "from": "nearest_part", "distance": 30.0, "basis": "rule 8"},
    {"to": "water", "from": "base", "distance": 5.0, "basis": "rule 9"},
]


def hill(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    return 100.0 + 0.06 * x - 0.09 * y


@pytest.fixture(autouse=True)
def coarse_ground(monkeypatch) -> None:
    """Draw the ground coarsely: pictures need it fine, lines on paper are measured without it."""
    monkeypatch.setattr(site_ground, "_CELLS", 80)


@pytest.fixture(scope="session")
def judged() -> Callable[[str], Report]:
    """Return the report of a sample site by its short name; made once."""
    return functools.cache(lambda name: assess(load_model(SAMPLES / SITES[name])))


@pytest.fixture(scope="session")
def judge(make_model) -> Callable[[str], Report]:
    """Return the invented site, judged, its drawings in metric or imperial units."""
    changes = {
        "site": {"name": "Hang Ü"},
        "mast": {"head": HEAD, "front": 20.0},
        "limits": {"setback": SETBACKS},
    }
    report = assess(make_model(hill, changes, features=FEATURES, spacing=20.0, reach=80.0))

    @functools.cache
    def in_system(units: str = "metric") -> Report:
        return replace(report, model=report.model.in_units(units))

    return in_system


@pytest.fixture(scope="session")
def maker(judge) -> Callable[[str], SceneMaker]:
    return functools.cache(lambda units="metric": SceneMaker(judge(units)))


@pytest.fixture
def new_document() -> Callable[..., Document]:
    def make(paper: str = "A4", units: str = "metric", site: str = "Hang", **more) -> Document:
        heading = Heading(site, dt.date(2026, 5, 1), units=units, **more)
        return Document(paper=PAPERS[paper], heading=heading)

    return make


@pytest.fixture(scope="session")
def layouts() -> dict[str, list]:
    """Return frames and layouts of the labels of every sheet that `drawn` drew."""
    return {}


@pytest.fixture(scope="session")
def drawn(judge, maker, layouts) -> Callable[[str, str, str], tuple[bytes, str]]:
    """Return a drawn sheet as PDF and the scale in its title block: `drawn(what, paper, units)`."""

    @functools.cache
    def draw(what: str, paper: str, units: str) -> tuple[bytes, str]:
        heading = Heading("Hang Ü", dt.date(2026, 5, 1), units=units)
        document = Document(paper=PAPERS[paper], heading=heading)
        draws = {"plan": draw_plan_sheet, "elevations": draw_elevation_sheet}
        seen = layouts.setdefault(f"{what} {paper}", [])
        with pytest.MonkeyPatch.context() as patch:
            patch.setattr(labelling, "lay_out", functools.partial(watched, seen))
            draws[what](document, judge(units), maker(units))
        return document.content(), document.sheets[0].scale

    return draw


def watched(seen: list, *arguments, **more):
    layout = lay_out(*arguments, **more)
    seen.append((more["frame"], layout))
    return layout


# --- reading a PDF ------------------------------------------------------------------------------


@dataclass(frozen=True)
class Path2D:
    """A path of a PDF: points from the upper left corner of the page [mm], and its paint."""

    points: np.ndarray
    closed: bool
    operator: str
    stroke: tuple[float, ...]
    fill: tuple[float, ...]

    @property
    def middle(self) -> np.ndarray:
        return (self.points.min(axis=0) + self.points.max(axis=0)) / 2

    @property
    def size(self) -> np.ndarray:
        return np.ptp(self.points, axis=0)


@pytest.fixture(scope="session")
def paths_of() -> Callable[[bytes, int], list[Path2D]]:
    """Return every path of a page as it lies on the paper."""
    return functools.cache(read_paths)


def read_paths(content: bytes, number: int) -> list[Path2D]:
    reader = PdfReader(io.BytesIO(content))
    page = reader.pages[number]
    height = float(page.mediabox.height)
    found: list[Path2D] = []
    stack: list = []
    state = (np.eye(3), (0.0,), (0.0,))
    runs: list[tuple[list, bool]] = []
    for operands, operator in ContentStream(page.get_contents(), reader).operations:
        op = operator.decode()
        numbers = [float(x) for x in operands if hasattr(x, "real")]
        matrix, stroke, fill = state
        if op == "q":
            stack.append(state)
        elif op == "Q":
            state = stack.pop()
        elif op == "cm":
            a, b, c, d, e, f = numbers
            state = (np.array([[a, b, 0], [c, d, 0], [e, f, 1]]) @ matrix, stroke, fill)
        elif op in ("RG", "G"):
            state = (matrix, tuple(numbers), fill)
        elif op in ("rg", "g"):
            state = (matrix, stroke, tuple(numbers))
        elif op in ("m", "l"):
            x, y, _ = np.array([*numbers, 1.0]) @ matrix
            if op == "m":
                runs.append(([], False))
            runs[-1][0].append((x * POINT, (height - y) * POINT))
        elif op == "h":
            runs[-1] = (runs[-1][0], True)
        elif op in ("S", "f", "f*", "B", "B*", "n"):
            found += [Path2D(np.array(p), closed, op, stroke, fill) for p, closed in runs]
            runs = []
    return found


@pytest.fixture
def text_of() -> Callable[[bytes, int], str]:
    """Return the words of a page, blanks made single."""

    def read(content: bytes, number: int) -> str:
        text = PdfReader(io.BytesIO(content)).pages[number].extract_text()
        return " ".join(text.split())

    return read
