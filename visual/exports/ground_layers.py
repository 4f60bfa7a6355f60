"""Ground and contours as layers."""

import numpy as np

from visual.exports.draping import without_idle
from visual.exports.drawing import Item, Layer, Solid
from visual.ground import contour_interval
from visual.model import Model
from visual.scene.terrain import Terrain

MOST_FACES = 40_000
"""More triangles of ground than this are replaced by a coarser regular net."""

NEAREST = 100.0
"""The ground is given at least this far to every side of the base. [m]"""

HEIGHTS_AROUND = 5.0
"""And at least this many total heights."""

_FOOT = 0.3048
_INDEX = 5  # every fifth contour is an index contour

Box = tuple[float, float, float, float]


def ground_layers(model: Model) -> list[Layer]:
    """Return the ground as triangles, and its contours."""
    box = ground_box(model)
    return [
        Layer(key="ground", word="ground", role="ground", items=(_ground(model, box),)),
        Layer(
            key="contours",
            word="contours of the ground",
            role="contour_index",
            on_ground=True,
            items=_contours(model, box),
        ),
    ]


def ground_box(model: Model) -> Box:
    """Return the part of the ground that is exported: xmin, ymin, xmax, ymax. [m]"""
    half = max(NEAREST, HEIGHTS_AROUND * model.rig.mast.total_height)
    west, south, east, north = model.ground.bounds
    return max(west, -half), max(south, -half), min(east, half), min(north, half)


def _ground(model: Model, box: Box) -> Item:
    exact = _exact_ground(model, box)
    solid, step = (exact, None) if exact is not None else _net_of_ground(model, box)
    said = "every triangle of survey and DEM" if step is None else "a regular net"
    return Item(
        name="ground",
        attributes={"made_of": said, "net_step_m": step, "faces": float(len(solid[1]))},
        solid=solid,
    )


def _exact_ground(model: Model, box: Box) -> Solid | None:
    """Return the very triangles that every number rests on; None if there are too many."""
    west, south, east, north = box
    dem = model.ground.dem
    if dem is not None and 2 * (east - west) * (north - south) / dem.cell**2 > MOST_FACES:
        return None
    corners = model.ground.triangles(*box)
    if len(corners) > MOST_FACES:
        return None
    vertices, numbers = np.unique(corners.reshape(-1, 3), axis=0, return_inverse=True)
    triangles = _looking_up(vertices, numbers.reshape(-1, 3).astype(np.int32))
    return vertices, triangles


def _looking_up(vertices: np.ndarray, triangles: np.ndarray) -> np.ndarray:
    """Return triangles in the sense in which they are anticlockwise from above."""
    a, b, c = (vertices[triangles[:, k], :2] for k in range(3))
    (ux, uy), (vx, vy) = (b - a).T, (c - a).T
    down = ux * vy - uy * vx < 0
    return np.where(down[:, None], triangles[:, ::-1], triangles)


def _net_of_ground(model: Model, box: Box) -> tuple[Solid, float]:
    west, south, east, north = box
    cells = int(
        np.sqrt(
            MOST_FACES
            / 2
            * max(east - west, north - south) ** 2
            / ((east - west) * (north - south))
        )
    )
    terrain = Terrain.sample(model.ground.height, bounds=box, cells=cells)
    triangles = terrain.triangles
    used, numbers = np.unique(triangles, return_inverse=True)
    solid = terrain.vertices[used], numbers.reshape(triangles.shape).astype(np.int32)
    return solid, terrain.step


def _contours(model: Model, box: Box) -> tuple[Item, ...]:
    """Return one item per level."""
    unit = 1.0 if model.site.site.units == "metric" else _FOOT
    datum = model.frame.origin_height
    x, y = np.meshgrid(np.linspace(box[0], box[2], 81), np.linspace(box[1], box[3], 81))
    relief = float(np.ptp(known)) if (known := _known(model, x, y)).size else 1.0
    interval = contour_interval(relief, unit=unit)
    levels: dict[int, list[np.ndarray]] = {}
    for line in model.ground.contours(box, interval, offset=datum):
        levels.setdefault(round((line.level + datum) / interval), []).append(
            without_idle(line.path)
        )
    return tuple(
        Item(
            name=f"{number * interval / unit:g} {'m' if unit == 1.0 else 'ft'}",
            attributes={"height_m": number * interval, "index": number % _INDEX == 0},
            paths=tuple(paths),
        )
        for number, paths in sorted(levels.items())
    )


def _known(model: Model, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    z = model.ground.height(x, y)
    return z[np.isfinite(z)]
