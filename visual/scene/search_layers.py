"""A siting search as layers: what works and how well, what is lost and why, the short list."""

import math
from collections.abc import Iterator
from typing import Any

import numpy as np
from numpy.typing import NDArray

from visual.scene.camera import ASPECT
from visual.scene.drawn_ground import searched_ground
from visual.scene.ground import draped_area, draped_line
from visual.scene.layers import (
    AnyLayer,
    LabelLayer,
    LineLayer,
    MarkLayer,
    MeshLayer,
    Points,
    TableLayer,
)
from visual.scene.site_ground import site_ground_layers
from visual.scene.surroundings import rings_of, surroundings_layers
from visual.scene.terrain import Terrain, circle
from visual.scene.thin_terrain import ThinTerrain
from visual.search.around import not_judged
from visual.search.causes import WORDS
from visual.search.found import Found, Place
from visual.search.outlines import class_outlines, failed_outlines, lost_reasons
from visual.search.search_text import format_front, format_share

AROUND = 0.55  # ground beyond the land drawn too, as a share of its size: scales are round numbers
FOUND, STANDING = "search", "only:standing"
_LEFT_OUT = ("required_clearance", "required_clearance_edge")  # the lost land says it already
_UP = np.array([0.0, 0.0, 1.0])
_SMALL = 0.015  # a part smaller than this share of the land gets no words
_LETTER = 0.031  # height of a line of text on the map, as a share of the land
_LOOKED = "looked at exactly"
_STROKE = 0.4  # half of it along each axis, in steps
_NUMBER = 0.02  # a number stands so much over its mast, as a share of the land
_FRONT, _HEAD = 0.75, 0.16  # arrow and its head, in total heights


def search_terrain(found: Found) -> ThinTerrain:
    """Return the ground of the searched land, and so much around that it fills a picture."""
    xmin, ymin, xmax, ymax = found.land.whole.bounds
    land = max(ymax - ymin, (xmax - xmin) / ASPECT)
    high = land / 2 + max(AROUND / 2 * land, found.job.numbers.total_height)
    x, y = (xmin + xmax) / 2, (ymin + ymax) / 2
    west, south, east, north = found.model.ground.bounds
    bounds = (
        max(x - ASPECT * high, west),
        max(y - high, south),
        min(x + ASPECT * high, east),
        min(y + high, north),
    )
    return searched_ground(found.model, bounds)


def search_layers(found: Found, terrain: Terrain) -> list[AnyLayer]:
    """Return everything that the pictures of a search show."""
    model = found.model
    return [
        *site_ground_layers(model, terrain),
        *_parts(found, terrain),
        *(one for one in surroundings_layers(model, terrain) if one.role not in _LEFT_OUT),
        *_reasons(found, terrain),
        _now(terrain),
        *(layer for place in found.places for layer in _place(found, place, terrain)),
        _table(found),
    ]


def share_role(share: float) -> str:
    """Return the role of what is left."""
    classes = ((0.75, "search_75"), (0.5, "search_50"), (0.25, "search_25"))
    return next((role for low, role in classes if share >= low), "search_0")


def _parts(found: Found, terrain: Terrain) -> Iterator[AnyLayer]:
    for low, _, outline in class_outlines(found):
        if outline.area > 0:
            yield _fill(outline, terrain, role=share_role(low), name=f"{low:.0%} or more left")
    for one in failed_outlines(found):
        role = "search_unsure" if one.unsure else "search_fails"
        yield from _edged(one.outline, terrain, role=role, name=one.text)
    if found.looked.any():
        yield _looked(found, terrain)
    units = found.model.site.site.units
    for part in found.land.lost:
        name = part.reason.in_units(units)
        yield from _edged(part.shape, terrain, role="search_lost", name=name)


def _looked(found: Found, terrain: Terrain) -> LineLayer:
    """Return a short slanting stroke on each place that was looked at exactly."""
    half = _STROKE * found.job.step
    x, y = found.job.place(*np.nonzero(found.looked))
    ends = np.stack([x - half, y - half, x + half, y + half], axis=-1).reshape(-1, 2, 2)
    return draped_line(terrain, list(ends), role="search_looked", group=FOUND, name=_LOOKED)


def _fill(outline: Any, terrain: Terrain, *, role: str, name: str) -> MeshLayer:
    fill, _ = draped_area(terrain, rings_of(outline), role=role, group=FOUND, name=name)
    assert isinstance(fill, MeshLayer)
    return fill


def _edged(outline: Any, terrain: Terrain, *, role: str, name: str) -> list[MeshLayer | LineLayer]:
    rings = rings_of(outline)
    return draped_area(terrain, rings, role=role, group=FOUND, name=name) if rings else []


def _reasons(found: Found, terrain: Terrain) -> Iterator[LabelLayer]:
    """Say on the land itself what the larger parts are lost to."""
    xmin, ymin, xmax, ymax = found.land.whole.bounds
    ground = max(terrain.east - terrain.west, terrain.north - terrain.south)
    letter = _LETTER * min(max(xmax - xmin, ymax - ymin), ground)

    def ways(text: str) -> list[tuple[str, float, float]]:
        broken_texts = dict.fromkeys(broken(text, lines=lines) for lines in (2, 3))
        return [(one, *_size(one, letter)) for one in broken_texts]

    shown = terrain.west, terrain.south, terrain.east, terrain.north
    for reason in lost_reasons(found, least=_SMALL, ways=ways, shown=shown):
        yield LabelLayer(
            role="reason" if reason.allowed else "label",
            group=FOUND,
            name=reason.text.replace("\n", " "),
            text=broken(reason.text) if reason.small else reason.text,
            at=known_spot(terrain, reason.x, reason.y),
            priority=6 + reason.share,
            over=not reason.small,
        )


