"""The data files of a site on disk: which of them changed since an answer was worked out."""

from visual.errors import InputError
from visual.site import SiteFile

DataState = tuple[tuple[str, int, int], ...]
"""Name, time of the last change [ns] and size [bytes] of each file; -1 where it is gone."""


def data_state(site: SiteFile) -> DataState:
    """Return how ground, survey, image and surroundings of a site stand on disk."""
    ground = site.ground
    around = site.surroundings.file if site.surroundings else None
    names = (ground.dem, ground.survey, ground.image, around)
    return tuple((name, *_stamp(site, name)) for name in names if name)


def changed_files(before: DataState, now: DataState) -> list[str]:
    """Return the names of the files that stand differently, in the order of `now`."""
    known = set(before)
    return [one[0] for one in now if one not in known]


def _stamp(site: SiteFile, name: str) -> tuple[int, int]:
    try:
        found = site.resolve(name).stat()
    except (OSError, InputError):
        return -1, -1
    return found.st_mtime_ns, found.st_size
