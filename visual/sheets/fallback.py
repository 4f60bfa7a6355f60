"""Fonts for letters that the base font lacks, looked for among the fonts of the machine."""

import functools
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

from fontTools.ttLib import TTCollection, TTFont, TTLibError

MISSING = "\N{REPLACEMENT CHARACTER}"
"""Stands where no font of the machine has the letter; the sheets say so."""

_UNWANTED = ("lastresort", "mono", "serif", "math", "emoji")
_WANTED = ("notosans", "noto", "liberation", "freesans", "unifont")
_ENDINGS = (".ttf", ".otf", ".ttc", ".otc")


@dataclass(frozen=True, order=True)
class Face:
    """One face of a font file.

    Parameters
    ----------
    path : Path
        The file.
    number : int
        Which face of a collection; 0 for a file with one.
    """

    path: Path
    number: int = 0


@functools.cache
def letters_of(face: Face) -> frozenset[int]:
    """Return the code points that a face has; none if the file cannot be read."""
    try:
        with TTFont(face.path, fontNumber=face.number, lazy=True) as font:
            return frozenset(font.getBestCmap() or ())
    except (TTLibError, OSError, KeyError, ValueError, AssertionError):
        return frozenset()


@functools.cache
def system_faces() -> tuple[Face, ...]:
    """Return the faces of this machine, plain sans-serif ones of wide reach first."""
    from matplotlib.font_manager import findSystemFonts

    paths = sorted({Path(path) for path in findSystemFonts()}, key=_liking)
    return tuple(face for path in paths if _is_useful(path) for face in _faces(path))


def face_for(letter: str) -> Face | None:
    """Return the first face of this machine that has a letter, or None."""
    return next((face for face in system_faces() if ord(letter) in letters_of(face)), None)


def lacking(text: str, has: Iterable[frozenset[int]]) -> list[str]:
    """Return the letters of a text that none of several faces has, each once, in order."""
    known = list(has)
    return [
        letter
        for letter in dict.fromkeys(text)
        if not any(ord(letter) in letters for letters in known)
    ]


def _is_useful(path: Path) -> bool:
    return path.suffix.lower() in _ENDINGS and "lastresort" not in path.name.lower()


def _liking(path: Path) -> tuple[bool, bool, int, str, str]:
    name = path.name.lower()
    rank = next((k for k, word in enumerate(_WANTED) if word in name), len(_WANTED))
    is_plain = "regular" in name or "-" not in name
    return any(word in name for word in _UNWANTED), not is_plain, rank, name, str(path)


def _faces(path: Path) -> list[Face]:
    """Return the first face of a file: those of a collection differ in style of a few letters."""
    try:
        if path.suffix.lower() in (".ttc", ".otc"):
            with TTCollection(path, lazy=True) as collection:
                return [Face(path, 0)] if collection.fonts else []
    except (TTLibError, OSError, AssertionError):
        return []
    return [Face(path)]