def known_spot(terrain: Terrain, x: float, y: float) -> Points:
    """Return the point of the ground at a place; where it is unknown, at its lowest height. [m]"""
    return np.nan_to_num(terrain.on(x, y), nan=terrain.lowest)


def _now(terrain: Terrain) -> MarkLayer:
    """Mark where the site file has the base."""
    at = known_spot(terrain, 0.0, 0.0)
    name = "base in the site file"
    return MarkLayer(
        role="search_now", group="only:plan", name=name, at=at.reshape(1, 3), shape="cross"
    )


def _size(text: str, letter: float) -> tuple[float, float]:
    """Return how wide and high a text stands on the land, about. [m]"""
    lines = text.split("\n")
    return 0.47 * letter * max(map(len, lines)), letter * len(lines)


def broken(text: str, *, lines: int = 2) -> str:
    """Break a text in lines of about the same length."""
    words = text.split(" ")
    if len(text) < 16 or lines < 2:
        return text
    cuts = [
        " ".join(words[:k]) + "\n" + broken(" ".join(words[k:]), lines=lines - 1)
        for k in range(1, len(words))
    ]
    return min(cuts, key=lambda cut: max(len(line) for line in cut.split("\n")), default=text)


def _place(found: Found, place: Place, terrain: Terrain) -> Iterator[AnyLayer]:
    """Draw a place of the short list: its number, which way round, and the mast standing there."""
    total = found.job.numbers.total_height
    way = np.array([math.sin(place.front), math.cos(place.front)])
    base = np.array([place.x, place.y])
    yield draped_line(
        terrain,
        [np.array([base, base - total * way])],
        role="search_back",
        group=FOUND,
        name=f"place {place.rank}, back",
    )
    yield draped_line(
        terrain, arrow_paths(base, way, total), role="search_front", group=FOUND, name=_named(place)
    )
    foot = terrain.on(place.x, place.y)
    yield LabelLayer(
        role="label",
        group="only:plan",
        name=_named(place),
        text=str(place.rank),
        at=foot,
        priority=30 - place.rank,
        label_kind="number",
        over=True,
    )
    yield from _standing(found, place, foot, way)


def over_masts(found: Found) -> float:
    """Return how high over a mast its number stands: clear of the rotor at any size of land. [m]"""
    xmin, ymin, xmax, ymax = found.land.whole.bounds
    return float(_NUMBER * max(xmax - xmin, ymax - ymin))


def _named(place: Place) -> str:
    return f"place {place.rank}"


def arrow_paths(base: Points, way: Points, total: float) -> list[NDArray[np.float64]]:
    """Return the lines of an arrow to the front, as long as the picture's masts ask for. [m]"""
    tip = base + _FRONT * total * way
    across = np.array([-way[1], way[0]])
    barbs = [tip - _HEAD * total * (way + side * 0.6 * across) for side in (1.0, -1.0)]
    return [np.array([base, tip]), np.array([barbs[0], tip, barbs[1]])]


def _standing(found: Found, place: Place, foot: Points, way: Points) -> Iterator[AnyLayer]:
    """Stand the mast on its place, for the picture in space."""
    mast = found.model.rig.mast
    hinge = foot + mast.hinge_height * _UP
    top = hinge + mast.length * _UP
    yield LineLayer(role="mast", group=STANDING, name=_named(place), paths=(np.array([foot, top]),))
    radius = mast.head.rotor_radius if mast.head else 0.0
    if radius > 0:
        ring = circle(radius=radius)
        across = np.array([-way[1], way[0], 0.0])
        hub = hinge + mast.hub_above_hinge * _UP
        path = hub + ring[:, :1] * across + ring[:, 1:] * np.array([0.0, 0.0, 1.0])
        yield LineLayer(role="rotor", group=STANDING, name=_named(place), paths=(path,))
    yield LabelLayer(
        role="label",
        group=STANDING,
        name=_named(place),
        text=str(place.rank),
        at=hinge + (mast.reach + over_masts(found)) * _UP,
        priority=40 - place.rank,
        label_kind="number",
        over=True,
    )


def _table(found: Found) -> TableLayer:
    rows = tuple(
        (str(p.rank), format_front(p.front), format_share(p.share), _short(p)) for p in found.places
    )
    return TableLayer(
        role="label",
        group=FOUND,
        name="places",
        title="Best places",
        head=("", "front", "left", "tightest"),
        rows=rows or (("", "", "", "no place works"),),
        note="; ".join(
            ["left: of what level, open ground leaves"]
            + [f"not judged: {told}" for told in not_judged(found.model)]
        ),
        least=1,
    )


def _short(place: Place) -> str:
    check = WORDS[place.cause].check or "nothing"
    check += ", exact" if place.exact else ""
    return f"{check}, stops" if place.stops else check
