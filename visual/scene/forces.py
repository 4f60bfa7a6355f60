"""The forces on mast and gin pole as arrows to scale, at one raising angle.

Tow line, back wire, weight and hinge hold the whole in balance.  Lift wires and gin pole act
inside it: the wires are drawn as they pull at the mast, the pole as it pushes at its tip.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from visual.checks import Report
from visual.mechanics.pivot import STANDARD_GRAVITY, units_between
from visual.model import Model, Vector
from visual.raising import RaiseRun, pose_at, tow_path
from visual.raising.forces_balance import far_end
from visual.raising.forces_run import run_raise
from visual.raising.weights import tow_line_at_tip
from visual.scene.layers import AnyLayer, LabelLayer, LineLayer, MeshLayer, degrees_text
from visual.units import FORCE_UNITS, LENGTH_UNITS, UnitSystem, format_force

FORCES = "only:forces"
"""Group of the arrows."""

LONGEST = 0.4  # of the total height: the longest arrow of a raise
LEAST = 1.0  # a smaller force is none [N]
_HEAD = (0.030, 0.012)  # length and half width of a head, of the total height
_ROUND = (1.0, 2.0, 5.0)
_NAMED_AT = (1.0, 0.5, 0.75, 0.25)  # shares of an arrow where its name may stand


@dataclass(frozen=True, eq=False)
class Force:
    """One force on mast or gin pole.

    Parameters
    ----------
    name : str
        What it is, for a person.
    at : ndarray, shape (3,)
        Where it acts. [m]
    vector : ndarray, shape (3,)
        Size and direction. [N]
    pushes : bool
        True if the arrow ends where the force acts, False if it starts there.
    """

    name: str
    at: Vector = field(repr=False)
    vector: Vector = field(repr=False)
    pushes: bool = False

    @property
    def size(self) -> float:
        """Size of the force. [N]"""
        return float(np.linalg.norm(self.vector))


def force_layers(report: Report, angle: float) -> Iterator[AnyLayer]:
    """Return the arrows at a raising angle [rad]; forces that are not known are left out."""
    model = report.model
    scale = newtons_per_metre(report)
    if not math.isfinite(scale):
        return
    yield LabelLayer(
        role="label",
        group=FORCES,
        name="angle",
        motion="pose",
        text=f"mast at {degrees_text(angle, 1)}",
        at=0.85 * pose_at(model, angle).top,
        priority=8,
    )
    height = model.rig.mast.total_height
    for force in forces_at(model, angle):
        if force.size >= LEAST:
            yield from _arrow(model, force, scale, height)


def forces_at(model: Model, angle: float) -> list[Force]:
    """Return the known forces at a raising angle [rad], with all that is mounted."""
    has_head = model.rig.mast.head is not None
    run = run_raise(model, tow_path(model, np.array([angle])), with_head=has_head)
    found = [*_outer(model, run, angle), *_inner(model, run, angle)]
    return [force for force in found if np.isfinite([*force.at, *force.vector]).all()]


def _outer(model: Model, run: RaiseRun, angle: float) -> Iterator[Force]:
    """Return what holds the whole in balance."""
    tip = run.tow.tips[0]
    along = units_between(run.tow.tips, far_end(run.tow))[0]
    yield Force("tow line", tip, run.tow_tension[0] * along)
    collar = pose_at(model, angle).collars[-1]
    back = units_between(collar, model.anchors["back"].eye)
    yield Force("back wire holds", collar, run.hold_back[0] * back)
    yield _weight(model, run, angle)
    axes = np.array([model.forward, model.upward, model.rightward])
    yield Force("hinge", np.zeros(3), run.hinge[0] @ axes, pushes=True)


def _weight(model: Model, run: RaiseRun, angle: float) -> Force:
    """Return the weight of all that turns and of the tow line on its tip, where it acts."""
    pose, on_tip = pose_at(model, angle), float(tow_line_at_tip(model, run.tow)[0])
    masses = [weight.mass for weight in run.weights.points]
    places = [w.along * pose.axis + w.across * pose.normal for w in run.weights.points]
    if math.isfinite(on_tip):
        masses, places = [*masses, on_tip], [*places, pose.tip]
    total = sum(masses)
    centre = np.array(masses) @ np.array(places) / total
    return Force("weight", centre, -STANDARD_GRAVITY * total * model.upward)


def _inner(model: Model, run: RaiseRun, angle: float) -> Iterator[Force]:
    """Return lift wires as they pull at the mast, and the pole as it pushes at its tip."""
    pose = pose_at(model, angle)
    for level, collar in enumerate(pose.collars):
        name = "lift wire" if len(pose.collars) == 1 else f"lift wire {level + 1}"
        pull = run.lift_wires[0, level] * units_between(collar, pose.tip)
        yield Force(name, collar, pull)
    thrust = float(run.gin_compression[0])
    push = thrust * pose.tip / np.linalg.norm(pose.tip)
    yield Force("gin pole pushes" if thrust > 0 else "gin pole pulls", pose.tip, push)


def newtons_per_metre(report: Report) -> float:
    """Return the scale of the arrows, the same at all angles; NaN if no force is known. [N/m]"""
    run = report.forces.loaded
    weight = np.full(run.angles.shape, STANDARD_GRAVITY * run.weights.mass)
    parts = [run.tow_tension, run.hold_back, run.hinge_force, np.abs(run.gin_compression), weight]
    every = np.concatenate([*parts, run.lift_wires.ravel()])
    # weight alone shows nothing of a raise
    if not np.isfinite(run.tow_tension).any() or not np.isfinite(run.lift_wires).any():
        return math.nan
    metric = report.model.site.site.units == "metric"
    unit = 1.0 if metric else FORCE_UNITS["lbf"] / LENGTH_UNITS["ft"]
    largest = float(every[np.isfinite(every)].max())
    least = largest / (LONGEST * report.model.rig.mast.total_height) / unit
    power = 10.0 ** math.floor(math.log10(least))
    steps = (*_ROUND, 10.0)
    return unit * power * next(s for s in steps if s * power >= least * (1 - 1e-9))


def scale_in_words(newtons: float, *, reduction: float, system: UnitSystem) -> str:
    """Say how large the force of an arrow on paper is.

    Parameters
    ----------
    newtons : float
        Force per metre of the drawing. [N/m]
    reduction : float
        Metres of the drawing per metre on paper.
    system : {"metric", "imperial"}
        Units.
    """
    paper, word = (0.01, "1 cm") if system == "metric" else (LENGTH_UNITS["in"], "1 in")
    force = format_force(newtons * reduction * paper, system)
    return f"arrows on an A4 print: {word} = {force}"


def _arrow(model: Model, force: Force, scale: float, height: float) -> Iterator[AnyLayer]:
    step = force.vector / scale
    start = force.at - step if force.pushes else force.at
    end = start + step
    length = float(np.linalg.norm(step))
    way = step / length
    head = min(_HEAD[0] * height, 0.6 * length)
    # across the arrow, in the raising plane
    side = np.cross(way, model.rightward)
    side = side / max(float(np.linalg.norm(side)), 1e-9)
    side = side * head * _HEAD[1] / _HEAD[0]
    neck = end - head * way
    yield LineLayer(
        role="force", group=FORCES, name=force.name, motion="pose", paths=(np.array([start, neck]),)
    )
    yield MeshLayer(
        role="force_head",
        group=FORCES,
        name=force.name,
        motion="pose",
        vertices=np.array([end, neck + side, neck - side]),
        triangles=np.array([[0, 1, 2]], dtype=np.int32),
    )
    words = f"{force.name}: {format_force(force.size, model.site.site.units)}"
    for rank, share in enumerate(_NAMED_AT):
        place = 1 - share if force.pushes else share
        yield LabelLayer(
            role="label",
            group=FORCES,
            name=force.name,
            motion="pose",
            text=words,
            at=start + place * step,
            priority=9 - 0.05 * rank,
            choice=f"force {force.name}",
        )
