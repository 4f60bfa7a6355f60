"""Which data files of a site changed on disk since an answer was worked out."""

from visual.site import DataState


def changed_files(before: DataState, now: DataState) -> list[str]:
    """Return the names of the files that stand differently, in the order of `now`."""
    known = set(before)
    return [name for name, stamp in now if (name, stamp) not in known]
