"""Numbers of a site file: plain, in degrees, or with a unit, and the bounds they keep within."""

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from visual.site.reader import Reader, refusal


def parse_number(value: object) -> float:
    """Return a plain finite number; text is refused [1]."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        message = "must be a number; write it without quotes and without a unit"
        raise ValueError(message)
    if not math.isfinite(value):
        message = "must be finite; write an ordinary number"
        raise ValueError(message)
    return float(value)


def parse_degrees(value: object) -> float:
    """Return an angle in degrees from a number or text such as ``"35 deg"``."""
    if isinstance(value, str):
        text = value.strip().removesuffix("°").removesuffix("deg").strip()
        try:
            value = float(text)
        except ValueError:
            message = "must be an angle in degrees; write a plain number such as 35.0"
            raise ValueError(message) from None
    return parse_number(value)


# (name in words, name in JSON Schema) of each bound of a quantity
_BOUNDS = {
    "above": ("more than", "exclusiveMinimum"),
    "at_least": ("at least", "minimum"),
    "below": ("less than", "exclusiveMaximum"),
    "at_most": ("at most", "maximum"),
}


@dataclass(frozen=True)
class Quantity(Reader):
    """A number, or text with a unit.

    Parameters
    ----------
    parse : callable
        Reads the value, in the unit the bounds are in; raises ValueError ``"<rule>; <way out>"``.
    noun : str
        What it is, for messages: ``"length"``.
    number_unit : str
        Unit of a bare number; empty for a pure number.
    example : str
        Text with a unit; empty if text is not accepted.
    above, below, at_least, at_most : float or None
        Open and closed bounds.
    factor : float
        The record holds the parsed value times this.
    smallest, most : float
        What is larger, or so small that it is no size at all, comes of a slip, and of no mast:
        formulas would overflow on it. Where 0 is allowed, so small a value is 0.
    """

    parse: Callable[[Any], float]
    noun: str
    number_unit: str = ""
    example: str = ""
    above: float | None = None
    below: float | None = None
    at_least: float | None = None
    at_most: float | None = None
    factor: float = 1.0
    smallest: float = 1e-9
    most: float = 1e9

    @property
    def _stated_bounds(self) -> dict[str, float]:
        stated = {name: getattr(self, name) for name in _BOUNDS}
        return {name: bound for name, bound in stated.items() if bound is not None}

    @property
    def bounds(self) -> str:
        """The bounds in words; empty if there are none."""
        unit = f" {self.number_unit}" if self.number_unit else ""
        said = [f"{_BOUNDS[name][0]} {it:g}{unit}" for name, it in self._stated_bounds.items()]
        return " and ".join(said)

    @property
    def form(self) -> str:
        """How the value is written, in words."""
        number = f"number in {self.number_unit}" if self.number_unit else "number"
        return f'{number} or text such as "{self.example}"' if self.example else number

    def _inside(self, value: float) -> bool:
        return (
            (self.above is None or value > self.above)
            and (self.below is None or value < self.below)
            and (self.at_least is None or value >= self.at_least)
            and (self.at_most is None or value <= self.at_most)
        )

    def read(self, value: object, context: dict[str, Any]) -> float:
        """Return the value as the record holds it, or raise `refusal`."""
        del context
        try:
            parsed = self.parse(value)
        except (ValueError, OverflowError) as error:
            rule, _, way_out = str(error).partition("; ")
            raise refusal(rule, way_out or f"write a {self.form}") from None
        if abs(parsed) < self.smallest and self._inside(0.0):
            parsed = 0.0
        if parsed and not self.smallest <= abs(parsed) <= self.most:
            size = "large" if abs(parsed) > 1 else "small"
            rule = f"the {self.noun} is far too {size} for a mast and what stands around it"
            raise refusal(rule, f"write a {self.form}; look for a slip in number and unit")
        if not self._inside(parsed):
            rule = f"the {self.noun} must be {self.bounds}"
            raise refusal(rule, f"write a {self.form} within these bounds")
        return parsed * self.factor

    def schema(self) -> dict[str, Any]:
        """Return a number within the bounds, or text where a unit is allowed."""
        bounds = {_BOUNDS[name][1]: bound for name, bound in self._stated_bounds.items()}
        number = {"type": "number", **bounds}
        if not self.example:
            return number
        text = {"type": "string", "description": f"Text with a unit, such as {self.example}."}
        return {"anyOf": [number, text]}
