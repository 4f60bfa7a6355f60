"""A small synthetic scene that needs neither files nor a model, and judged sample sites."""

import functools
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from visual.checks import Report, assess
from visual.model import load_model
from visual.scene import solids
from visual.scene.build import SceneMaker
from visual.scene.camera import View
from visual.scene.ground import block_sides, draped_area, ground_layer
from visual.scene.layers import (
    Caption,
    DimensionLayer,
    LabelLayer,
    LineLayer,
    MarkLayer,
    MeshLayer,
    Scene,
)
from visual.scene.terrain import Terrain, circle
from visual.scene.views import Shot, named_shots

SAMPLES = Path(__file__).resolve().parents[2] / "sample_sites"
SITES = {
    "paddock": "hill_paddock/site.toml",
    "moved": "hill_paddock/site_moved.toml",
    "terrace": "terrace/site.toml",
    "yard": "flat_yard/site.toml",
}


@pytest.fixture(scope="session", autouse=True)
def coarse_ground():
    """Draw the ground of sites with fewer triangles than a picture for people has."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("visual.scene.site_ground._CELLS", 120)
        patch.setattr("visual.scene.ground._TEXTURE", 300)
        yield


@pytest.fixture(scope="session")
def judged() -> Callable[[str], Report]:
    """Return the report of a sample site by its short name; made once."""
    return functools.cache(lambda name: assess(load_model(SAMPLES / SITES[name])))


@pytest.fixture(scope="session")
def maker(judged) -> Callable[[str], SceneMaker]:
    """Return the scene maker of a sample site by its short name; made once."""
    return functools.cache(lambda name: SceneMaker(judged(name)))


@pytest.fixture(scope="session")
def shots(judged, maker) -> Callable[[str], dict[str, Shot]]:
    """Return the shots of a sample site by its short name, by the name of their view."""

    def of(name: str) -> dict[str, Shot]:
        every = named_shots(judged(name), maker(name).terrain)
        return {shot.view.name: shot for shot in every}

    return functools.cache(of)


def hill(x, y):
    return 0.1 * x + 2 * np.sin(y / 20) - 0.25


@pytest.fixture(scope="session")
def terrain() -> Terrain:
    return Terrain.sample(hill, bounds=(-40.0, -40.0, 40.0, 40.0), cells=60)


@pytest.fixture(scope="session")
def scene(terrain: Terrain) -> Scene:
    mast = np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 12.0]])
    pole = solids.tube(mast, 0.06)
    anchors = np.array([[8.0, 0.0, hill(8.0, 0.0)], [-8.0, 0.0, hill(-8.0, 0.0)]])
    wires = tuple(np.array([anchor, mast[1]]) for anchor in anchors)
    zone = circle(radius=14.0)
    return Scene(
        (
            ground_layer(terrain),
            block_sides(terrain, depth=2.0),
            *draped_area(terrain, [zone], role="fall_zone", group="zones", name="fall zone"),
            MeshLayer(role="mast", group="mast", name="mast", vertices=pole[0], triangles=pole[1]),
            LineLayer(role="wire", group="rig", name="wires", paths=wires),
            MarkLayer(role="anchor", group="anchors", name="anchors", at=anchors, shape="square"),
            LabelLayer(role="label", group="rig", text="left anchor", at=anchors[0]),
            LabelLayer(role="label", group="rig", text="right anchor", at=anchors[1]),
            DimensionLayer(
                role="dimension",
                group="only:plan",
                start=np.zeros(3),
                end=anchors[0],
                text="8.00 m",
                offset=3.0,
            ),
        ),
        Caption(site="Test hill", date="2026-06-01", caution="Light wind only."),
    )


@pytest.fixture(scope="session")
def plan_view() -> View:
    return View(
        name="plan",
        title="Plan",
        projection="orthographic",
        eye=np.array([0.0, 0.0, 200.0]),
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        span=(40.0, 40.0),
        only=frozenset({"only:plan"}),
        on_top=("rig", "mast"),
    )


@pytest.fixture(scope="session")
def slant_view() -> View:
    return View(
        name="overview",
        title="Overview",
        projection="perspective",
        eye=np.array([40.0, -60.0, 40.0]),
        target=np.array([0.0, 0.0, 4.0]),
        up=np.array([0.0, 0.0, 1.0]),
        field_of_view=0.55,
    )
