"""Certified clearance of a wire to ten thousand pieces, against brute force every 0.01°."""

import math
import time

import numpy as np
from timing import line, side_by_side

from visual.checks.clearance import MovingPart, certified_minimum
from visual.checks.distance import CHUNK, triangle_pairs
from visual.checks.shapes import Shape

UPRIGHT, STEP = math.pi / 2, math.radians(0.01)
SAMPLE = 40  # brute force is timed on so many of its angles: all of them take many minutes


def run() -> list[str]:
    """Return the lines of the report."""
    return [
        *compare("scattered triangles", scattered()),
        *compare("a fence beside the anchor", fence(11.3)),
    ]


def wire() -> MovingPart:
    """Return a side wire from an anchor to a collar."""
    eye, height = np.array([11.0, 0.0, 0.1]), 17.4

    def ends(angles: np.ndarray) -> np.ndarray:
        level = np.zeros_like(angles)
        collar = height * np.stack([level, -np.cos(angles), np.sin(angles)], axis=1)
        return np.stack([np.broadcast_to(eye, collar.shape), collar], axis=1)

    return MovingPart("wire", 0.004, (0.0, height), ends)


def scattered() -> Shape:
    """Return triangles all around, none in the way."""
    random = np.random.default_rng(1)
    middle = random.uniform([-60, -60, -2], [60, 60, 30], (14_000, 1, 3))
    middle = middle[np.hypot(middle[:, 0, 0], middle[:, 0, 1]) > 24][:10_000]
    return Shape("scattered", "ground", middle + random.normal(size=(len(middle), 3, 3)) * 0.5)


def fence(x: float) -> Shape:
    """Return ten thousand triangles of a fence along y."""
    y = np.linspace(-60.0, 60.0, 5001)
    foot = np.stack([np.full_like(y, x), y, np.full_like(y, -0.3)], axis=1)
    top = foot + np.array([0.0, 0.0, 1.3])
    lower = np.stack([foot[:-1], foot[1:], top[1:]], axis=1)
    upper = np.stack([foot[:-1], top[1:], top[:-1]], axis=1)
    return Shape("fence", "building", np.concatenate([lower, upper]))


def compare(name: str, shape: Shape) -> list[str]:
    """Time both; brute force on some of its angles, times how many there are."""
    part = wire()
    angles = np.linspace(0.0, UPRIGHT, SAMPLE)

    def brute_force() -> float:
        least = math.inf
        for segment in part.ends(angles):
            for k in range(0, len(shape.triangles), CHUNK):
                some = shape.triangles[k : k + CHUNK]
                pairs = triangle_pairs(np.broadcast_to(segment, (len(some), 2, 3)), some)
                least = min(least, float(pairs.distance.min()))
        return least

    ours, some = side_by_side(
        lambda: certified_minimum(part, shape, start=0.0, end=UPRIGHT),
        brute_force,
        repeats=3,
        clock=time.process_time,
    )
    whole = some * (UPRIGHT / STEP) / SAMPLE
    return [
        f"certified clearance to 10 000 triangles, {name}: {ours * 1e3:.0f} ms",
        line("  brute force every 0.01° would take", whole / ours, "1000"),
    ]
