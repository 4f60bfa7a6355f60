"""The data files of a site on disk: which of them changed since an answer was worked out."""

from visual.app.on_disk import file_stamp
from visual.errors import InputError
from visual.site import SiteFile

DataState = tuple[tuple[str, tuple[int, int] | None], ...]
"""Name and `file_stamp` of each file."""


def data_state(site: SiteFile) -> DataState:
    """Return how ground, survey, image and surroundings of a site stand on disk."""
    ground = site.ground
    around = site.surroundings.file if site.surroundings else None
    names = (ground.dem, ground.survey, ground.image, around)
    return tuple((name, _stamp(site, name)) for name in names if name)


def changed_files(before: DataState, now: DataState) -> list[str]:
    """Return the names of the files that stand differently, in the order of `now`."""
    known = set(before)
    return [name for name, stamp in now if (name, stamp) not in known]


def _stamp(site: SiteFile, name: str) -> tuple[int, int] | None:
    try:
        return file_stamp(site.resolve(name))
    except InputError:
        return None
