"""Files dropped into the view: a new site around ground data, or surroundings for an open one."""

import re
import shutil
import tempfile
from pathlib import Path
from typing import Literal

from visual.errors import InputError
from visual.frame import Frame
from visual.model import start_site
from visual.site import read_surroundings

Kind = Literal["dem", "survey", "surroundings"]

ENDINGS: dict[str, Kind] = {
    ".tif": "dem",
    ".tiff": "dem",
    ".asc": "dem",
    ".img": "dem",
    ".hgt": "dem",
    ".csv": "survey",
    ".txt": "survey",
    ".geojson": "surroundings",
    ".json": "surroundings",
    ".gpkg": "surroundings",
    ".kml": "surroundings",
}
"""What a file is taken for; formats that only point to other files are not among them."""

_PLAIN = re.compile(r"[^\w .()-]+")


def kind_of(name: str) -> Kind:
    """Return what a dropped file is taken for.

    Raises
    ------
    InputError
        If its name has an ending that is not known.
    """
    kind = ENDINGS.get(Path(name).suffix.lower())
    if kind is None:
        rule = "this kind of file is not known"
        way_out = f"drop a file that ends with one of {', '.join(ENDINGS)}"
        raise _error(plain_name(name), rule, way_out)
    return kind


def plain_name(name: str) -> str:
    """Return a name that is safe for a file or a folder, as near to the given one as can be."""
    last = re.split(r"[/\\]", name)[-1]
    plain = _PLAIN.sub("_", last).strip(" .")[:80]
    return plain or "site"


def start_from_drop(
    folder: Path, content: Path, *, name: str, site: str = "", crs: str | None = None
) -> Path:
    """Start a site around a dropped DEM or survey and return its site file.

    Parameters
    ----------
    folder : Path
        Folder in which the folder of the site is made.
    content : Path
        What was dropped, in a temporary file.
    name : str
        What the file was called.
    site : str
        Name for the folder of the site; that of the file if empty.
    crs : str or None
        CRS of a survey's coordinates; None for a local grid.

    Raises
    ------
    InputError
        If the file is of no use, or the folder is there already.
    """
    kind = kind_of(name)
    if kind == "surroundings":
        rule = "it shows what stands around, and a site begins with its ground"
        raise _error(name, rule, "drop a DEM or a survey first, then this")
    target = folder / plain_name(site or Path(name).stem)
    if target.exists():
        rule, way_out = "there is such a folder already", "give another name"
        raise InputError.one(file="", key="site", value=target.name, rule=rule, way_out=way_out)
    with tempfile.TemporaryDirectory() as beside:
        source = Path(beside) / plain_name(name)
        shutil.move(content, source)
        try:
            if kind == "dem":
                return start_site(target, dem=source)
            return start_site(target, survey=source, crs=crs)
        except InputError:
            shutil.rmtree(target, ignore_errors=True)
            raise


def add_surroundings(folder: Path, content: Path, *, name: str, frame: Frame) -> str:
    """Put a dropped vector file into a site's folder, if it can be read, and return its name.

    Raises
    ------
    InputError
        If it cannot be used, or another file is in the way.
    """
    target = folder / plain_name(name)
    if target.exists():
        raise _error(target.name, "there is such a file already", "rename the one you drop")
    try:
        shutil.copyfile(content, target)
        read_surroundings(target, frame=frame)
    except InputError:
        target.unlink(missing_ok=True)
        raise
    return target.name


def _error(name: str, rule: str, way_out: str) -> InputError:
    return InputError.one(file=name, key="", value=None, rule=rule, way_out=way_out)
