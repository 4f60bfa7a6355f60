"""Looking for free places to stand on: outside the fall zone, in sight of hinge, line, mast."""

import math

import numpy as np
from numpy.typing import NDArray

from visual.checks import Report
from visual.checks.standing_room import is_free, is_on_the_land
from visual.raising import pose_at
from visual.scene.sight import Screens
from visual.scene.terrain import Terrain

SPARE = 2.0
"""People stand this much outside the fall zone; common practice, no source. [m]"""

FARTHEST = 14.0  # [m] beyond the zone; farther away a caller is not heard; no source
EYE = 1.6  # [m] above the ground
OFF_LINE = 3.0  # [m] from the middle of the lane: nobody in line with the loaded rope; no source
SWING = math.radians(50.0)  # so far a spotter may stand off the hinge line; no source
_LOOK_AT = np.radians([0.0, 30.0, 60.0, 90.0])
_CELLS = 160

Places = NDArray[np.float64]


def beside(
    report: Report, zone: float, sign: float, screens: Screens
) -> tuple[Places | None, float, tuple[str, ...]]:
    """Return the best place on one side of the hinge line, its cost and what is wrong with it."""
    places = fan(report, zone, toward=sign * math.pi / 2)
    places = places[_usable(report, places)]
    side = "right" if sign > 0 else "left"
    if not len(places):
        return None, math.inf, (f"No free place was found on the {side}.",)
    away = np.hypot(*places.T)
    off = np.abs(_turn_from(report, places) - sign * math.pi / 2)
    strange = ~is_on_the_land(report.model, places)
    targets = _targets(report)
    unseen = np.array([_unseen(report, place, targets, screens) for place in places])
    cost = off / SWING + (away - zone) / FARTHEST + 6.0 * unseen + 1.5 * strange
    best = int(np.argmin(cost))
    notes = []
    if unseen[best] > 0:
        notes.append(f"From here {unseen[best]:.0%} of hinge, line and mast is hidden: walk it.")
    if strange[best]:
        notes.append("Outside the boundary: ask.")
    return places[best], float(cost[best]), tuple(notes)


def fan(report: Report, zone: float, *, toward: float) -> Places:
    """Return places outside the zone about a turn clockwise from the front, nearest first."""
    turns = toward + np.concatenate(
        [[0.0], *[[k * SWING / 6, -k * SWING / 6] for k in range(1, 7)]]
    )
    away = zone + SPARE + np.arange(0.0, FARTHEST - SPARE, 1.5)
    turn, distance = (axis.ravel() for axis in np.meshgrid(turns, away))
    bearing = report.model.rig.front + turn
    return np.column_stack([distance * np.sin(bearing), distance * np.cos(bearing)])


def _turn_from(report: Report, places: Places) -> Places:
    """Return bearings from the base, clockwise from the front, in −π … π. [rad]"""
    turn = np.arctan2(places[:, 0], places[:, 1]) - report.model.rig.front
    return np.asarray((turn + math.pi) % (2 * math.pi) - math.pi)


def _usable(report: Report, places: Places) -> NDArray[np.bool_]:
    """Return which places are free and not in line with the tow line."""
    ahead, right = report.model.forward[:2], report.model.rightward[:2]
    in_line = (np.abs(places @ right) < OFF_LINE) & (places @ ahead > 0)
    return is_free(report.model, places) & ~in_line


def nearest_free(report: Report, places: Places) -> Places | None:
    """Return the first of several places that is free and out of line; None if none is."""
    free = places[_usable(report, places)]
    return free[0] if len(free) else None


def _targets(report: Report) -> Places:
    """Return what a spotter must see, shape (n, 3): hinge, and tip, line and mast on the way."""
    raised, points = report.raised, [np.zeros(3)]
    for angle in _LOOK_AT[raised.first_angle - 1e-9 <= _LOOK_AT]:
        pose = pose_at(report.model, float(angle))
        end = raised.tow.ends[int(np.argmin(np.abs(raised.angles - angle)))]
        points += [pose.tip, pose.top, 0.5 * pose.top]
        if np.isfinite(end).all():
            points += [end, (pose.tip + end) / 2]
    return np.array(points)


def _unseen(report: Report, place: Places, targets: Places, screens: Screens) -> float:
    ground = float(report.model.ground.height(place[0], place[1]))
    return float(np.mean(screens.hidden(np.array([*place, ground + EYE]), targets)))


def drawn_ground(report: Report, zone: float) -> Terrain:
    """Return the ground that can hide something from who stands around the zone."""
    far = zone + FARTHEST + float(np.nan_to_num(report.raised.tow.distance).max())
    bounds = (-far, -far, far, far)
    return Terrain.sample(report.model.ground.height, bounds=bounds, cells=_CELLS)
