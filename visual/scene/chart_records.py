"""What a chart of the raise shows, as plain records in SI and radians."""

from dataclasses import dataclass, field
from typing import Literal

import numpy as np

from visual.raising.motion import Array

Quantity = Literal["force", "stress", "change"]
BandKind = Literal["balance", "stop", "unknown"]


@dataclass(frozen=True, eq=False)
class Curve:
    """One line of a chart.

    Parameters
    ----------
    name : str
        What it is, as it is written beside the line.
    angles, values : ndarray, shape (n,)
        Raising angles [rad] and values in SI; NaN where they are not known.
    worst : int or None
        Step of its worst value; None if it is not known or not worth a mark.
    thin : bool
        True for the first raise, without the head.
    number : int
        Lines with another number have another dash.
    """

    name: str
    angles: Array = field(repr=False)
    values: Array = field(repr=False)
    worst: int | None = None
    thin: bool = False
    number: int = 0

    @property
    def least(self) -> float:
        """Smallest known value; infinite if none is known."""
        return float(self.values[np.isfinite(self.values)].min(initial=np.inf))


@dataclass(frozen=True)
class Band:
    """A range of raising angles with a word.

    Parameters
    ----------
    kind : {"balance", "stop", "unknown"}
        What is the matter there.
    word : str
        The same for a person.
    start, end : float
        Raising angles. [rad]
    """

    kind: BandKind
    word: str
    start: float
    end: float


@dataclass(frozen=True, eq=False)
class ChartPanel:
    """One chart.

    Parameters
    ----------
    key : str
        Name of its file.
    title : str
        What it shows.
    quantity : {"force", "stress", "change"}
        What its values are.
    role : str
        Key into `visual.scene.style.ROLES`: its colour.
    curves, limits : tuple of Curve
        Its lines, and what they must stay below.
    bands : tuple of Band
        Ranges of angles that need attention.
    """

    key: str
    title: str
    quantity: Quantity
    role: str
    curves: tuple[Curve, ...]
    limits: tuple[Curve, ...]
    bands: tuple[Band, ...]
