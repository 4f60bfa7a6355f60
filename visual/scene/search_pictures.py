"""The map of a search, the land in space with masts on it, and the rose of its best place."""

import math
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np
import numpy.typing as npt

if TYPE_CHECKING:
    from visual.scene.camera import View
    from visual.scene.terrain import Terrain
    from visual.search.found import Found

_UP = np.array([0.0, 0.0, 1.0])
_HEIGHT = math.radians(32.0)  # of the eye over the level
_MAP_HIDES = frozenset({"viewpoints", "clearance", "hoops"})


def draw_search(found: "Found", out: Path, *, size: tuple[int, int] = (1600, 1000)) -> list[Path]:
    """Draw the map of a search, the land in space, and the rose of the best place, as PNG files.

    Parameters
    ----------
    found : Found
        What was found.
    out : Path
        Folder for the files, made if it is missing.
    size : tuple of int
        Width and height. [px]

    Returns
    -------
    list of Path
        The files.

    Raises
    ------
    DrawingError
        If the machine lacks what drawing needs.
    """
    from visual.scene.build import caption_of
    from visual.scene.layers import Scene
    from visual.scene.machine import prepare_off_screen
    from visual.scene.picture import make_picture, write_picture
    from visual.scene.search_layers import search_layers, search_terrain
    from visual.scene.search_rose import draw_rose
    from visual.scene.site_ground import contour_note
    from visual.search.rose import rose_at

    prepare_off_screen()
    out.mkdir(parents=True, exist_ok=True)
    terrain = search_terrain(found)
    caption = replace(caption_of(found.model), notes=(contour_note(found.model, terrain),))
    scene = Scene(tuple(search_layers(found, terrain)), caption)
    paths = []
    for view in (map_view(found, terrain), space_view(found, terrain)):
        path = out / f"{view.name}.png"
        write_picture(path, make_picture(scene, view, width=size[0], height=size[1]))
        paths.append(path)
    if found.places:
        best = found.places[0]
        path = out / "search-rose.png"
        draw_rose(
            found.model,
            rose_at(found.model, best.x, best.y, lattice=found.job.lattice),
            path,
            size=size,
        )
        paths.append(path)
    return paths


def map_view(found: "Found", terrain: "Terrain") -> "View":
    """Return the map, north up."""
    from visual.scene.camera import View, fit_orthographic

    view = View(
        name="search-map",
        title="Where the mast can stand",
        projection="orthographic",
        eye=100 * _UP,
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        hidden=_MAP_HIDES,
        only=frozenset({"only:plan"}),
    )
    return fit_orthographic(view, _outline(found, terrain), margin=0.03)


def space_view(found: "Found", terrain: "Terrain") -> "View":
    """Return the land in space, seen from downhill."""
    from visual.scene.camera import ASPECT, View, fit_perspective
    from visual.scene.framing import slanted

    view = View(
        name="search-space",
        title="The best places",
        projection="perspective",
        eye=100 * slanted(_downhill(found), _HEIGHT),
        target=np.zeros(3),
        up=_UP,
        field_of_view=math.radians(28.0),
        hidden=frozenset({"viewpoints", "clearance", "hoops"}),
        only=frozenset({"only:standing", "only:overview"}),
        on_top=("only:standing",),
    )
    return fit_perspective(view, _outline(found, terrain), aspect=ASPECT, margin=0.03)


def _outline(found: "Found", terrain: "Terrain") -> npt.NDArray[np.float64]:
    """Return the edge of the land on the ground, and the tops of masts. [m]"""
    from visual.scene.search_layers import over_masts
    from visual.scene.surroundings import rings_of

    plan = np.concatenate(rings_of(found.land.whole))
    # land may reach farther than the ground is known
    low, high = [terrain.west, terrain.south], [terrain.east, terrain.north]
    plan = np.clip(plan, low, high)
    points = [terrain.on(float(x), float(y)) for x, y in plan]
    tall = found.job.numbers.total_height + 2 * over_masts(found)
    points += [terrain.on(p.x, p.y, lift=tall) for p in found.places]
    known = np.array(points)
    return known[np.isfinite(known).all(axis=1)]


def _downhill(found: "Found") -> float:
    """Return the bearing that the land falls to on the whole. [rad]"""
    x, y = (part.ravel() for part in np.meshgrid(*[np.linspace(-1, 1, 25)] * 2))
    xmin, ymin, xmax, ymax = found.land.whole.bounds
    x = (xmin + xmax) / 2 + x * (xmax - xmin) / 2
    y = (ymin + ymax) / 2 + y * (ymax - ymin) / 2
    rise = found.model.ground.gradient(x, y)
    east, north = np.nanmean(rise, axis=0)
    return math.atan2(-east, -north)
