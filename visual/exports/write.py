"""Every format by name, and the one function that writes files."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from visual.checks import Report, write_results
from visual.errors import InputError, Problem
from visual.exports.drawing import Drawing
from visual.exports.make import make_drawing
from visual.exports.tables import TABLES, write_tables
from visual.model import Model


class Export:
    """What one run writes from; the drawing is made once, and only if a format needs it.

    Parameters
    ----------
    report : Report
        The judged model.
    """

    def __init__(self, report: Report) -> None:
        self.report = report

    @cached_property
    def drawing(self) -> Drawing:
        """Everything that is drawn."""
        return make_drawing(self.report)


@dataclass(frozen=True)
class Format:
    """A file format.

    Parameters
    ----------
    name : str
        As on the command line.
    word : str
        What the files are, in a few words.
    endings : tuple of str
        What stands after the name of the site in the names of its files.
    needs_place : bool
        True if it holds longitude and latitude, which a local site does not have.
    write : callable
        Takes what to write and the files, in the order of `endings`.
    """

    name: str
    word: str
    endings: tuple[str, ...]
    needs_place: bool
    write: Callable[[Export, Sequence[Path]], None]


def _dxf(export: Export, paths: Sequence[Path]) -> None:
    from visual.exports.dxf import write_dxf

    write_dxf(export.drawing, paths[0])


def _geojson(export: Export, paths: Sequence[Path]) -> None:
    from visual.exports.geojson import write_geojson

    write_geojson(export.drawing, paths[0])


def _geopackage(export: Export, paths: Sequence[Path]) -> None:
    from visual.exports.geopackage import write_geopackage

    write_geopackage(export.drawing, paths[0])


def _kml(export: Export, paths: Sequence[Path]) -> None:
    from visual.exports.kml import write_kml

    write_kml(export.drawing, export.report.model.ground, paths[0])


def _gpx(export: Export, paths: Sequence[Path]) -> None:
    from visual.exports.gpx import write_gpx

    write_gpx(export.drawing, paths[0])


def _gltf(export: Export, paths: Sequence[Path]) -> None:
    from visual.exports.gltf import write_gltf

    write_gltf(export.drawing, paths[0])


def _csv(export: Export, paths: Sequence[Path]) -> None:
    write_tables(export.report, dict(zip(TABLES, paths, strict=True)))


def _json(export: Export, paths: Sequence[Path]) -> None:
    write_results(export.report, paths[0])


FORMATS: Mapping[str, Format] = {
    one.name: one
    for one in (
        Format("dxf", "drawing for CAD programs", (".dxf",), False, _dxf),
        Format("geojson", "plan for web maps", (".geojson",), True, _geojson),
        Format("gpkg", "plan for GIS programs", (".gpkg",), False, _geopackage),
        Format("kml", "places for globe viewers", (".kml",), True, _kml),
        Format("gpx", "way points for handheld receivers", (".gpx",), True, _gpx),
        Format("gltf", "3D model", (".glb",), False, _gltf),
        Format("csv", "tables for spreadsheets", tuple(f"-{t}.csv" for t in TABLES), False, _csv),
        Format("json", "results document", ("-results.json",), False, _json),
    )
}
"""Formats by name, in the order of help texts."""


def write_exports(report: Report, names: Sequence[str], folder: Path) -> Iterator[Path]:
    """Write files of the named formats into a folder, and yield each when it is there.

    Files carry the name of the site's folder, and of its site file if that is not called
    ``site.toml``. Whatever stood under these names is replaced, each file whole or not at all.

    Parameters
    ----------
    report : Report
        The judged model.
    names : sequence of str
        Keys of `FORMATS`.
    folder : Path
        Where to; made if it is not there.

    Raises
    ------
    InputError
        If a format cannot hold this site; then nothing at all is written.
    """
    model = report.model
    wanted = [FORMATS[name] for name in dict.fromkeys(names)]
    _refuse(model, [one for one in wanted if one.needs_place and not placed(model)])
    folder.mkdir(parents=True, exist_ok=True)
    export = Export(report)
    for one in wanted:
        paths = [folder / f"{stem(model)}{ending}" for ending in one.endings]
        one.write(export, paths)
        yield from paths


def placed(model: Model) -> bool:
    """Return whether a site has longitude and latitude."""
    try:
        model.frame.geographic(0.0, 0.0)
    except ValueError:
        return False
    return True


def possible(model: Model) -> tuple[str, ...]:
    """Return the names of all formats that can hold a site."""
    has_place = placed(model)
    return tuple(name for name, one in FORMATS.items() if has_place or not one.needs_place)


def _refuse(model: Model, refused: Sequence[Format]) -> None:
    """Raise an error with one problem per format that cannot hold the site."""
    if not refused:
        return
    crs = model.site.site.crs
    why = "a local grid has none" if model.frame.is_local else f"no way from {crs} to them is known"
    others = ", ".join(possible(model))
    raise InputError(
        Problem(
            file=_site_file(model),
            key="site.crs",
            value=crs,
            rule=f"{one.name} holds longitude and latitude, and {why}",
            way_out=f"give the site a CRS with a place on Earth, or export to {others}",
        )
        for one in refused
    )


def _site_file(model: Model) -> str:
    try:
        return str(model.site.path)
    except ValueError:  # a site that was made without a file
        return "site file"


def stem(model: Model) -> str:
    """Return the name that all files of a site begin with."""
    try:
        path = model.site.path.resolve()
    except ValueError:
        return "site"
    folder = path.parent.name or "site"
    return folder if path.stem == "site" else f"{folder}-{path.stem}"
