"""Starting a site: a folder with the ground data and a commented site file that is valid."""

import json
import math
import os
import shutil
import tempfile
import tomllib
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Literal

from visual.errors import InputError
from visual.site.reading import parse_site
from visual.site.site_file import SITE_FILE_NAME
from visual.site.starter_text import STARTER
from visual.site.survey_reading import read_survey

# Files beside a raster or table that belong to it: georeference, CRS, statistics, overviews.
_COMPANIONS = (".prj", ".tfw", ".tifw", ".wld", ".hdr", ".aux.xml", ".ovr", ".bpw", ".blw")


def write_starter(
    folder: Path,
    *,
    dem: Path | None = None,
    survey: Path | None = None,
    crs: str = "local",
    position: tuple[float, float] | None = None,
    units: Literal["metric", "imperial"] = "metric",
) -> Path:
    """Start a site folder around a DEM, a survey or both, and return its site file.

    Parameters
    ----------
    folder : Path
        Made if it does not exist. The data files are copied into it.
    dem, survey : Path or None
        The ground data; at least one.
    crs : str
        CRS of the site: that of the DEM, or ``"local"``.
    position : tuple of float or None
        Easting and northing of the base in this CRS; the middle of the survey if None.
    units : {"metric", "imperial"}
        Units of the results.

    Raises
    ------
    InputError
        If something is in the way, a file cannot be read, or the base has no position.
    """
    target = folder / SITE_FILE_NAME
    if os.path.lexists(target):
        raise _error(target, "there is a site file already", "choose another folder")
    sources = [source for source in (dem, survey) if source is not None]
    if not sources:
        raise _error(folder, "neither a DEM nor a survey is given", "give one of them")
    copies = _copies(folder, sources)
    if position is None:
        position = _middle(folder, survey, crs)
    text = starter_text(
        name=folder.resolve().name,
        dem=dem.name if dem else None,
        survey=survey.name if survey else None,
        crs=crs,
        position=position,
        units=units,
    )
    parse_site(tomllib.loads(text), file=str(target))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for source, copy in copies:
            _beside_then_replace(copy, partial(shutil.copyfile, source))
        _beside_then_replace(target, lambda beside: beside.write_text(text, encoding="utf-8"))
    except OSError as error:
        raise _error(
            folder, f"cannot be written: {error.strerror}", "choose another folder"
        ) from None
    return target


def starter_text(
    *,
    name: str,
    dem: str | None,
    survey: str | None,
    crs: str,
    position: tuple[float, float],
    units: Literal["metric", "imperial"] = "metric",
) -> str:
    """Return the text of a starter site file; see `write_starter`."""
    files = {"dem": dem, "survey": survey}
    meanings = {"dem": "raster of ground heights", "survey": "surveyed points; wins over the DEM"}
    ground = [f"{key} = {_quoted(file)}  # {meanings[key]}" for key, file in files.items() if file]
    values = {
        "NAME": _quoted(name or "New site"),
        "CRS": _quoted(crs),
        "UNITS": _quoted(units),
        "GROUND": "\n".join(ground),
        "POSITION": "[" + ", ".join(_number(value) for value in position) + "]",
    }
    text = STARTER
    for key, value in values.items():
        text = text.replace(f"@{key}@", value)
    return text


def _quoted(text: str) -> str:
    # a JSON string is a TOML string, but for the one character JSON leaves bare
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def _number(value: float) -> str:
    """Return a coordinate to the millimetre, or to the same in degrees."""
    places = 8 if abs(value) <= 360 else 3
    return repr(round(float(value), places))


def _middle(folder: Path, survey: Path | None, crs: str) -> tuple[float, float]:
    if survey is None:
        raise _error(folder, "the base has no position", "give a position on the DEM")
    middle = read_survey(survey, crs=crs).middle
    if not all(map(math.isfinite, middle)):
        raise _error(survey, "it holds no point on the ground", "add surveyed points")
    return middle


def _copies(folder: Path, sources: list[Path]) -> list[tuple[Path, Path]]:
    """Return what is copied where: the data files with their companions."""
    copies = []
    for source in sources:
        if not source.is_file():
            raise _error(source, "there is no such file", "check the path")
        for file in (source, *_companions(source)):
            copy = folder / file.name
            if copy.exists() and copy.samefile(file):
                continue  # it lies in the folder already
            if os.path.lexists(copy):
                raise _error(copy, "another file is in the way", "choose another folder")
            copies.append((file, copy))
    if len({copy for _, copy in copies}) < len(copies):
        raise _error(folder, "two files have the same name", "rename one of them")
    return copies


def _companions(source: Path) -> list[Path]:
    names = [source.with_suffix(end) for end in _COMPANIONS]
    names += [source.with_name(source.name + end) for end in _COMPANIONS]
    return [name for name in dict.fromkeys(names) if name != source and name.is_file()]


def _beside_then_replace(target: Path, write: Callable[[Path], object]) -> None:
    """Write a file whole or not at all."""
    handle, name = tempfile.mkstemp(dir=target.parent, prefix=".new-")
    os.close(handle)
    beside = Path(name)
    try:
        write(beside)
        beside.chmod(0o644)  # mkstemp lets only the owner read
        beside.replace(target)
    finally:
        beside.unlink(missing_ok=True)


def _error(path: Path, rule: str, way_out: str) -> InputError:
    return InputError.one(file=str(path), key="", value=None, rule=rule, way_out=way_out)
