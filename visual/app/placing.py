"""Where something was dragged to, as keys of the site file."""

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

import numpy as np

from visual.errors import InputError
from visual.model import Model, level_bearings, level_fronts, level_line
from visual.rig import SIDES, Side
from visual.units import LENGTH_UNITS, parse_length

What = Literal["base", "front", "anchor"]

REACH = 60.0  # [m] how far the contour through the base is followed


@dataclass(frozen=True)
class Drag:
    """One thing dragged to a place on the ground.

    Parameters
    ----------
    what : {"base", "front", "anchor"}
        What was dragged; the front by a handle in its direction.
    side : str or None
        Which anchor.
    x, y : float
        Where to, in the local frame of the model it was dragged in. [m]
    level : bool
        True to keep to the contour through the base.
    """

    what: What
    side: Side | None
    x: float
    y: float
    level: bool = False


def drag_changes(model: Model, drag: Drag) -> Mapping[str, Any]:
    """Return the keys of the site file that a drag sets.

    Raises
    ------
    InputError
        If an anchor was measured: then it stands where it stands.
    """
    if drag.what == "base":
        return _base(model, drag)
    if drag.what == "front":
        return {"mast.front": round(math.degrees(_front(model, drag)), 1) % 360.0}
    return _anchor(model, drag)


def _base(model: Model, drag: Drag) -> Mapping[str, Any]:
    x, y = (drag.x, drag.y) if not drag.level else _on_contour(model, drag.x, drag.y)
    easting, northing = (float(value) for value in model.frame.to_grid(x, y))
    digits = 7 if model.frame.scale is None else 2
    return {"mast.position": [round(easting, digits), round(northing, digits)]}


def _on_contour(model: Model, x: float, y: float) -> tuple[float, float]:
    """Return the place of the contour through the base that is nearest to a place. [m]"""
    line = level_line(model.ground, reach=min(REACH, math.hypot(x, y) + 10.0))[:, :2]
    if len(line) < 2:
        return x, y
    start, along = line[:-1], np.diff(line, axis=0)
    share = ((np.array([x, y]) - start) * along).sum(axis=1) / (along**2).sum(axis=1)
    places = start + np.clip(share, 0.0, 1.0)[:, None] * along
    nearest = places[np.hypot(*(places - [x, y]).T).argmin()]
    return float(nearest[0]), float(nearest[1])


def _front(model: Model, drag: Drag) -> float:
    bearing = math.atan2(drag.x, drag.y) % math.tau
    if not drag.level:
        return bearing
    radius = (model.anchors["left"].radius + model.anchors["right"].radius) / 2
    fronts = level_fronts(model.ground, radius=radius)
    return bearing if fronts is None else min(fronts, key=lambda one: abs(_turn(bearing, one)))


def _anchor(model: Model, drag: Drag) -> Mapping[str, Any]:
    side = drag.side or "front"
    plan = model.rig.anchors[side]
    if plan.built_at is not None:
        raise InputError.one(
            file=str(model.site.path),
            key=f"anchors.{side}.position",
            value=None,
            rule=f"the {side} anchor was measured, so it stands where it stands",
            way_out="take its position out of the fields first if it is to move",
        )
    radius, bearing = math.hypot(drag.x, drag.y), math.atan2(drag.x, drag.y)
    if drag.level:
        bearing = _level_bearing(model, radius, bearing)
    nominal = model.rig.front + SIDES.index(side) * math.pi / 2
    turn = round(math.degrees(_turn(nominal, bearing)), 1)
    common = model.site.anchors.radius
    written = _length(radius, model)
    alike = common is not None and math.isclose(parse_length(written), common, abs_tol=1e-9)
    return {
        f"anchors.{side}.radius": None if alike else written,
        f"anchors.{side}.turn": turn or None,
    }


def _level_bearing(model: Model, radius: float, bearing: float) -> float:
    bearings = level_bearings(model.ground, radius=radius)
    return bearing if bearings is None else min(bearings, key=lambda b: abs(_turn(bearing, b)))


def _length(metres: float, model: Model) -> str:
    """Return a length as a person would write it: to the centimetre, or the inch."""
    if model.site.site.units == "metric":
        return f"{metres:.2f} m"
    feet, inches = divmod(round(metres / LENGTH_UNITS["in"]), 12)
    return re.sub(r" 0 in$", "", f"{feet} ft {inches} in")


def _turn(start: float, end: float) -> float:
    """Return the turn from one bearing to another, in −π … π. [rad]"""
    return (end - start + math.pi) % math.tau - math.pi
