"""The raise as layers: the mast laid down, the gin pole, the tow line, and the arcs they go."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Report
from visual.exports.drawing import Item, Layer, Value
from visual.exports.rig_layers import UPRIGHT, mast_tube
from visual.model import Model
from visual.raising import Raise, gin_direction, mast_direction
from visual.scene.solids import tube

_ARC_POINTS = 91
_HINGE = np.zeros(3)


def raise_layers(report: Report) -> Iterator[Layer]:
    """Yield what is there only while the mast goes up."""
    model, raised = report.model, report.raised
    yield Layer(
        key="mast_laid",
        word="mast at its start angle, up to the farthest point of mast and rotor",
        role="mast_ghost",
        items=(_laid(model, raised),),
    )
    yield Layer(
        key="gin_pole",
        word="gin pole at the start and with the mast upright",
        role="gin_pole",
        items=(
            _gin_pole(model, "gin pole at the start", raised.first_angle),
            _gin_pole(model, "gin pole, mast upright", UPRIGHT),
        ),
    )
    yield Layer(
        key="raising_arc",
        word="ways of mast top and gin-pole tip",
        role="arc",
        items=tuple(_arcs(model, raised)),
    )
    yield Layer(
        key="tow_line",
        word="tow line at the start and with the mast upright",
        role="tow_line",
        items=tuple(_tow_lines(raised)),
    )


def _laid(model: Model, raised: Raise) -> Item:
    mast, direction = model.rig.mast, mast_direction(model, raised.first_angle)
    known = math.isfinite(raised.start.angle)
    return Item(
        name="mast laid down",
        attributes={
            "angle_deg": math.degrees(raised.first_angle),
            "angle_known": known,
            "limited_by": raised.start.limited_by if known else "ground unknown: drawn level",
        },
        paths=(mast.reach * np.array([_HINGE, direction]),),
        solid=mast_tube(mast, direction),
    )


def _gin_pole(model: Model, name: str, angle: float) -> Item:
    pole = model.rig.gin_pole
    path = pole.length * np.array([_HINGE, gin_direction(model, angle)])
    return Item(
        name=name,
        attributes={"length_m": pole.length, "angle_deg": math.degrees(angle)},
        paths=(path,),
        solid=tube(path, pole.tube.outer_diameter / 2),
    )


def _arcs(model: Model, raised: Raise) -> Iterator[Item]:
    sweep = np.linspace(raised.first_angle, UPRIGHT, _ARC_POINTS)
    mast, pole = model.rig.mast.length, model.rig.gin_pole.length
    attributes: dict[str, Value] = {"from_deg": math.degrees(raised.first_angle), "to_deg": 90.0}
    for name, path in (
        ("way of the mast top", mast * mast_direction(model, sweep)),
        ("way of the gin-pole tip", pole * gin_direction(model, sweep)),
    ):
        yield Item(name=name, attributes=attributes, paths=(path,))


def _tow_lines(raised: Raise) -> Iterator[Item]:
    for name, index in (("tow line at the start", 0), ("tow line, mast upright", -1)):
        path = raised.tow.line_at(index)
        if np.isfinite(path).all():
            yield Item(
                name=name,
                attributes={
                    "angle_deg": math.degrees(float(raised.angles[index])),
                    "distance_of_end_m": float(raised.tow.distance[index]),
                },
                paths=(path,),
            )
