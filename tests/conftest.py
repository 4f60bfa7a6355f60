"""Models on ground given by a formula, built without any file; and a real browser."""

import shutil
from collections.abc import Callable, Iterator
from copy import deepcopy
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import settings

from visual.frame import make_frame
from visual.ground import Surface, make_tin
from visual.model import Model, build_model
from visual.model.rig_of_site import rig_of_site
from visual.site import Feature, parse_site

# Property tests run on shared machines: no test may fail for being slow, and none may take long.
settings.register_profile("steady", deadline=None, max_examples=25, derandomize=True)
settings.load_profile("steady")

Ground = Callable[[np.ndarray, np.ndarray], np.ndarray]
ModelMaker = Callable[..., Model]

# An invented 12 m mast with round numbers; nothing here comes from a catalogue.
TABLES: dict[str, Any] = {
    "format": 1,
    "site": {"name": "Test ground", "crs": "local"},
    "ground": {"survey": "points.csv", "survey_accuracy": 0.05},
    "mast": {
        "position": [0.0, 0.0],
        "front": 0.0,
        "hinge_height": 0.25,
        "section": [{"length": 6.0, "outer_diameter": 0.1143, "wall": 0.0045, "count": 2}],
        "collar": [{"height": 11.0, "wire": "guy"}],
    },
    "wire": {
        "guy": {
            "diameter": 0.006,
            "mass_per_metre": 0.15,
            "stiffness": 1.6e6,
            "breaking_load": 20e3,
        }
    },
    "anchors": {"radius": 8.0, "eye_height": 0.1},
    "gin_pole": {"length": 5.0, "outer_diameter": 0.0889, "wall": 0.004},
    "tow": {"line": "guy", "line_length": 20.0, "vehicle_mass": 2000.0},
    "turnbuckle": {"travel": 0.3, "end_allowance": 0.4},
}


def flat(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Return level ground at height 100."""
    return 100.0 + 0.0 * x + 0.0 * y


def merged(tables: dict[str, Any], changes: dict[str, Any]) -> dict[str, Any]:
    """Return tables with changes laid over them, table by table."""
    whole = deepcopy(tables)
    for key, value in changes.items():
        both = isinstance(value, dict) and isinstance(whole.get(key), dict)
        whole[key] = merged(whole[key], value) if both else deepcopy(value)
    return whole


@pytest.fixture(scope="session")
def make_model() -> ModelMaker:
    """Return a maker: `make_model(ground, changes, features=…, spacing=…, reach=…)`."""

    def make(
        ground: Ground = flat,
        changes: dict[str, Any] | None = None,
        *,
        features: tuple[Feature, ...] = (),
        spacing: float = 10.0,
        reach: float = 60.0,
    ) -> Model:
        site = parse_site(merged(TABLES, changes or {}), file="site.toml")
        easting, northing = site.mast.position
        base = float(ground(np.array(easting), np.array(northing)))
        frame = make_frame(
            crs=site.site.crs,
            easting=easting,
            northing=northing,
            height=base + site.mast.hinge_height,
            date=site.site.date,
        )
        steps = np.arange(-reach, reach + spacing / 2, spacing)
        x, y = (axis.ravel() for axis in np.meshgrid(steps, steps))
        z = ground(x + easting, y + northing) - frame.origin_height
        surface = Surface(
            dem=None,
            survey=make_tin(np.column_stack([x, y, z]), file="points.csv"),
            accuracy=site.ground.accuracy,
            survey_accuracy=site.ground.survey_accuracy,
        )
        return build_model(surface, site, rig_of_site(site), frame=frame, features=features)

    return make


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """Return a running Chromium of the system that draws in software."""
    from playwright.sync_api import sync_playwright

    names = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
    found = next((path for path in map(shutil.which, names) if path), None)
    if found is None:
        pytest.skip("no Chromium on this machine; on Debian: apt-get install chromium")
    flags = [
        "--no-sandbox",
        "--use-angle=swiftshader",
        "--enable-unsafe-swiftshader",
        "--disable-quic",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
    ]
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=found, args=flags)
        yield browser
        browser.close()


class Legible:
    """What of an open page is hard to read, or to hit with a finger."""

    def __init__(self) -> None:
        self._script = (Path(__file__).parent / "legible.js").read_text(encoding="utf-8")

    def faint(self, page: Any, *, least: int = 0) -> list[dict[str, Any]]:
        """Return the texts with too little contrast, of at least so many texts."""
        texts = page.evaluate(self._script)["texts"]
        assert len(texts) >= least
        return [one for one in texts if one["least"] < one["limit"]]

    def small_targets(self, page: Any, *, least: int = 0) -> list[dict[str, Any]]:
        """Return the controls that are too small, of at least so many controls."""
        targets = page.evaluate(self._script)["targets"]
        assert len(targets) >= least
        return [one for one in targets if one["wrong"]]

    def fields_that_zoom(self, page: Any) -> list[str]:
        """Return the fields that make a phone enlarge the whole page."""
        return list(page.evaluate(self._script)["zooming"])


@pytest.fixture(scope="session")
def legible() -> Legible:
    """Return what judges an open page."""
    return Legible()
