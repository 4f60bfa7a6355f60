"""The forces on mast and gin pole at one raising angle, as they act on them.

Tow line, back wire, weight and hinge hold the whole in balance.  Lift wires and gin pole act
inside it: the wires are given as they pull at the mast, the pole as it pushes at its tip.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from visual.mechanics.pivot import units_between
from visual.model import Model, Vector
from visual.raising import Pose, RaiseRun, pose_at, tow_path
from visual.raising.forces_balance import far_end
from visual.raising.forces_run import run_raise
from visual.raising.weights import tow_line_at_tip
from visual.units import STANDARD_GRAVITY


@dataclass(frozen=True, eq=False)
class Force:
    """One force on mast or gin pole.

    Parameters
    ----------
    key : str
        What it is; the same at all angles.
    name : str
        The same for a person.
    at : ndarray, shape (3,)
        Where it acts. [m]
    vector : ndarray, shape (3,)
        Size and direction. [N]
    pushes : bool
        True if the arrow ends where the force acts, False if it starts there.
    inside : bool
        True for a force between mast and gin pole, False for one from outside.
    """

    key: str
    name: str
    at: Vector = field(repr=False)
    vector: Vector = field(repr=False)
    pushes: bool = False
    inside: bool = False

    @property
    def size(self) -> float:
        """Size of the force. [N]"""
        return float(np.linalg.norm(self.vector))


def forces_at(model: Model, angle: float, *, with_head: bool = True) -> list[Force]:
    """Return the known forces at a raising angle [rad].

    Parameters
    ----------
    model : Model
        The mast on its site.
    angle : float
        Raising angle. [rad]
    with_head : bool
        Whether the head is on, if there is one.
    """
    has_head = with_head and model.rig.mast.head is not None
    run = run_raise(model, tow_path(model, np.array([angle])), with_head=has_head)
    return forces_of(model, run, [0])[0]


def forces_of(model: Model, run: RaiseRun, steps: Sequence[int]) -> list[list[Force]]:
    """Return the known forces at some steps of a raise."""
    on_tip = tow_line_at_tip(model, run.tow)
    known = []
    for step in steps:
        pose = pose_at(model, float(run.angles[step]))
        outer = _outer(model, run, step, pose, on_tip=float(on_tip[step]))
        found = [*outer, *_inner(run, step, pose)]
        known.append([force for force in found if np.isfinite([*force.at, *force.vector]).all()])
    return known


def _outer(model: Model, run: RaiseRun, step: int, pose: Pose, *, on_tip: float) -> Iterator[Force]:
    """Return what holds the whole in balance."""
    tip = run.tow.tips[step]
    along = units_between(run.tow.tips, far_end(run.tow))[step]
    yield Force("tow line", "tow line", tip, run.tow_tension[step] * along)
    collar = pose.collars[-1]
    back = units_between(collar, model.anchors["back"].eye)
    yield Force("back wire", "back wire holds", collar, run.hold_back[step] * back)
    yield _weight(model, run, pose, on_tip=on_tip)
    axes = np.array([model.forward, model.upward, model.rightward])
    yield Force("hinge", "hinge", np.zeros(3), run.hinge[step] @ axes, pushes=True)


def _weight(model: Model, run: RaiseRun, pose: Pose, *, on_tip: float) -> Force:
    """Return the weight of all that turns and of the tow line on its tip, where it acts."""
    masses = [weight.mass for weight in run.weights.points]
    places = [w.along * pose.axis + w.across * pose.normal for w in run.weights.points]
    if math.isfinite(on_tip):
        masses, places = [*masses, on_tip], [*places, pose.tip]
    total = sum(masses)
    centre = np.array(masses) @ np.array(places) / total
    return Force("weight", "weight", centre, -STANDARD_GRAVITY * total * model.upward)


def _inner(run: RaiseRun, step: int, pose: Pose) -> Iterator[Force]:
    """Return lift wires as they pull at the mast, and the pole as it pushes at its tip."""
    for level, collar in enumerate(pose.collars):
        name = "lift wire" if len(pose.collars) == 1 else f"lift wire {level + 1}"
        pull = run.lift_wires[step, level] * units_between(collar, pose.tip)
        yield Force(name, name, collar, pull, inside=True)
    thrust = float(run.gin_compression[step])
    push = thrust * pose.tip / np.linalg.norm(pose.tip)
    name = "gin pole pushes" if thrust > 0 else "gin pole pulls"
    yield Force("gin pole", name, pose.tip, push, inside=True)
