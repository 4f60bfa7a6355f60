"""The whole raise as one complete record."""

import math
from dataclasses import dataclass, field

import numpy as np

from visual.model import Model
from visual.raising.motion import Array, Pose, pose_at
from visual.raising.start import StartAngle, find_start
from visual.raising.strike import LineGround, Strike, find_gin_strike, find_line_ground
from visual.raising.tow import TowPath, tow_path
from visual.raising.wires import ChangeOver, LengthChange, change_over, stay_change, wire_change
from visual.rig import Side

STEP = math.radians(0.5)  # spacing of the steps; the certified clearances use their own

SWUNG_SIDES: tuple[Side, ...] = ("left", "right")
"""Sides whose wires swing past the hinge line, and to which the gin pole has stays."""


@dataclass(frozen=True)
class FirstRaise:
    """What the first raise, without the head, adds: it starts lower than the raise with the head.

    Parameters
    ----------
    angles : ndarray, shape (n,)
        Raising angles of the steps, from the start angle of the bare mast to the first angle of
        the raise with the head; from there on both raises are the same way. [rad]
    tow : TowPath
        Tow line and vehicle at each step.
    side_stays : tuple of LengthChange
        Changes through the whole first raise, the stays tied at its own start.
    gin_strike : Strike
        The gin pole against the ground in front.
    line_ground : LineGround
        The tow line against the ground.
    """

    angles: Array = field(repr=False)
    tow: TowPath
    side_stays: tuple[LengthChange, ...]
    gin_strike: Strike
    line_ground: LineGround


@dataclass(frozen=True)
class Raise:
    """The geometry of the raise, from the start angle to upright.

    Parameters
    ----------
    start : StartAngle
        How low the mast can lie.
    angles : ndarray, shape (n,)
        Raising angles of the steps, the last one 90°. [rad]
    tow : TowPath
        Tow line and vehicle at each step.
    side_wires, back_wires : tuple of LengthChange
        Changes through the raise, from the lower of both start angles on: the first raise, without
        the head, may start lower than `angles`.
    side_stays : tuple of LengthChange
        Changes through the raise.
    change_overs : tuple of ChangeOver
        One per front wire.
    gin_strike : Strike
        The gin pole against the ground in front.
    line_ground : LineGround
        The tow line against the ground.
    first : FirstRaise or None
        What the first raise adds; None if it does not start lower.
    """

    start: StartAngle
    angles: Array = field(repr=False)
    tow: TowPath
    side_wires: tuple[LengthChange, ...]
    back_wires: tuple[LengthChange, ...]
    side_stays: tuple[LengthChange, ...]
    change_overs: tuple[ChangeOver, ...]
    gin_strike: Strike
    line_ground: LineGround
    first: FirstRaise | None = None

    @property
    def hitch_distances(self) -> Array:
        """Places of the hitch in front of the base, in both raises; NaN where it has none. [m]"""
        lower = [] if self.first is None else [self.first.tow.distance]
        return np.concatenate([*lower, self.tow.distance])

    @property
    def first_angle(self) -> float:
        """Lowest angle of the steps: the start angle, or level where that is unknown. [rad]"""
        return float(self.angles[0])


def analyse_raise(model: Model) -> Raise:
    """Work out the geometry of the raise of a model, with the limits of its site file."""
    limits = model.site.limits
    start = find_start(
        model,
        trestle=limits.trestle.value,
        head_clearance=limits.head_clearance.value,
    )
    angles = raise_angles(start.angle)
    path = tow_path(model, angles)
    all_angles = _with_lower(angles, start.without_head)
    levels = range(len(model.rig.mast.collars))
    return Raise(
        start=start,
        angles=angles,
        tow=path,
        side_wires=tuple(wire_change(model, s, c, all_angles) for s in SWUNG_SIDES for c in levels),
        back_wires=tuple(wire_change(model, "back", c, all_angles) for c in levels),
        side_stays=tuple(stay_change(model, side, angles) for side in SWUNG_SIDES),
        change_overs=tuple(change_over(model, c) for c in levels),
        gin_strike=find_gin_strike(model, angles),
        line_ground=find_line_ground(model, path),
        first=_first_raise(model, all_angles, all_angles[: all_angles.size - angles.size + 1]),
    )


def _first_raise(model: Model, whole: Array, lower: Array) -> FirstRaise | None:
    """Return what the first raise adds on the lower of its angles; None if there are none."""
    if lower.size < 2:
        return None
    path = tow_path(model, lower)
    return FirstRaise(
        angles=lower,
        tow=path,
        side_stays=tuple(stay_change(model, side, whole) for side in SWUNG_SIDES),
        gin_strike=find_gin_strike(model, lower),
        line_ground=find_line_ground(model, path),
    )


def raise_angles(start: float) -> Array:
    """Return the steps from a start angle to 90°, on whole half degrees after the first. [rad]"""
    first = 0.0 if math.isnan(start) else min(start, math.pi / 2 - STEP)
    whole = np.arange(math.floor(first / STEP) + 1, round(math.pi / 2 / STEP) + 1) * STEP
    return np.concatenate([[first], whole[whole > first + 1e-9]])


def _with_lower(angles: Array, start: float) -> Array:
    """Return the steps with those of a raise that starts lower put before them. [rad]"""
    if math.isnan(start):
        return angles
    lower = raise_angles(start)
    return np.concatenate([lower[lower < angles[0] - 1e-9], angles])


def poses(model: Model, angles: Array) -> tuple[Pose, ...]:
    """Return the pose at each of several raising angles [rad]."""
    return tuple(pose_at(model, float(angle)) for angle in angles)
