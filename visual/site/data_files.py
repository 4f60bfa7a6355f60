"""The data files that a site names, as they stand on disk."""

from pathlib import Path

from visual.errors import InputError
from visual.site.site_file import SiteFile

DataState = tuple[tuple[str, tuple[int, int] | None], ...]
"""Name and `file_stamp` of each file."""


def data_state(site: SiteFile) -> DataState:
    """Return how ground, survey, image and surroundings of a site stand on disk.

    What is read from them is the same as long as this, and the folder of the site, is.
    """
    ground = site.ground
    around = site.surroundings.file if site.surroundings else None
    names = (ground.dem, ground.survey, ground.image, around)
    return tuple((name, _stamp(site, name)) for name in names if name)


def file_stamp(path: Path) -> tuple[int, int] | None:
    """Return when a file was last changed [ns] and how large it is [bytes]; None if it is gone."""
    try:
        found = path.stat()
    except OSError:
        return None
    return found.st_mtime_ns, found.st_size


def _stamp(site: SiteFile, name: str) -> tuple[int, int] | None:
    try:
        return file_stamp(site.resolve(name))
    except InputError:
        return None
