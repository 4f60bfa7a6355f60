"""Files that are there whole or not at all."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path


@contextmanager
def replacing(path: Path) -> Iterator[Path]:
    """Give a path beside `path` to write to, and put that file in its place at the end.

    If anything goes wrong, `path` stays as it was and nothing is left beside it.
    """
    beside = path.with_name(f"{path.stem}.part{path.suffix}")
    beside.unlink(missing_ok=True)
    try:
        yield beside
        beside.replace(path)
    finally:
        beside.unlink(missing_ok=True)
