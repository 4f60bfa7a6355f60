"""The rose of bearings at a spot, drawn on the ground: what works, and what stops the rest."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
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
_WORDS, _ASIDE = 1.2, 0.18  # words stand outside of it, and farther to the sides
_LETTERS = 0.46
_VIEW = 1.5  # half of the ground that is shown


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
    from dataclasses import replace

    from visual.scene.build import caption_of
    from visual.scene.drawn_ground import searched_ground
    from visual.scene.layers import Scene
    from visual.scene.machine import prepare_off_screen
    from visual.scene.picture import make_picture, write_picture
    from visual.scene.site_ground import contour_note, site_ground_layers
    from visual.scene.surroundings import surroundings_layers

    prepare_off_screen()
    terrain = searched_ground(model, _bounds(model, rose))
    layers = [
        *site_ground_layers(model, terrain),
        *surroundings_layers(model, terrain),
        *rose_layers(model, rose, terrain),
    ]
    caption = replace(caption_of(model), notes=(contour_note(model, terrain),))
    picture = make_picture(
        Scene(tuple(layers), caption), _view(model, rose, terrain), width=size[0], height=size[1]
    )
    path.parent.mkdir(parents=True, exist_ok=True)
    write_picture(path, picture)


def _bounds(model: "Model", rose: "Rose") -> tuple[float, float, float, float]:
    half = 2.0 * _VIEW * model.rig.mast.total_height
    west, south, east, north = model.ground.bounds
    return (
        max(rose.x - half, west),
        max(rose.y - half, south),
        min(rose.x + half, east),
        min(rose.y + half, north),
    )


def _view(model: "Model", rose: "Rose", terrain: "Terrain") -> "View":
    from visual.scene.camera import View, fit_orthographic
    from visual.search.search_text import format_spot

    spot = format_spot(model.frame, *(float(v) for v in model.frame.to_grid(rose.x, rose.y)))
    view = View(
        name="rose",
        title=f"Which way round: bearings of the front at {' '.join(spot)}",
        projection="orthographic",
        eye=100 * _UP,
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        hidden=frozenset({"viewpoints", "clearance", "hoops"}),
        only=frozenset({"only:plan"}),
    )
    ring = _Ring.of(model, rose, terrain)
    half = _VIEW * ring.total
    corners = half * np.array([[-1.2, -1.0, 0.0], [1.2, 1.0, 0.0]])
    return fit_orthographic(view, ring.centre + corners, margin=0.0)


@dataclass(frozen=True, eq=False)
class _Ring:
    """Where the ring lies: level and over everything, so that it shows beyond known ground too.

    Parameters
    ----------
    centre : ndarray, shape (3,)
        Its middle. [m]
    total : float
        Total height of the mast. [m]
    """

    centre: NDArray[np.float64]
    total: float

    @classmethod
    def of(cls, model: "Model", rose: "Rose", terrain: "Terrain") -> "_Ring":
        """Return the ring of a rose."""
        total = model.rig.mast.total_height
        highest = float(np.nanmax(terrain.heights)) + total
        return cls(np.array([rose.x, rose.y, highest]), total)

    def at(
        self, bearings: NDArray[np.float64] | float, share: NDArray[np.float64] | float
    ) -> NDArray[np.float64]:
        """Return points at bearings [rad], so many total heights from the middle."""
        way = np.stack([np.sin(bearings), np.cos(bearings), np.zeros(np.shape(bearings))], axis=-1)
        return np.asarray(self.centre + self.total * np.multiply.outer(share, way))


def rose_layers(model: "Model", rose: "Rose", terrain: "Terrain") -> "Iterator[AnyLayer]":
    """Yield the ring with its words, the best bearing, and the spot."""
    from visual.scene.layers import MarkLayer

    ring = _Ring.of(model, rose, terrain)
    for first, last, role in _runs(rose):
        yield _sector(rose, first, last, role, ring)
    yield _edges(rose, ring)
    yield from _words(rose, ring)
    yield from _best(rose, ring)
    at = ring.centre.reshape(1, 3)
    yield MarkLayer(role="base", group="search", name="base", at=at, shape="ring")
    for text, bearing in (("N", 0.0), ("E", 90.0), ("S", 180.0), ("W", 270.0)):
        yield _label(text, ring.at(math.radians(bearing), _LETTERS), role="label", priority=5.0)


def _label(text: str, at: NDArray[np.float64], *, role: str, priority: float) -> "AnyLayer":
    from visual.scene.layers import LabelLayer
    from visual.scene.search_layers import broken

    return LabelLayer(
        role=role,
        group="search",
        name=text,
        text=broken(text),
        at=at,
        priority=priority,
        over=True,
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


def _sector(rose: "Rose", first: int, last: int, role: str, ring: _Ring) -> "AnyLayer":
    from visual.scene.cut import flat_area
    from visual.scene.layers import MeshLayer

    half = math.pi / rose.bearings.size
    step = 2 * half
    turn = np.linspace(first * step - half, last * step + half, 4 * (last - first + 1) + 1)
    edge = np.concatenate([ring.at(turn, _OUTER), ring.at(turn[::-1], _INNER)])
    vertices, triangles = flat_area([np.concatenate([edge, edge[:1]])], float(ring.centre[2]))
    return MeshLayer(role=role, group="search", name=role, vertices=vertices, triangles=triangles)


def _edges(rose: "Rose", ring: _Ring) -> "AnyLayer":
    """Part what one thing stops from what another does."""
    from visual.scene.layers import LineLayer
    from visual.search.rose import spans_of

    spans, step = spans_of(rose), 2 * math.pi / rose.bearings.size
    between = [(first - 0.5) * step for first, _, _ in spans] if len(spans) > 1 else []
    paths = tuple(ring.at(turn, np.array([_INNER, _OUTER])) for turn in between)
    return LineLayer(role="rose_edge", group="search", name="edges", paths=paths)


def _words(rose: "Rose", ring: _Ring) -> "Iterator[AnyLayer]":
    """Say at each run of bearings what stops it, or how much is left at best."""
    from visual.search.causes import WORDS
    from visual.search.rose import spans_of

    step = 2 * math.pi / rose.bearings.size
    out = rose.place_share < 0
    if out:  # whatever the bearing: said in the middle
        text = WORDS[rose.place_cause].text
        yield _label(text, ring.at(math.pi, 0.2), role="reason", priority=7.0)
    for first, last, cause in spans_of(rose):
        which = np.arange(first, last + 1) % rose.bearings.size
        middle = (first + last) / 2 * step
        if cause is not None:
            text = WORDS[cause].text
        elif out:
            text = WORDS[rose.place_cause].text
        else:
            text = f"works, {100 * np.nanmax(rose.left[which]):.0f} % left at best"
        yield _label(
            text,
            ring.at(middle, _WORDS + _ASIDE * abs(math.sin(middle))),
            role="label" if cause is None else "reason",
            priority=5 + (last - first) / rose.bearings.size,
        )


def _best(rose: "Rose", ring: _Ring) -> "Iterator[AnyLayer]":
    from visual.scene.layers import LineLayer
    from visual.scene.search_layers import arrow_paths

    if rose.best is None or rose.place_share < 0:
        return
    front = float(rose.bearings[rose.best])
    back = np.stack([ring.centre, ring.at(front, -1.0)])
    yield LineLayer(role="search_back", group="search", name="back", paths=(back,))
    way = np.array([math.sin(front), math.cos(front)])
    arrow = [
        np.column_stack([path, np.full(len(path), ring.centre[2])])
        for path in arrow_paths(ring.centre[:2], way, ring.total)
    ]
    yield LineLayer(role="search_front", group="search", name="front", paths=tuple(arrow))
