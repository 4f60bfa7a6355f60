"""Layers of the ground: shaded surface, block sides, contours, and what is draped on it."""

import math
from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

from visual.scene.cut import Ring, drape_area
from visual.scene.layers import LabelLayer, LineLayer, MeshLayer, Points
from visual.scene.shade import ground_picture, hill_shade
from visual.scene.terrain import Terrain

_TEXTURE = 1400  # longest side of the shading [px]


def ground_layer(terrain: Terrain, *, picture: NDArray[np.uint8] | None = None) -> MeshLayer:
    """Return the ground with its shading, or with a picture (first row at the north) on it."""
    if picture is None:
        picture = shaded_ground(terrain)
    rows, columns = terrain.heights.shape
    u, v = np.meshgrid(np.linspace(0, 1, columns), np.linspace(0, 1, rows))
    return MeshLayer(
        role="ground",
        group="ground",
        name="ground",
        vertices=np.nan_to_num(terrain.vertices, nan=terrain.lowest),
        triangles=terrain.triangles,
        texture=picture,
        uv=np.column_stack([u.ravel(), v.ravel()]),
    )


def shaded_ground(terrain: Terrain) -> NDArray[np.uint8]:
    """Return the ground picture from hill shade alone, first row at the north."""
    return ground_picture(fine_shade(terrain))


def fine_shade(terrain: Terrain) -> NDArray[np.float64]:
    """Return hill shade on a grid fine enough to be laid on the ground, rows from the south."""
    shade = hill_shade(terrain.heights, step=terrain.step)
    known = np.isfinite(shade)
    filled = np.where(known, shade, np.nanmean(shade))
    return enlarged(filled, max(1.0, _TEXTURE / max(shade.shape)))


def enlarged(values: NDArray[np.float64], times: float) -> NDArray[np.float64]:
    """Return a grid with more nodes, its corners where they were, straight between the old ones.

    As `scipy.ndimage.zoom` of order 1, whose library takes longer to load than this to run.
    """
    for _ in range(2):  # along one axis, turn, along the other, turn back
        nodes = len(values)
        at = np.linspace(0.0, nodes - 1.0, max(round(nodes * times), 1))
        low = np.minimum(at.astype(int), max(nodes - 2, 0))
        share = (at - low)[:, None]
        high = np.minimum(low + 1, nodes - 1)
        values = ((1.0 - share) * values[low] + share * values[high]).T
    return np.ascontiguousarray(values)


def block_sides(terrain: Terrain, *, depth: float) -> MeshLayer:
    """Return the cut sides under every open edge of the ground, down to a level floor."""
    # an open edge ends where the ground does, at both ends: all others need not be sorted
    edges = open_edges(terrain.triangles, within=terrain.at_the_end)
    upper = terrain.vertices[edges]
    lower = upper.copy()
    lower[:, :, 2] = terrain.lowest - depth
    corners = np.stack([lower[:, 0], lower[:, 1], upper[:, 1], upper[:, 0]], axis=1)
    first = 4 * np.arange(len(edges))[:, None]
    triangles = (first + np.array([[0, 1, 2, 0, 2, 3]])).reshape(-1, 3)
    return MeshLayer(
        role="ground_edge",
        group="ground",
        name="block",
        vertices=corners.reshape(-1, 3),
        triangles=triangles.astype(np.int32),
    )


def open_edges(triangles: NDArray[np.int32], *, within: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Return the edges that belong to one triangle only, as it runs through them, shape (n, 2).

    Parameters
    ----------
    triangles : ndarray of int, shape (m, 3)
        Numbers of corners.
    within : ndarray of bool, shape (n,)
        Which corners to look between; all open edges run between these.
    """
    edges = np.concatenate([triangles[:, [0, 1]], triangles[:, [1, 2]], triangles[:, [2, 0]]])
    edges = edges[within[edges].all(axis=1)]
    pair = np.sort(edges, axis=1).astype(np.int64)
    _, place, count = np.unique(
        pair[:, 0] * len(within) + pair[:, 1], return_index=True, return_counts=True
    )
    return np.asarray(edges[place[count == 1]], dtype=np.int64)


def contour_layers(
    terrain: Terrain,
    contours: Sequence[tuple[float, Points]],
    *,
    is_index: Callable[[float], bool],
    text: Callable[[float], str],
) -> list[LineLayer | LabelLayer]:
    """Return contours, every index contour heavier and labelled.

    Parameters
    ----------
    terrain : Terrain
        The drawn ground that they are laid on.
    contours : sequence of (level, path)
        Level as z and the line, shape (n, 3). [m]
    is_index : callable
        Whether the level at z is drawn heavier.
    text : callable
        Height number of the level at z.
    """
    fine: list[Points] = []
    heavy: list[Points] = []
    labels: list[LabelLayer] = []
    for number, (level, path) in enumerate(contours):
        pieces = terrain.drape(path)
        (heavy if is_index(level) else fine).extend(pieces)
        if is_index(level):
            labels += _contour_labels(pieces, text(level), number)
    return [
        LineLayer(role="contour", group="contours", name="contours", paths=tuple(fine)),
        LineLayer(
            role="contour_index", group="contours", name="index contours", paths=tuple(heavy)
        ),
        *labels,
    ]


def _contour_labels(pieces: Sequence[Points], text: str, number: int) -> list[LabelLayer]:
    """Offer places for a height number along each long piece; the layout picks what fits."""
    labels = []
    for piece in pieces:
        length = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(piece, axis=0), axis=1))]
        if length[-1] < 20.0:
            continue
        for share in (0.18, 0.5, 0.82):
            k = int(np.clip(np.searchsorted(length, share * length[-1]), 3, len(piece) - 4))
            labels.append(
                LabelLayer(
                    role="contour_index",
                    group="contours",
                    choice=f"contour {number}",
                    text=text,
                    at=piece[k],
                    along=piece[k + 3] - piece[k - 3],
                    priority=0.1,
                    label_kind="height",
                )
            )
    return labels


def draped_area(
    terrain: Terrain,
    rings: Sequence[Ring],
    *,
    role: str,
    group: str,
    name: str,
    unknown: float = math.nan,
) -> list[MeshLayer | LineLayer]:
    """Return an area on the ground as a filled layer and its outline (role + ``"_edge"``).

    Where the ground is unknown nothing is filled; for the outline there see `Terrain.drape_all`.
    """
    vertices, triangles = drape_area(terrain, rings)
    fill = MeshLayer(role=role, group=group, name=name, vertices=vertices, triangles=triangles)
    edge = draped_line(terrain, rings, role=f"{role}_edge", group=group, name=name, unknown=unknown)
    return [fill, edge]


def draped_line(
    terrain: Terrain,
    paths: Sequence[NDArray[np.float64]],
    *,
    role: str,
    group: str,
    name: str,
    unknown: float = math.nan,
) -> LineLayer:
    """Return plan lines laid on the ground; where that is unknown see `Terrain.drape_all`."""
    pieces = terrain.drape_all(paths, unknown=unknown)
    return LineLayer(role=role, group=group, name=name, paths=tuple(pieces))
