"""Setbacks as layers: one line per rule, with ticks on the side to keep off and its distance.

Where the lines of several things that a rule speaks of run into each other they make one outline.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.checks import Report, Setback
from visual.model import Model
from visual.scene.cut import inside
from visual.scene.ground import draped_line
from visual.scene.layers import AnyLayer, LabelLayer
from visual.scene.surroundings import paths_of, rings_of
from visual.scene.terrain import Terrain, densify
from visual.units import UnitSystem, format_length

_FOOT = 0.3048
_SMOOTH = 0.05  # outlines are simplified by this much [m]
_OWN = 0.02  # a setback from a boundary does not follow the boundary itself [m]
# Shares of the total height; a plan is about 3.8 of them wide:
_TICK, _APART = 0.055, 0.10  # length and distance of the ticks
_BESIDE = (0.045, 0.10)  # a name stands this far from its line: beside it, or past ticks there
_PAST = 0.5  # which is as good as a place so much farther from the base
_LETTER, _LONGEST = 0.037, 1.0  # and needs about this much of it for each letter, at most in all
_HALF = 0.31  # its ends are taken to be so far from its middle
_STRAIGHT = 0.985  # chord over length of a piece that a name can follow
_MOST_NAMES = 24

Offer = tuple[NDArray[np.float64], NDArray[np.float64]]
"""Where a name may stand in plan, and the direction of the line there."""


def setback_layers(report: Report, terrain: Terrain) -> list[AnyLayer]:
    """Return the line of every setback rule."""
    return setback_lines(report.model, report.setbacks, terrain)


def setback_lines(model: Model, setbacks: Iterable[Setback], terrain: Terrain) -> list[AnyLayer]:
    """Return the lines of measured setbacks, one for each rule."""
    layers: list[AnyLayer] = []
    for rule, group in groupby(sorted(setbacks, key=_rule), key=_rule):
        layers += _line(model, rule, list(group), terrain)
    return layers


def _rule(setback: Setback) -> tuple[str, str, float]:
    return setback.to, setback.measured_from, setback.required


def _line(
    model: Model, rule: tuple[str, str, float], setbacks: list[Setback], terrain: Terrain
) -> Iterator[AnyLayer]:
    outline, rings = _outline(model, setbacks)
    if not outline:
        return
    text = _words(model, rule, setbacks)
    for role, group in (("setback", "only:plan"), ("setback_light", "only:overview")):
        yield draped_line(terrain, outline, role=role, group=group, name=text)
    total = model.rig.mast.total_height
    ticks = [tick for path in outline for tick in _ticks(path, rings, total)]
    yield draped_line(terrain, ticks, role="setback_comb", group="only:plan", name=text)
    need = min(_LETTER * len(text), _LONGEST) * total
    yield from _names(model, _straight_offers(outline, rings, total, need), text, terrain)


def setback_words(model: Model, setbacks: Iterable[Setback]) -> dict[str, str]:
    """Return by rule what its line means in the units of a model."""
    ordered = groupby(sorted(setbacks, key=_rule), key=_rule)
    return {f"{rule}": _words(model, rule, list(group)) for rule, group in ordered}


def _words(model: Model, rule: tuple[str, str, float], setbacks: Sequence[Setback]) -> str:
    """Return what the line of a rule means, e.g. ``"keep 22.39 m from boundary: is 58.46 m"``.

    Of several things that the rule speaks of the nearest is named.
    """
    to, measured_from, required = rule
    nearest = min(setbacks, key=lambda one: one.distance)
    found, units = nearest.distance, model.site.site.units
    of = "" if measured_from == "base" else f", {measured_from.replace('_', ' ')}"
    kept = f"keep {_at_least(required, units)} from {to.replace('_', ' ')}{of}"
    several = len(setbacks) > 1
    if found < 0:
        return f"{kept}: is {_at_least(-found, units)} outside" + (
            f" of {nearest.name}" if several else ""
        )
    far = f"{'only ' if found < required else ''}{_no_more_than(found, units)}"
    return f"{kept}: {far} to {nearest.name}" if several else f"{kept}: is {far}"


def _at_least(metres: float, units: UnitSystem) -> str:
    """Return a length that is short enough for a label: tenths of a foot, rounded up."""
    if units == "metric":
        return format_length(metres, units)
    return f"{math.ceil(round(10 * metres / _FOOT, 6)) / 10:.1f} ft"


def _no_more_than(metres: float, units: UnitSystem) -> str:
    """Return the same, rounded down: a label never promises more than there is."""
    if units == "metric":
        return format_length(metres, units)
    return f"{math.floor(round(10 * metres / _FOOT, 6)) / 10:.1f} ft"


def _outline(
    model: Model, setbacks: Sequence[Setback]
) -> tuple[list[NDArray[np.float64]], list[NDArray[np.float64]]]:
    """Return the line of a rule and the rings of the area behind it, in plan. [m]"""
    whole: Any = None
    own: Any = None
    for setback in setbacks:
        land = _land(model, setback)
        band = setback.shape.buffer(setback.required)
        if land is not None:
            band = band.intersection(land)
            edge = land.boundary.buffer(_OWN)
            own = edge if own is None else own.union(edge)
        whole = band if whole is None else whole.union(band)
    whole = whole.simplify(_SMOOTH)
    line = whole.boundary if own is None else whole.boundary.difference(own)
    return paths_of(line), rings_of(whole)


def _land(model: Model, setback: Setback) -> Any:
    """Return the land that a setback from a boundary lies in; None for anything else."""
    if setback.to != "boundary":
        return None
    lands = model.surroundings.areas_of("boundary")
    named = (a.shape for a in lands if a.name == setback.name and a.shape.area > 0)
    return next(named, None)


def _ticks(
    path: NDArray[np.float64], rings: Sequence[NDArray[np.float64]], total: float
) -> list[NDArray[np.float64]]:
    """Return slanted ticks on the side of a line that lies in the area."""
    at, way = _stations(path, _APART * total)
    ticks = []
    for side in (1.0, -1.0):
        across = side * np.column_stack([-way[:, 1], way[:, 0]])
        slant = (across + 0.5 * way) / math.hypot(1.0, 0.5)
        ends = at + _TICK * total * slant
        near = at + 0.02 * total * slant
        kept = inside(rings, *near.T) & inside(rings, *ends.T)
        ticks += [np.array([a, b]) for a, b in zip(at[kept], ends[kept], strict=True)]
    return ticks


def _stations(
    path: NDArray[np.float64], step: float
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return places evenly along a line and its direction there."""
    run = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(path, axis=0), axis=1))]
    count = max(1, int(run[-1] / step))
    where = (np.arange(count) + 0.5) * run[-1] / count
    at, ahead, behind = (
        np.column_stack([np.interp(where + d, run, path[:, k]) for k in (0, 1)])
        for d in (0.0, 1e-3, -1e-3)
    )
    way = ahead - behind
    return at, way / np.maximum(np.linalg.norm(way, axis=1, keepdims=True), 1e-12)


