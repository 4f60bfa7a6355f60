"""A small synthetic scene that needs neither files nor a model."""

import numpy as np
import pytest

from visual.scene import solids
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
