"""What a search found, as files: a raster, polygons and points, and the list as JSON."""

import math
from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry import LineString, Point

from visual.checks import Finding, write_document
from visual.checks.results import finding_results
from visual.ground import write_geotiff
from visual.search.around import not_judged
from visual.search.causes import WORDS, Cause, unsure_text
from visual.search.found import Found, Place
from visual.search.outlines import class_outlines, failed_outlines
from visual.site import VectorLayer, write_geopackage, write_moved
from visual.units import UnitSystem

Array = NDArray[np.float64]


def write_search(found: Found, folder: Path) -> list[Path]:
    """Write raster, polygons and list of a search into a folder, and return the files.

    ``search.tif`` has four bands: what is left, the best front bearing, the number of the `Cause`,
    and how it was looked at; ``search.gpkg`` the layers ``allowed``, ``lost``, ``works``,
    ``fails``, ``looked``, ``places`` and ``fronts``.

    Raises
    ------
    InputError
        If a file cannot be written.
    """
    folder.mkdir(parents=True, exist_ok=True)
    names = [f"search.{end}" for end in ("tif", "gpkg", "json")]
    with TemporaryDirectory(dir=folder) as aside:
        raster, shapes, listed = (Path(aside) / name for name in names)
        _write_raster(found, raster)
        write_geopackage(shapes, list(_layers(found)), frame=found.model.frame)
        write_document(search_document(found), listed)
        # whoever interrupts this finds the old files or the new ones, none half-written
        return [(Path(aside) / name).replace(folder / name) for name in names]


def write_place(found: Found, rank: int) -> Path:
    """Write a new site file with a place of the short list beside the old one; return it.

    Raises
    ------
    InputError
        If it is there already or cannot be written.
    """
    place, path = found.places[rank - 1], found.model.site.path
    target = path.with_name(f"{path.stem}_place_{rank}.toml")
    frame = found.model.frame
    write_moved(
        path,
        target,
        position=(place.easting, place.northing),
        front=math.degrees(place.front) % 360.0,
        in_degrees=not frame.is_local and frame.scale is None,
    )
    return target


def _write_raster(found: Found, path: Path) -> None:
    rows, columns = found.share.shape
    frame, job = found.model.frame, found.job
    x, y = job.place(np.array([0, rows - 1, 0]), np.array([0, 0, columns - 1]))
    grid = np.stack(frame.to_grid(x, y), axis=-1)
    down, right = (grid[1] - grid[0]) / (rows - 1), (grid[2] - grid[0]) / (columns - 1)
    known = found.searched
    share = np.where(known & np.isfinite(found.share), found.share, np.nan)
    bearings = np.degrees(job.tables[0].bearings)
    bearing = np.where(found.bearing >= 0, bearings[np.maximum(found.bearing, 0)], np.nan)
    write_geotiff(
        path,
        {
            "left of the tightest limit": share.astype(float),
            "best front, grid bearing in degrees": bearing,
            "cause": np.where(known, found.cause, np.nan).astype(float),
            "how it was looked at": np.where(known, _looked(found), np.nan),
        },
        crs=frame.crs,
        origin=(float(grid[0, 0]), float(grid[0, 1])),
        down=(float(down[0]), float(down[1])),
        right=(float(right[0]), float(right[1])),
    )


def _looked(found: Found) -> Array:
    """Return 0 for the bounds alone, 1 for exact looks, 2 where only a bound says no."""
    return np.where(found.unsure, 2.0, np.where(found.looked, 1.0, 0.0))


