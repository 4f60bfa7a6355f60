"""Files that are there whole or not at all."""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from visual.errors import InputError


@contextmanager
def replacing(path: Path) -> Iterator[Path]:
    """Give a path to write to, and put that file in the place of `path` at the end.

    If anything goes wrong, `path` stays as it was and nothing is left beside it.

    Raises
    ------
    InputError
        If it cannot be written there.
    """
    with replacing_all(path.parent, make=False) as beside:
        yield beside / path.name


@contextmanager
def replacing_all(folder: Path, *, make: bool = True) -> Iterator[Path]:
    """Give an empty folder to write to, and move all its files into `folder` at the end.

    If anything goes wrong on the way, `folder` stays as it was, or away if it was not there.

    Parameters
    ----------
    folder : Path
        Where the files belong.
    make : bool
        True to make it, with the folders above it, if it is not there.

    Raises
    ------
    InputError
        If they cannot be written there.
    """
    made = _missing(folder) if make else ()
    beside: Path | None = None
    try:
        if make:
            folder.mkdir(parents=True, exist_ok=True)
        beside = Path(tempfile.mkdtemp(prefix=".hillmast-", dir=folder))
        yield beside
        _move(sorted(beside.iterdir()), folder)
    except OSError as error:
        raise _cannot(Path(error.filename or folder), folder, error) from None
    finally:
        if beside is not None:
            shutil.rmtree(beside, ignore_errors=True)
        _remove_if_empty(made)


def _missing(folder: Path) -> tuple[Path, ...]:
    """Return the folders that are not there yet, the deepest first."""
    return tuple(one for one in (folder, *folder.parents) if not one.exists())


def _move(files: list[Path], folder: Path) -> None:
    """Put files in their places; where a folder stands in the place of one, move none."""
    for file in files:
        if (folder / file.name).is_dir():
            raise IsADirectoryError(0, "a folder of that name stands there", folder / file.name)
    for file in files:
        file.replace(folder / file.name)


def _remove_if_empty(folders: tuple[Path, ...]) -> None:
    for folder in folders:
        if not folder.is_dir() or any(folder.iterdir()):
            return
        folder.rmdir()


def _cannot(place: Path, folder: Path, error: OSError) -> InputError:
    """Return the error for a place as the user knows it, not for the file beside it."""
    inside = any(part.startswith(".hillmast-") for part in place.parts)
    return InputError.one(
        file=str(folder / place.name if inside and place.suffix else folder if inside else place),
        key="",
        value=None,
        rule=f"cannot be written: {error.strerror or error}",
        way_out="choose another place",
    )
