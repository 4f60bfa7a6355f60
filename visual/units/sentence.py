"""Sentences that carry their quantities, in no units until somebody reads them.

A sentence is made once, where something is found: `say("{} too near", metres(gap))`. Whoever
shows it puts it into words in the units of the reader, so that a page can hold it in both, and a
quantity reads the same in a sentence and in a table.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass

from visual.units.sizes import UnitSystem
from visual.units.written import Rounding, format_quantity

_PLACE = "{}"


@dataclass(frozen=True)
class Quantity:
    """A quantity that is to be told.

    Parameters
    ----------
    value : float
        In `unit`.
    unit : {"m", "m2", "m/s", "kg", "N", "Nm", "Pa", "deg", ""}
        SI or degrees; empty for a pure number.
    decimals : int or None
        Other than what is usual for this kind of quantity.
    rounding : {"nearest", "up", "down"}
        What is needed is rounded up, what is left down, what was found to the nearest.
    in_mm : bool
        True for a small length, which is told in millimetres where units are metric.
    """

    value: float
    unit: str
    decimals: int | None = None
    rounding: Rounding = "nearest"
    in_mm: bool = False

    def in_units(self, units: UnitSystem) -> str:
        """Return it as text in the units asked for."""
        if self.in_mm and units == "metric" and math.isfinite(self.value):
            return f"{1000.0 * self.value:z.0f} mm"
        return format_quantity(
            self.value, self.unit, units, decimals=self.decimals, rounding=self.rounding
        )


@dataclass(frozen=True)
class Sentence:
    """Words, and the quantities between them.

    Parameters
    ----------
    parts : tuple of str or Quantity
        In the order in which they are read.
    """

    parts: tuple[str | Quantity, ...] = ()

    @property
    def quantities(self) -> tuple[Quantity, ...]:
        """The quantities, in the order in which they are read."""
        return tuple(part for part in self.parts if isinstance(part, Quantity))

    def in_units(self, units: UnitSystem, *, space: str = " ") -> str:
        """Return it as text in the units asked for.

        Parameters
        ----------
        units : {"metric", "imperial"}
            Units to show.
        space : str
            What stands within a quantity instead of a space: one where no line may break.
        """
        return "".join(
            part if isinstance(part, str) else part.in_units(units).replace(" ", space)
            for part in self.parts
        )


def say(words: str, *told: str | int | Quantity | Sentence) -> Sentence:
    """Return a sentence.

    Parameters
    ----------
    words : str
        The words, with ``{}`` where something is told.
    told : str, int, Quantity or Sentence
        What is told there, in this order. Names go here, not into `words`: they may hold a
        brace.

    Raises
    ------
    ValueError
        If there is more, or less, to tell than places for it.
    """
    between = words.split(_PLACE)
    if len(told) != len(between) - 1:
        message = f"{words!r} has {len(between) - 1} places for {len(told)} things to tell"
        raise ValueError(message)
    parts: list[str | Quantity] = [between[0]]
    for one, following in zip(told, between[1:], strict=True):
        parts += [*_parts_of(one), following]
    return Sentence(tuple(part for part in parts if part != ""))


def joined(sentences: Iterable[Sentence], joint: str) -> Sentence:
    """Return sentences as one, with words between each and the next."""
    several = tuple(sentences)
    return say(joint.join(_PLACE for _ in several), *several)


def metres(length: float, *, decimals: int = 2, rounding: Rounding = "nearest") -> Quantity:
    """Return a length to be told. [m]"""
    return Quantity(length, "m", decimals, rounding)


def millimetres(length: float) -> Quantity:
    """Return a small length to be told, in millimetres where units are metric. [m]"""
    return Quantity(length, "m", in_mm=True)


def kilograms(mass: float, *, decimals: int = 0, rounding: Rounding = "nearest") -> Quantity:
    """Return a mass to be told. [kg]"""
    return Quantity(mass, "kg", decimals, rounding)


def newtons(force: float) -> Quantity:
    """Return a force to be told. [N]"""
    return Quantity(force, "N")


def degrees(angle: float, *, decimals: int = 0) -> Quantity:
    """Return an angle to be told, in degrees. [rad]"""
    return Quantity(math.degrees(angle), "deg", decimals)


def _parts_of(told: str | int | Quantity | Sentence) -> tuple[str | Quantity, ...]:
    if isinstance(told, Sentence):
        return told.parts
    return (told if isinstance(told, Quantity) else str(told),)
