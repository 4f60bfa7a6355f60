"""The rose of bearings at a spot, drawn on the ground: what works, and what stops the rest."""

import math
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from visual.model import Model
    from visual.scene.camera import View
    from visual.scene.layers import AnyLayer
    from visual.scene.terrain import Terrain
    from visual.search.rose import Rose

_UP = np.array([0.0, 0.0, 1.0])
_INNER, _OUTER = 0.55, 1.0  # of the ring, in total heights
_WORDS = 1.22  # words stand outside of it
_VIEW = 1.55  # half of the ground that is shown


def draw_rose(
    model: "Model", rose: "Rose", path: Path, *, size: tuple[int, int] = (1600, 1000)
) -> None:
    """Draw a rose of bearings as a PNG file.

    Parameters
    ----------
    model : Model
        The site.
    rose : Rose
        What was found at the spot.
    path : Path
        The file.
    size : tuple of int
        Width and height. [px]

    Raises
    ------
    DrawingError
        If the machine lacks what drawing needs.
    """
    from visual.scene.build import caption_of
    from visual.scene.layers import Scene
    from visual.scene.machine import prepare_off_screen
    from visual.scene.picture import make_picture, write_picture
    from visual.scene.site_ground import contour_note, site_ground_layers
    from visual.scene.surroundings import surroundings_layers
    from visual.scene.terrain import Terrain

    prepare_off_screen()
    terrain = Terrain.sample(model.ground.height, bounds=_known(model, rose), cells=300)
    layers = [
        *site_ground_layers(model, terrain),
        *surroundings_layers(model, terrain),
        *rose_layers(model, rose, level_beyond(model, rose)),
    ]
    caption = replace(caption_of(model), notes=(contour_note(model, terrain),))
    picture = make_picture(
        Scene(tuple(layers), caption), _view(model, rose), width=size[0], height=size[1]
    )
    path.parent.mkdir(parents=True, exist_ok=True)
    write_picture(path, picture)


def level_beyond(model: "Model", rose: "Rose") -> "Terrain":
    """Return the ground about the spot, carried on level where it is unknown.

    A ring that is cut where the ground ends would hide what is said of those bearings.
    """
    from visual.scene.terrain import Terrain

    terrain = Terrain.sample(model.ground.height, bounds=_around(model, rose), cells=300)
    known = np.isfinite(terrain.heights)
    level = float(np.median(terrain.heights[known])) if known.any() else 0.0
    return replace(terrain, heights=np.where(known, terrain.heights, level))


def _around(model: "Model", rose: "Rose") -> tuple[float, float, float, float]:
    half = 2.0 * _VIEW * model.rig.mast.total_height
    return rose.x - half, rose.y - half, rose.x + half, rose.y + half


def _known(model: "Model", rose: "Rose") -> tuple[float, float, float, float]:
    """Return what of the bounds lies within those of the ground. [m]"""
    west, south, east, north = model.ground.bounds
    left, low, right, high = _around(model, rose)
    return max(left, west), max(low, south), min(right, east), min(high, north)


def _view(model: "Model", rose: "Rose") -> "View":
    from visual.scene.camera import View, fit_orthographic

    view = View(
        name="rose",
        title="Which way round: bearings of the front",
        projection="orthographic",
        eye=100 * _UP,
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        hidden=frozenset({"viewpoints", "clearance", "hoops"}),
        only=frozenset({"only:plan"}),
    )
    half = _VIEW * model.rig.mast.total_height
    spot = np.array([rose.x, rose.y, 0.0])
    corners = half * np.array([[-1.2, -1.0, 0.0], [1.2, 1.0, 0.0]])
    return fit_orthographic(view, spot + corners, margin=0.0)