def _layers(found: Found) -> Iterator[VectorLayer]:
    land, units = found.land, found.model.site.site.units
    if land.allowed.area > 0:
        yield VectorLayer("allowed", "MultiPolygon", [land.allowed], {"area": [land.allowed.area]})
    lost = list(land.lost)
    yield VectorLayer(
        "lost",
        "MultiPolygon",
        [part.shape for part in lost],
        {
            "check": [part.check for part in lost],
            "reason": [part.reason.in_units(units) for part in lost],
            "area": [part.area for part in lost],
        },
    )
    works = [one for one in class_outlines(found) if one[2].area > 0]
    yield VectorLayer(
        "works",
        "MultiPolygon",
        [outline for _, _, outline in works],
        {"left_from": [low for low, _, _ in works], "left_to": [high for _, high, _ in works]},
    )
    fails = failed_outlines(found)
    yield VectorLayer(
        "fails",
        "MultiPolygon",
        [one.outline for one in fails],
        {
            "check": [WORDS[one.cause].check for one in fails],
            "reason": [one.text for one in fails],
            "sure": [not one.unsure for one in fails],
        },
    )
    spots = np.argwhere(found.looked)
    yield VectorLayer(
        "looked",
        "Point",
        [Point(*map(float, found.job.place(row, column))) for row, column in spots],
        {
            "works": [bool(found.works[row, column]) for row, column in spots],
            "left": [float(found.share[row, column]) for row, column in spots],
            "front": [math.degrees(found.front(row, column)) for row, column in spots],
            "reason": [_said(found, row, column) for row, column in spots],
        },
    )
    yield from _place_layers(found)


def _said(found: Found, row: int, column: int) -> str:
    """Return what is tightest at a place that works, or stops one that does not, in words."""
    words = WORDS[Cause(int(found.cause[row, column]))]
    return words.tight if found.works[row, column] else words.text


def _place_layers(found: Found) -> Iterator[VectorLayer]:
    places = found.places
    reach = found.job.numbers.gin + found.job.numbers.line_length
    columns: dict[str, Any] = {
        "rank": [place.rank for place in places],
        "front": [math.degrees(place.front) % 360.0 for place in places],
        "left": [place.share for place in places],
        "tightest": [place.words for place in places],
        "exact": [place.exact for place in places],
        "stops": [place.stops for place in places],
        "cautions": [place.cautions for place in places],
        "not_checked": [place.unchecked for place in places],
    }
    yield VectorLayer("places", "Point", [Point(place.x, place.y) for place in places], columns)
    ahead = [
        LineString(
            [
                (place.x, place.y),
                (
                    place.x + reach * math.sin(place.front),
                    place.y + reach * math.cos(place.front),
                ),
            ]
        )
        for place in places
    ]
    yield VectorLayer("fronts", "LineString", ahead, {"rank": columns["rank"]})


def search_document(found: Found) -> dict[str, Any]:
    """Return the result of a search as plain data: SI units, degrees, nothing rounded.

    Words are in the units of the site's results.
    """
    units = found.model.site.site.units
    return {
        "format": 1,
        "site": found.model.site.site.name,
        "crs": found.model.frame.crs,
        "complete": found.complete,
        "step": found.job.step,
        "bearings": int(found.job.tables[0].bearings.size),
        "area": found.land.whole.area,
        "allowed_area": found.land.allowed.area,
        "works_area": float(found.works.sum()) * found.cell_area,
        "lost": [
            {"check": part.check, "reason": part.reason.in_units(units), "area": part.area}
            for part in found.land.lost
        ],
        "fails": [
            {"check": WORDS[cause].check, "reason": WORDS[cause].text, "area": area, "sure": True}
            for cause, area in found.areas().items()
        ]
        + [
            {"check": WORDS[cause].check, "reason": unsure_text(cause), "area": area, "sure": False}
            for cause, area in found.areas(unsure=True).items()
        ],
        "looked_exactly": int(found.looked.sum()),
        "not_judged": not_judged(found.model),
        "places": [_place(place, units) for place in found.places],
    }


def _place(place: Place, units: UnitSystem) -> dict[str, Any]:
    return {
        "rank": place.rank,
        "easting": place.easting,
        "northing": place.northing,
        "front": math.degrees(place.front) % 360.0,
        "left": place.share,
        "tightest": place.words,
        "looked_exactly": place.exact,
        "stops": place.stops,
        "cautions": place.cautions,
        "not_checked": place.unchecked,
        "worst": [_finding(finding, units) for finding in place.worst],
    }


def _finding(finding: Finding, units: UnitSystem) -> dict[str, Any]:
    """Return a finding as in the results, less what belongs to the frame of its own base."""
    whole = finding_results(finding, units)
    return {key: whole[key] for key in whole if key not in ("angle", "where", "basis")}
