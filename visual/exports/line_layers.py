"""Overhead lines as layers: conductors, supports and the clearance to keep."""

import math
from collections.abc import Iterator

import numpy as np
from shapely.geometry import MultiLineString

from visual.exports.draping import polygons
from visual.exports.drawing import Item, Layer, Points, Solid, Value
from visual.exports.site_layers import number
from visual.model import Model, PlacedLine
from visual.scene.power_line import known_spans, strands
from visual.scene.solids import merge, tube

_SIDES = 24  # faces around a clearance tube
_WIDER = 1 / math.cos(math.pi / _SIDES)  # so that its faces stay outside of the round tube
_BALL_SIDES, _BANDS = 16, 8  # faces around a ball, and from pole to pole
_QUARTER = 16  # segments per quarter of a circle at the ends of a clearance band


def line_layers(model: Model) -> Iterator[Layer]:
    """Yield conductors, supports and required clearance of all overhead lines."""
    lines = model.surroundings.lines
    yield Layer(
        key="overhead_lines",
        word="conductors of overhead lines; where the sag is unknown, the chord and the deepest",
        role="conductor",
        items=tuple(_conductors(model, line) for line in lines),
        named=True,
    )
    yield Layer(
        key="overhead_line_supports",
        word="supports of overhead lines, up to the lowest conductor",
        role="support",
        plan="places",
        items=tuple(item for line in lines for item in _supports(model, line)),
    )
    yield Layer(
        key="required_clearance",
        word="space to keep out of around overhead lines",
        role="required_clearance_edge",
        plan="areas",
        items=tuple(item for line in lines for item in _clearance(model, line)),
    )


def _attributes(model: Model, line: PlacedLine) -> dict[str, Value]:
    required = model.site.limits.overhead_line.required(line.voltage_kv)
    return {
        "voltage_kv": number(line.voltage_kv),
        "sag_m": number(line.sag),
        "sag_known": line.sag is not None,
        "spread_m": number(line.spread),
        "required_clearance_m": number(required.distance),
        "basis": required.basis,
    }


def _conductors(model: Model, line: PlacedLine) -> Item:
    """Return every known strand; a line without known spans shows where it runs in plan."""
    spans = known_spans(line)
    paths = tuple(path + shift for span in spans for path, shift in strands(line, span))
    supports = tuple(line.supports[k : k + 2] for k in range(len(line.supports) - 1))
    return Item(name=line.name, attributes=_attributes(model, line), paths=paths or supports)


def _supports(model: Model, line: PlacedLine) -> Iterator[Item]:
    for k, (top, foot) in enumerate(zip(line.supports, line.support_feet, strict=True), start=1):
        ends = np.array([[top[0], top[1], foot], top])
        known = bool(np.isfinite(ends).all())
        yield Item(
            name=f"{line.name}, support {k}",
            attributes={
                "line": line.name,
                "ground_height_m": number(model.frame.height(float(foot))),
                "conductor_height_m": number(model.frame.height(float(top[2]))),
            },
            at=ends[0],
            paths=(ends,) if known else (),
            solid=tube(ends, 0.12, sides=8) if known and top[2] > foot else None,
        )


def _clearance(model: Model, line: PlacedLine) -> Iterator[Item]:
    attributes = _attributes(model, line)
    required = attributes["required_clearance_m"]
    spans = known_spans(line)
    if not isinstance(required, float) or not spans:
        return
    radius = required + line.spread / 2
    band = MultiLineString([span[:, :2] for span in spans]).buffer(radius, quad_segs=_QUARTER)
    yield Item(
        name=f"required clearance of {line.name}",
        attributes={"line": line.name, **attributes, "radius_m": radius},
        areas=polygons(model, band),
        solid=merge(_around(line, spans, radius)),
    )


def _around(line: PlacedLine, spans: list[Points], radius: float) -> Iterator[Solid]:
    """Yield a tube around each span and a ball around each end, none narrower than `radius`.

    Where the sag is unknown, the straight line between the supports has a tube of its own.
    """
    for span in spans:
        yield tube(span, _WIDER * radius, sides=_SIDES, capped=False)
        if line.sag is None and len(span) > 2:
            yield tube(span[[0, -1]], _WIDER * radius, sides=_SIDES, capped=False)
    for end in np.unique([span[k] for span in spans for k in (0, -1)], axis=0):
        yield ball(end, radius)


def ball(centre: Points, radius: float) -> Solid:
    """Return a ball of flat faces that lie outside of the round one."""
    turn = np.linspace(0.0, math.pi, _BANDS + 1)
    outer = radius / math.cos(math.pi / _BANDS / 2) / math.cos(math.pi / _BALL_SIDES)
    axis = centre - outer * np.cos(turn)[:, None] * np.array([0.0, 0.0, 1.0])
    return tube(axis, (outer * np.sin(turn)).tolist(), sides=_BALL_SIDES, capped=False)
