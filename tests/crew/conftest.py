"""Synthetic surveys: anchors at known places, read with noise of known size."""

import math
from collections.abc import Callable

import numpy as np
import pytest

from visual.crew.readings import Reading
from visual.model import Model
from visual.rig import SIDES

SIGMA = {
    "slope": 0.02,
    "horizontal": 0.03,
    "level": 0.01,
    "compass": math.radians(1.0),
    "bearing": math.radians(0.2),
    "clinometer": math.radians(0.5),
}

RING = [("front", "right"), ("right", "back"), ("back", "left"), ("left", "front")]
SPOKES = [("hinge", side) for side in SIDES]
ACROSS = [("front", "back"), ("right", "left")]

# What a careful crew reads: every tape, levels from the hinge and around, a compass to every
# anchor. The site is local, so the compass tells angles only, and one bearing says where north is.
FULL = [
    *(("slope", *pair) for pair in [*SPOKES, *RING, *ACROSS]),
    *(("level", *pair) for pair in [*SPOKES, *RING]),
    *(("compass", *pair) for pair in SPOKES),
    ("bearing", "hinge", "front"),
]

Plan = list[tuple[str, str, str]]


@pytest.fixture(scope="session")
def full_plan() -> Plan:
    return list(FULL)


@pytest.fixture(scope="session")
def true_places() -> Callable[[Model, np.random.Generator], dict[str, np.ndarray]]:
    """Return a maker of true places: every eye some decimetres off its plan."""

    def make(model: Model, rng: np.random.Generator) -> dict[str, np.ndarray]:
        eyes = {
            side: model.anchors[side].eye + rng.normal(0.0, [0.15, 0.15, 0.05]) for side in SIDES
        }
        return {"hinge": np.zeros(3), "base": np.array([0.0, 0.0, model.base_ground]), **eyes}

    return make


def exact(kind: str, start: np.ndarray, end: np.ndarray) -> float:
    """Return what a perfect instrument reads."""
    x, y, z = end - start
    level = math.hypot(x, y)
    return {
        "slope": math.hypot(level, z),
        "horizontal": level,
        "level": float(z),
        "clinometer": math.atan2(z, level),
    }.get(kind, math.atan2(x, y) % math.tau)


@pytest.fixture(scope="session")
def read() -> Callable[..., list[Reading]]:
    """Return a reader: `read(plan, places, rng)`; without `rng` there is no noise."""

    def make(
        plan: Plan, places: dict[str, np.ndarray], rng: np.random.Generator | None = None
    ) -> list[Reading]:
        readings = []
        for line, (kind, start, end) in enumerate(plan, start=2):
            noise = 0.0 if rng is None else rng.normal(0.0, SIGMA[kind])
            value = exact(kind, places[start], places[end]) + noise
            readings.append(Reading(line, kind, start, end, value, SIGMA[kind]))
        return readings

    return make
