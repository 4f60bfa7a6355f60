"""Side and back wires on the way up: how hard a tight one pulls, and what to do about it.

A wire has the unstressed length that gives it its initial tension with the mast upright.  On the
way its ends are another distance apart; the elastic catenary of that length gives the tension.
Assumed: nothing else gives, neither mast nor anchor, so a tight wire is given its largest tension;
a slack wire hangs free, though it may lie on the ground.

The straight distance D between collar (c above the hinge) and eye (x to the front of the hinge
axis, z above it) follows ``D(θ)² − D(90°)² = 2 c (x cos θ + z (1 − sin θ))``: the law of cosines.
So a wire never goes tight from the start angle θ₀ on if ``x ≤ 0`` and
``x ≤ −z (1 − sin θ₀)/cos θ₀``.
"""

import math
from dataclasses import dataclass, field

import numpy as np

from visual.mechanics.catenary import Catenaries, solve_many_by_length
from visual.model import InstalledWire, Model, installed_wire
from visual.raising.motion import Array, mast_direction
from visual.raising.wires import LengthChange

NOTICEABLE = 0.005  # [m] less than one turn of a turnbuckle
KEPT_CLEAR = 0.001  # [m] a wire that has this much over is slack


@dataclass(frozen=True)
class Cure:
    """What takes the tightness out of a wire; each of the three on its own.

    Parameters
    ----------
    move_back : float
        How far to move the eye towards the back, at the height it has. [m]
    lower_eye : float or None
        How far to lower the eye; None where the eye is in front of the hinge axis, so that
        lowering alone does not help. [m]
    pay_out : float
        How much longer the wire must be made at the start. [m]
    turns : float
        The same in turns of the turnbuckle. [1]
    until : float
        Raising angle from which it may have its length again. [rad]
    within_travel : bool
        True if the turnbuckle, set to its middle, can give that much.
    """

    move_back: float
    lower_eye: float | None
    pay_out: float
    turns: float
    until: float
    within_travel: bool


@dataclass(frozen=True)
class WireOnTheWay:
    """One side or back wire through the raise.

    Parameters
    ----------
    change : LengthChange
        How much too short or too long it is.
    tension : ndarray, shape (n,)
        Tension at the anchor, if nothing gives. [N]
    sag : ndarray, shape (n,)
        Sag below the straight line; only where it is slack, else 0. [m]
    initial_tension : float
        With the mast upright. [N]
    cure : Cure or None
        None where it never goes tight.
    """

    change: LengthChange
    tension: Array = field(repr=False)
    sag: Array = field(repr=False)
    initial_tension: float
    cure: Cure | None

    @property
    def tightest(self) -> tuple[float, float]:
        """Raising angle [rad] and tension there [N] where the wire is tightest on the way."""
        index = int(np.argmax(self.tension))
        return float(self.change.angles[index]), float(self.tension[index])

    @property
    def at_tightest(self) -> float:
        """Tension at the angle where it is most too short. [N]"""
        return float(self.tension[int(np.argmax(self.change.change))])


def wire_on_the_way(model: Model, change: LengthChange) -> WireOnTheWay:
    """Work out the tension of one side or back wire at every step."""
    wire = installed_wire(model, change.side, change.collar or 0)
    if not model.anchors[change.side].placed:
        unknown = np.full(change.angles.size, math.nan)
        return WireOnTheWay(change, unknown, unknown, wire.initial_tension, None)
    shapes = _hung(model, wire, change.angles)
    slack = change.change < -KEPT_CLEAR
    return WireOnTheWay(
        change=change,
        tension=shapes.tension_lower,
        sag=np.where(slack, shapes.sag, 0.0),
        initial_tension=wire.initial_tension,
        cure=find_cure(model, change),
    )


def _hung(model: Model, wire: InstalledWire, angles: Array) -> Catenaries:
    """Hang the wire between its eye and its collar at raising angles."""
    height = model.rig.mast.collars[wire.level].height
    step = height * mast_direction(model, angles) - model.anchors[wire.side].eye
    return solve_many_by_length(
        span=np.hypot(step[:, 0], step[:, 1]),
        rise=step[:, 2],
        unstressed_length=wire.shape.unstressed_length,
        weight=wire.shape.weight,
        stiffness=wire.shape.stiffness,
    )


def find_cure(model: Model, change: LengthChange) -> Cure | None:
    """Return what takes the tightness out of a wire; None where there is none worth a turn."""
    tight = change.change > NOTICEABLE
    if not tight.any():
        return None
    eye = model.anchors[change.side].eye
    ahead, height = float(eye @ model.forward), float(eye[2])
    start = float(change.angles[0])
    ratio = (1 - math.sin(start)) / math.cos(start)
    turnbuckle = model.rig.turnbuckle
    pay_out = float(change.change.max())
    last = int(np.flatnonzero(tight)[-1])
    return Cure(
        move_back=max(0.0, ahead - min(0.0, -height * ratio)),
        lower_eye=max(0.0, height + ahead / ratio) if ahead <= 0.0 else None,
        pay_out=pay_out,
        turns=pay_out / turnbuckle.per_turn,
        until=float(change.angles[min(last + 1, change.angles.size - 1)]),
        within_travel=pay_out <= turnbuckle.travel / 2,
    )
