"""The raise in one picture: the mast at other angles, laid down, and the paths of its ends."""

import math
from collections.abc import Iterator

import numpy as np

from visual.model import Model, Vector
from visual.raising import Raise, gin_direction, mast_direction
from visual.scene.layers import AnyLayer, LabelLayer, LineLayer, Points, degrees_text
from visual.scene.solids import ring_about
from visual.scene.tow import vehicle_outline
from visual.scene.turning import UPRIGHT

FINE, COARSE = "ghosts", "only:overview"
"""Groups: the mast every 15° for the side view, and every 30° for the overview."""

_NUMBER = 0.045  # numbers of angles stand this share of the total height beyond the rotor
_HINGE = np.zeros(3)
_APART = math.radians(4.0)  # a ghost nearer than this to the start angle is left out


def ghost_layers(model: Model, raised: Raise) -> list[AnyLayer]:
    """Return everything that shows the raise while the mast itself is drawn at one angle."""
    return [
        *_fan(model, raised, 15.0, FINE),
        *_paths(model, raised, FINE),
        *_start_reach(model, raised),
        *_fan(model, raised, 30.0, COARSE),
        *_paths(model, raised, COARSE),
        *_laid(model, raised, COARSE),
        *_laid(model, raised, "only:plan"),
        *_start_of_tow(model, raised),
    ]


def shown_angles(raised: Raise, step: float) -> list[float]:
    """Return the start angle and every whole `step` after it up to upright. [deg] → [rad]"""
    start, step = raised.first_angle, math.radians(step)
    whole = np.arange(math.ceil(start / step + 1e-6), round(UPRIGHT / step) + 1) * step
    return [start, *(float(angle) for angle in whole if angle - start > _APART)]


def start_words(raised: Raise) -> str:
    """Return the start angle in words; where the ground behind is unknown, so is the start."""
    if not math.isfinite(raised.start.angle):
        return "start not known"
    return f"start {degrees_text(raised.first_angle, 1)}"


def _fan(model: Model, raised: Raise, step: float, group: str) -> Iterator[AnyLayer]:
    length = model.rig.mast.length
    shown = shown_angles(raised, step)
    near, far = (x + _NUMBER * model.rig.mast.total_height for x in (length, model.rig.mast.reach))
    tops = [length * mast_direction(model, angle) for angle in shown]
    # the laid mast of the overview is a layer of its own
    poles = tops if group == FINE else tops[1:-1]
    paths = tuple(np.array([_HINGE, top]) for top in poles)
    yield LineLayer(role="mast_ghost", group=group, name="mast at other angles", paths=paths)
    for angle, top in zip(shown, tops, strict=True):
        if group == FINE:
            # the number of the start angle is a longer text beside a circle
            offers = (far + near - length,) if angle == shown[0] else (near, far)
            for rank, away in enumerate(offers):
                text = start_words(raised) if angle == shown[0] else degrees_text(angle)
                yield _angle_label(away * top / length, text, rank=rank)


def _paths(model: Model, raised: Raise, group: str) -> Iterator[LineLayer]:
    sweep = np.linspace(raised.first_angle, UPRIGHT, 91)
    tops = model.rig.mast.length * mast_direction(model, sweep)
    tips = model.rig.gin_pole.length * gin_direction(model, sweep)
    yield LineLayer(role="arc", group=group, name="raising arc", paths=(tops,))
    yield LineLayer(role="arc_tip", group=group, name="path of the gin-pole tip", paths=(tips,))


def _laid(model: Model, raised: Raise, group: str) -> Iterator[AnyLayer]:
    """Return the mast at its start angle with its rotor."""
    mast = model.rig.mast
    axis = mast_direction(model, raised.first_angle)
    paths: list[Points] = [np.array([_HINGE, mast.length * axis])]
    if mast.head is not None and mast.head.rotor_radius > 0:
        normal = np.cross(model.rightward, axis)
        hub = mast.hub_above_hinge * axis
        paths += [np.array([mast.length * axis, hub])]
        paths += [ring_about(hub, normal, mast.head.rotor_radius)]
    yield LineLayer(role="mast_laid", group=group, name="mast laid down", paths=tuple(paths))
    text = "mast laid down"
    if group == COARSE:
        text = f"{text}, {start_words(raised)}"
    for rank, share in enumerate((0.82, 0.55, 1.0)):
        yield LabelLayer(
            role="label",
            group=group,
            name="mast laid down",
            text=text,
            at=share * mast.length * axis,
            priority=6 - 0.05 * rank,
            choice="mast laid down",
        )


def _start_reach(model: Model, raised: Raise) -> Iterator[LineLayer]:
    """Return how far the rotor reaches at the start angle if it is free to turn."""
    head = model.rig.mast.head
    if head is None or head.rotor_radius <= 0:
        return
    centre = model.rig.mast.hub_above_hinge * mast_direction(model, raised.first_angle)
    ring = ring_about(centre, model.rightward, head.rotor_radius)
    yield LineLayer(role="rotor_reach", group=FINE, name="reach of the rotor", paths=(ring,))


def _start_of_tow(model: Model, raised: Raise) -> Iterator[AnyLayer]:
    """Return gin pole, tow line and vehicle as they stand when the vehicle takes over."""
    tip = model.rig.gin_pole.length * gin_direction(model, raised.first_angle)
    path = np.array([_HINGE, tip])
    yield LineLayer(
        role="gin_pole_ghost", group=COARSE, name="gin pole at the start", paths=(path,)
    )
    line = raised.tow.line_at(0)
    if not np.isfinite(line).all():
        return
    yield LineLayer(
        role="tow_line_ghost", group=COARSE, name="tow line at the start", paths=(line,)
    )
    if model.rig.tow.by == "vehicle":
        edges = vehicle_outline(model, line[-1])
        yield LineLayer(
            role="vehicle_ghost", group=COARSE, name="vehicle at the start", paths=edges
        )


def _angle_label(at: Vector, text: str, *, rank: int) -> LabelLayer:
    """Offer a place for the number of an angle: by the arc or, if need be, beyond the rotor."""
    return LabelLayer(
        role="label",
        group=FINE,
        name=text,
        text=text,
        at=at,
        priority=7.5 - 0.4 * rank,
        label_kind="angle",
        over=True,
        choice=f"angle {text}",
    )
