"""Land given by a formula on a lattice: the same ground for a search and for the checks."""

import math
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from shapely.affinity import translate

from visual.checks.in_front import judge_gin_pole, judge_tow
from visual.checks.lane import judge_strips
from visual.checks.moving import find_clearances, find_obstacles, judge_clearances
from visual.checks.on_the_way import judge_side_wires, judge_start
from visual.checks.place import judge_anchors, judge_wire_angles
from visual.checks.setback import find_setbacks, judge_setbacks
from visual.frame import make_frame
from visual.ground import DemPatch, HeightArray, Lattice, Surface
from visual.model import Model, build_model, load_model
from visual.model.rig_of_site import rig_of_site
from visual.raising import analyse_raise
from visual.search.run import search
from visual.site import Feature, parse_site

HILL = Path(__file__).parents[2] / "sample_sites" / "hill_paddock"
CELL, REACH = 2.0, 80.0


class Land:
    """Ground on a lattice of 2 m, and models of one rig anywhere on it."""

    def __init__(self, tables: dict[str, Any], ground: Callable[..., Any], features=()):
        steps = np.arange(-REACH, REACH + CELL / 2, CELL)
        self.x, self.y = np.meshgrid(steps, steps)
        self.z = np.asarray(ground(self.x, self.y), dtype=float)
        self.site = parse_site(tables, file="site.toml")
        self.features: tuple[Feature, ...] = tuple(features)
        self.lattice = Lattice(
            origin=np.array([-REACH, -REACH]),
            down=np.array([0.0, CELL]),
            right=np.array([CELL, 0.0]),
            shape=self.z.shape,
            dem=HeightArray(self.z),
            survey=None,
        )
        self.model = self.at(0.0, 0.0, lift=0.0)

    def at(self, x: float, y: float, front: float = 0.0, *, lift: float | None = None) -> Model:
        """Return the model of the mast at a place; the frame is that of the place."""
        patch = DemPatch(self.x - x, self.y - y, self.z, file="array")
        if lift is None:
            ground = float(patch.height(np.zeros(1), np.zeros(1))[0])
            lift = ground + self.site.mast.hinge_height
        patch = replace(patch, z=self.z - lift)
        surface = Surface(dem=patch, survey=None, accuracy=0.15)
        mast = self.site.mast.model_copy(update={"front": front})
        site = self.site.model_copy(update={"mast": mast})
        moved = [replace(f, shape=translate(f.shape, -x, -y)) for f in self.features]
        frame = make_frame(crs="local", easting=x, northing=y, height=lift, date=None)
        return build_model(surface, site, rig_of_site(site), frame=frame, features=moved)


@pytest.fixture(scope="session")
def make_land():
    """Return a maker: `make_land(ground, changes, features)`."""
    from copy import deepcopy

    def make(ground, changes: dict[str, Any] | None = None, features=()) -> Land:
        tables = deepcopy(RIG)
        for key, value in (changes or {}).items():
            tables[key] = {**tables.get(key, {}), **value}
        return Land(tables, ground, features)

    return make


RIG: dict[str, Any] = {
    "format": 1,
    "site": {"name": "Test land", "crs": "local"},
    "ground": {"dem": "ground.tif"},
    "mast": {
        "position": [0.0, 0.0],
        "front": 0.0,
        "hinge_height": 0.3,
        "section": [{"length": 6.0, "outer_diameter": 0.1143, "wall": 0.0045, "count": 2}],
        "collar": [{"height": 11.0, "wire": "guy"}, {"height": 6.5, "wire": "guy"}],
        "head": {
            "mass": 50.0,
            "centre_above_top": 0.2,
            "centre_to_front": 0.0,
            "rotor_diameter": 2.0,
            "rotor_above_top": 0.3,
        },
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
    "tow": {"line": "guy", "line_length": 18.0, "vehicle_mass": 3000.0},
    "turnbuckle": {"travel": 0.3, "end_allowance": 0.4},
}


def waves(seed: int, size: float) -> Callable[..., Any]:
    """Return ground of a few random waves."""
    rng = np.random.default_rng(seed)
    turn, length = rng.uniform(0, 2 * math.pi, 6), rng.uniform(25, 90, 6)
    high, phase = rng.uniform(0.2, 1, 6) * size, rng.uniform(0, 6, 6)

    def ground(x, y):
        return sum(
            h * np.sin(2 * math.pi * (x * math.cos(t) + y * math.sin(t)) / one + p)
            for t, one, h, p in zip(turn, length, high, phase, strict=True)
        )

    return ground


@pytest.fixture(scope="session")
def make_waves():
    return waves


def stopping_checks(model):
    """Return what the checks that the search has a say in stop, the forces left out."""
    raised = analyse_raise(model)
    around = find_obstacles(model)
    near = [one for one in around.obstacles if np.hypot(*one.shape.pieces[..., :2].T).min() < 45.0]
    findings = [
        *judge_start(model, raised),
        *judge_wire_angles(model),
        *judge_side_wires(model, raised),
        *judge_gin_pole(model, raised),
        *judge_tow(model, raised),
        *judge_strips(model, raised),
        *judge_anchors(model),
        *judge_setbacks(model, find_setbacks(model)),
    ]
    if not any(one.status == "stop" for one in findings) and near:
        findings += judge_clearances(
            model, raised, type(around)(tuple(near), ()), find_clearances(model, raised, near)
        )
    return [one.check for one in findings if one.status == "stop"]


@pytest.fixture(scope="session")
def hill():
    """A coarse search of the hill sample."""
    return search(load_model(HILL), step=4.0, top=1, looks=4)


@pytest.fixture(scope="session")
def stops():
    return stopping_checks


@pytest.fixture(scope="session")
def rig_tables():
    """The tables of a site file with the rig of these tests."""
    from copy import deepcopy

    return deepcopy(RIG)
