"""The land where a base may stand, as exact polygon offsets, and the reason for what is lost."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import shapely
from shapely.geometry import Point
from shapely.geometry.base import BaseGeometry

from visual.errors import InputError
from visual.model import Model
from visual.search.around import Around, Kept
from visual.units import Sentence, metres, say

QUARTER = 90
"""Pieces of a quarter of a circle: offsets are exact to 1 mm per 25 m."""

USUAL_RADIUS = 150.0
"""Searched around the base where no boundary is known and nothing is said. [m]"""


@dataclass(frozen=True)
class LostPart:
    """A part of the land on which no base may stand.

    Parameters
    ----------
    check : str
        The check that says so.
    reason : Sentence
        What it is lost to: ``"setback of 22.39 m to lane"``.
    shape : shapely geometry
        The part; no two of them overlap. [m]
    """

    check: str
    reason: Sentence
    shape: BaseGeometry = field(repr=False, compare=False)

    @property
    def area(self) -> float:
        """Its area in plan. [m²]"""
        return float(self.shape.area)


@dataclass(frozen=True)
class Land:
    """The land that is searched, and what is left of it.

    Parameters
    ----------
    whole : shapely geometry
        All of it. [m]
    allowed : shapely geometry
        What the rules in plan leave. [m]
    lost : tuple of LostPart
        The rest, each part with its reason; the largest first.
    """

    whole: BaseGeometry = field(repr=False)
    allowed: BaseGeometry = field(repr=False)
    lost: tuple[LostPart, ...]


def land_of(
    model: Model, around: Around, *, within: BaseGeometry | None, radius: float | None
) -> BaseGeometry:
    """Return the land to search.

    Parameters
    ----------
    model : Model
        The model.
    around : Around
        What stands around.
    within : shapely geometry or None
        Search here only. [m]
    radius : float or None
        Search within this of the base only. [m]

    Raises
    ------
    InputError
        If nothing is left.
    """
    land = around.land
    if within is not None:
        land = within if land is None else land.intersection(within)
    if radius is not None or land is None:
        circle = Point(0.0, 0.0).buffer(radius or USUAL_RADIUS, quad_segs=QUARTER)
        land = circle if land is None else land.intersection(circle)
    if land.area <= 0:
        raise InputError.one(
            file=str(model.site.path),
            key="",
            value=None,
            rule="no land is left to search: what was asked for lies outside the boundary",
            way_out="give another area or a larger radius",
        )
    return land


def divide(land: BaseGeometry, around: Around) -> Land:
    """Take from the land what setbacks, roads and keep-outs leave no base on."""
    left, lost = land, []
    for check, reason, zone in _zones(land, around):
        part = left.intersection(zone)
        if part.area > 0:
            lost.append(LostPart(check, reason, part))
            left = left.difference(zone)
    return Land(land, left, tuple(sorted(lost, key=lambda part: -part.area)))


def _zones(land: BaseGeometry, around: Around) -> Iterator[tuple[str, Sentence, BaseGeometry]]:
    if not around.blocking.is_empty:
        yield "base place", say("building, tree, water or keep-out"), around.blocking
    for kept in sorted(around.base, key=lambda one: -one.required):
        edge = "" if kept.inside is None else "the edge of "
        reason = say("setback of {} to {}{}", metres(kept.required), edge, kept.name)
        yield "setback", reason, _zone(land, kept)
    for road in around.roads:
        yield "fall zone", say("a fall would reach {}", road.name), _zone(land, road)


def _zone(land: BaseGeometry, kept: Kept) -> BaseGeometry:
    near = shapely.buffer(kept.shape, kept.required, quad_segs=QUARTER)
    if kept.inside is None:
        return near
    return shapely.union(near, shapely.difference(land, kept.inside))


def land_around(points: Sequence[tuple[float, float]]) -> BaseGeometry:
    """Return the smallest land without a dent that holds all of some places. [m]"""
    return shapely.MultiPoint(points).convex_hull