def _straight_offers(
    outline: Sequence[NDArray[np.float64]],
    rings: Sequence[NDArray[np.float64]],
    total: float,
    need: float,
) -> list[Offer]:
    """Return places for a name of a length along all straight pieces, nearest to the base first.

    Those close to the line come before those past the ticks of another line beside it.
    """
    ranked: list[tuple[float, Offer]] = []
    for number, share in enumerate(_BESIDE):
        for path in outline:
            for offer in _straight_places(path, rings, need, share * total):
                ranked.append((float(np.hypot(*offer[0])) + number * _PAST * total, offer))
    return [offer for _, offer in sorted(ranked, key=lambda one: one[0])]


def _names(
    model: Model, offers: Sequence[Offer], text: str, terrain: Terrain
) -> Iterator[LabelLayer]:
    """Offer places for the words of a rule, not on a roof."""
    roofs = [ring for one in model.surroundings.buildings for ring in rings_of(one.footprint)]
    half = _HALF * model.rig.mast.total_height
    open_offers = [offer for offer in offers if not _touches(offer, roofs, half)]
    for rank, (at, way) in enumerate(open_offers[:_MOST_NAMES]):
        place = terrain.on(float(at[0]), float(at[1]))
        if not np.isfinite(place).all():
            continue
        yield LabelLayer(
            role="setback_name",
            group="only:plan",
            name=text,
            text=text,
            at=place,
            along=np.array([*way, 0.0]),
            priority=4.5 - 0.02 * rank,
            choice=f"setback {text}",
        )


def _touches(offer: Offer, rings: Sequence[NDArray[np.float64]], half: float) -> bool:
    """Return whether a name of a length stands in an area with its middle or its ends."""
    at, way = offer
    places = at + np.array([[-half], [0.0], [half]]) * way
    return bool(inside(rings, places[:, 0], places[:, 1]).any())


def _straight_places(
    path: NDArray[np.float64], rings: Sequence[NDArray[np.float64]], need: float, beside: float
) -> list[Offer]:
    """Return places beside straight pieces, on the side where the mast may stand."""
    offers: list[Offer] = []
    fine = densify(path, need / 8)
    run = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(fine, axis=0), axis=1))]
    for middle in np.arange(need / 2, run[-1] - need / 2, need / 2):
        ends = np.searchsorted(run, [middle - need / 2, middle + need / 2])
        a, b = (int(k) for k in np.minimum(ends, len(fine) - 1))
        chord = fine[b] - fine[a]
        length = float(np.linalg.norm(chord))
        if length < _STRAIGHT * float(run[b] - run[a]) or length < 1e-9:
            continue
        way = chord / length
        at = fine[int(np.searchsorted(run, middle))]
        offers += [(at + side * np.array([-way[1], way[0]]), way) for side in (beside, -beside)]
    if not offers:
        return []
    places = np.array([at for at, _ in offers])
    open_side = ~inside(rings, places[:, 0], places[:, 1])
    return [offer for offer, is_open in zip(offers, open_side, strict=True) if is_open]
