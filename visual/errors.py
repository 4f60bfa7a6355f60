"""The one family of exceptions that Hillmast raises.

::

    HillmastError
    ├── InputError            what the user gave cannot be used; carries every Problem found
    ├── HeightUnknownError    a height is needed where the ground data have none
    └── DrawingError          pictures cannot be made on this machine

The command line catches ``HillmastError`` and prints it without a traceback.
"""

from collections.abc import Iterable
from dataclasses import dataclass


class HillmastError(Exception):
    """Base of everything Hillmast raises on purpose."""


@dataclass(frozen=True)
class Problem:
    """One thing wrong with an input.

    Parameters
    ----------
    file : str
        File that holds the value, as the user knows it.
    key : str
        Where in the file: a dotted key (``mast.head.mass``), a row (``row 7, column height``)
        or a feature (``feature 3``); empty for the file as a whole.
    value : object
        The offending value, or None where a value is missing.
    rule : str
        What must hold.
    way_out : str
        What the user can do about it.
    """

    file: str
    key: str
    value: object
    rule: str
    way_out: str

    def __str__(self) -> str:
        place = f"{self.file}: {self.key}" if self.key else self.file
        shown = "" if self.value is None else f" = {self.value!r}"
        return f"{place}{shown}: {self.rule}; {self.way_out}"


class InputError(HillmastError):
    """Input that cannot be used, with all problems found, not only the first.

    Parameters
    ----------
    problems : iterable of Problem
        At least one problem.
    """

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems: tuple[Problem, ...] = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))

    @classmethod
    def one(cls, *, file: str, key: str, value: object, rule: str, way_out: str) -> "InputError":
        """Make the error of a single problem; see `Problem` for the parts."""
        return cls([Problem(file=file, key=key, value=value, rule=rule, way_out=way_out)])


class HeightUnknownError(HillmastError):
    """A height is needed at a place where neither survey nor DEM has one."""


class DrawingError(HillmastError):
    """The machine lacks what drawing needs; the text says what to install."""
