"""Every format by name, and the one function that writes files."""

import difflib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from visual.checks import Report, write_results
from visual.crew.results import crew_results
from visual.errors import InputError, Problem
from visual.exports.drawing import Drawing
from visual.exports.make import make_drawing
from visual.exports.replacing import replacing_all
from visual.exports.tables import TABLES, write_tables
from visual.model import Model

ALL = "all"
"""Stands for every format that can hold the site."""


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
    files : mapping of str to str
        What stands after the name of the site in the name of each file, and what it is.
    needs_place : bool
        True if it holds longitude and latitude, which a local site does not have.
    write : callable
        Takes what to write and the files, in the order of `files`.
    """

    name: str
    files: Mapping[str, str]
    needs_place: bool
    write: Callable[[Export, Sequence[Path]], None]


@dataclass(frozen=True)
class WrittenFile:
    """A file that was written: where it is, and what it is in a few words."""

    path: Path
    word: str


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
    report = export.report
    write_results(report, paths[0], more=crew_results(report))


FORMATS: Mapping[str, Format] = {
    one.name: one
    for one in (
        Format("dxf", {".dxf": "3D drawing for CAD programs, in the site's grid"}, False, _dxf),
        Format("geojson", {".geojson": "plan for web maps, WGS 84"}, True, _geojson),
        Format("gpkg", {".gpkg": "plan for GIS programs, in the site's CRS"}, False, _geopackage),
        Format("kml", {".kml": "places for globe viewers, WGS 84"}, True, _kml),
        Format("gpx", {".gpx": "way points and fall zone for receivers, WGS 84"}, True, _gpx),
        Format("gltf", {".glb": "3D model, metres from the hinge, y up"}, False, _gltf),
        Format("csv", {f"-{k}.csv": f"table of {t.word}" for k, t in TABLES.items()}, False, _csv),
        Format("json", {"-results.json": "results document"}, False, _json),
    )
}
"""Formats by name, in the order of help texts."""

OTHER_NAMES: Mapping[str, str] = {"geopackage": "gpkg", "glb": "gltf"}


def write_exports(report: Report, names: Iterable[str], folder: Path) -> tuple[WrittenFile, ...]:
    """Write files of the named formats into a folder, all of them or none.

    Files carry the name of the site's folder, and of its site file if that is not called
    ``site.toml``. Whatever stood under these names is replaced.

    Parameters
    ----------
    report : Report
        The judged model.
    names : iterable of str
        See `wanted_formats`.
    folder : Path
        Where to; made if it is not there.

    Raises
    ------
    InputError
        If a format is unknown or cannot hold this site, or a file cannot be written; then
        nothing at all is written.
    """
    model = report.model
    formats = wanted_formats(names, model)
    export, first = Export(report), stem(model)
    with replacing_all(folder) as beside:
        for one in formats:
            one.write(export, [beside / f"{first}{ending}" for ending in one.files])
    return tuple(
        WrittenFile(folder / f"{first}{ending}", word)
        for one in formats
        for ending, word in one.files.items()
    )


def known_names(texts: Iterable[str]) -> tuple[str, ...]:
    """Return the format names in texts such as ``"dxf,kml"``, each once; `ALL` stays.

    Raises
    ------
    InputError
        If there is none, or if some are unknown: one problem for each of them.
    """
    given = [part.strip().lower() for text in texts for part in text.split(",")]
    names = tuple(dict.fromkeys(OTHER_NAMES.get(name, name) for name in given if name))
    if not names:
        raise InputError([_problem_of_name(None)])
    if wrong := [name for name in names if name not in FORMATS and name != ALL]:
        raise InputError(_problem_of_name(name) for name in wrong)
    return names


def _problem_of_name(name: str | None) -> Problem:
    if name is None:
        way_out = f"give one or more of {', '.join((*FORMATS, ALL))}, such as --to dxf,kml"
        return Problem("--to", "", None, "no format is given", way_out)
    near = difflib.get_close_matches(name, [*FORMATS, *OTHER_NAMES, ALL], n=1)
    meant = f"did you mean {near[0]}? Known are" if near else "give one of"
    rule = "is no format that is written"
    return Problem("--to", "", name, rule, f"{meant} {', '.join((*FORMATS, ALL))}")


def wanted_formats(names: Iterable[str], model: Model) -> tuple[Format, ...]:
    """Return the formats of names for `known_names`, in the order of `FORMATS`.

    `ALL` leaves out what cannot hold the site; a format asked for by name must.

    Raises
    ------
    InputError
        As `known_names`, and with one problem per format that cannot hold the site.
    """
    known = known_names(names)
    _refuse(model, [FORMATS[n] for n in known if n != ALL and n not in possible(model)])
    wanted = possible(model) if ALL in known else known
    return tuple(one for name, one in FORMATS.items() if name in wanted)


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