def rose_layers(model: "Model", rose: "Rose", terrain: "Terrain") -> "Iterator[AnyLayer]":
    """Yield the ring with its words, the best bearing, and the spot."""
    from visual.scene.layers import LabelLayer, MarkLayer

    total = model.rig.mast.total_height
    for first, last, role in _runs(rose):
        yield from _sector(rose, first, last, role, total, terrain)
    yield from _words(rose, total, terrain)
    yield from _best(rose, total, terrain)
    at = terrain.on(rose.x, rose.y)
    yield MarkLayer(role="base", group="search", name="base", at=at.reshape(1, 3), shape="ring")
    for text, bearing in (("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0)):
        b = math.radians(bearing)
        x, y = rose.x + 0.46 * total * math.sin(b), rose.y + 0.46 * total * math.cos(b)
        yield LabelLayer(
            role="label", group="search", text=text, at=terrain.on(x, y), priority=5, over=True
        )


def _runs(rose: "Rose") -> "Iterator[tuple[int, int, str]]":
    """Yield runs of bearings that look alike: first, last, role."""
    from visual.scene.search_layers import share_role

    out = rose.place_share < 0
    kinds = [
        share_role(float(share)) if works and not out else "rose_fails"
        for works, share in zip(rose.works, rose.left, strict=True)
    ]
    count = len(kinds)
    starts = [i for i in range(count) if kinds[i] != kinds[i - 1]] or [0]
    ends = [*starts[1:], starts[0] + count]
    for a, b in zip(starts, ends, strict=True):
        yield a, b - 1, kinds[a]


def _sector(
    rose: "Rose", first: int, last: int, role: str, total: float, terrain: "Terrain"
) -> "Iterator[AnyLayer]":
    from visual.scene.ground import draped_area

    half = math.pi / rose.bearings.size
    step = 2 * half
    turn = np.linspace(first * step - half, last * step + half, 4 * (last - first + 1) + 1)
    arc = np.stack([np.sin(turn), np.cos(turn)], axis=1)
    ring = np.concatenate([_OUTER * total * arc, _INNER * total * arc[::-1]])
    ring = np.concatenate([ring, ring[:1]]) + np.array([rose.x, rose.y])
    fill, _ = draped_area(terrain, [ring], role=role, group="search", name=role)
    yield fill


def _words(rose: "Rose", total: float, terrain: "Terrain") -> "Iterator[AnyLayer]":
    """Say at each run of bearings what stops it, or how much is left at best."""
    from visual.scene.layers import LabelLayer
    from visual.scene.search_layers import broken
    from visual.search.causes import WORDS
    from visual.search.rose import spans_of

    step = 2 * math.pi / rose.bearings.size
    if rose.place_share < 0:
        yield _out(rose, total, terrain)
    for first, last, cause in spans_of(rose):
        which = np.arange(first, last + 1) % rose.bearings.size
        middle = (first + last) / 2 * step
        if cause is None and rose.place_share < 0:
            text = WORDS[rose.place_cause].text
        elif cause is None:
            text = f"works, {100 * np.nanmax(rose.left[which]):.0f} % left at best"
        else:
            text = WORDS[cause].text
        x = rose.x + _WORDS * total * math.sin(middle)
        y = rose.y + _WORDS * total * math.cos(middle)
        yield LabelLayer(
            role="label" if cause is None else "reason",
            group="search",
            name=text,
            text=broken(text),
            at=terrain.on(x, y),
            priority=5 + (last - first) / rose.bearings.size,
            over=True,
        )


def _out(rose: "Rose", total: float, terrain: "Terrain") -> "AnyLayer":
    """Say in the middle why the spot is out whatever the bearing."""
    from visual.scene.layers import LabelLayer
    from visual.scene.search_layers import broken
    from visual.search.causes import WORDS

    text = WORDS[rose.place_cause].text
    return LabelLayer(
        role="reason",
        group="search",
        name=text,
        text=broken(text),
        at=terrain.on(rose.x, rose.y - 0.2 * total),
        priority=7,
        over=True,
    )


def _best(rose: "Rose", total: float, terrain: "Terrain") -> "Iterator[AnyLayer]":
    from visual.scene.ground import draped_line
    from visual.scene.search_layers import arrow_paths

    if rose.best is None or rose.place_share < 0:
        return
    front = float(rose.bearings[rose.best])
    way = np.array([math.sin(front), math.cos(front)])
    spot: NDArray[np.float64] = np.array([rose.x, rose.y])
    back = [np.array([spot, spot - total * way])]
    yield draped_line(terrain, back, role="search_back", group="search", name="back")
    arrow = arrow_paths(spot, way, total)
    yield draped_line(terrain, arrow, role="search_front", group="search", name="front")
