"""What is asked of a model about its wires."""

import math

from visual.model import installed
from visual.model.installed import InstalledWire, name_of_wire, span_and_rise
from visual.model.record import Model
from visual.rig import SIDES, Side


def wire_name(model: Model, side: Side, level: int) -> str:
    """Return the name of a wire: its side, and its level from the lowest if there are several."""
    return name_of_wire(model.rig, side, level)


def installed_wires(model: Model) -> tuple[InstalledWire, ...]:
    """Return every wire of the upright mast, side by side from the lowest level up."""
    return model.installed


def installed_wire(model: Model, side: Side, level: int) -> InstalledWire:
    """Return one wire of the upright mast."""
    return model.installed[SIDES.index(side) * len(model.rig.mast.collars) + level]


def straight_length(model: Model, side: Side, level: int) -> float:
    """Return the distance from anchor eye to collar, mast upright. [m]"""
    return math.hypot(*span_and_rise(model.rig, model.anchors[side], level))


def is_measured(model: Model, side: Side) -> bool:
    """Return whether place and height of an anchor's eye were measured."""
    return installed.is_measured(model.rig.anchors[side])
