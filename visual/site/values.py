"""How single values of a site file are read: each reader checks, converts and describes itself."""

import datetime as dt
import math
from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from pydantic import GetCoreSchemaHandler, GetJsonSchemaHandler, ValidationInfo
from pydantic.json_schema import JsonSchemaValue
from pydantic_core import CoreSchema, PydanticCustomError, core_schema

from visual.site.plain_text import plain_text
from visual.units import parse_length

CUSTOM = "hillmast"
"""Type of the pydantic errors raised here; their context holds rule and way out."""


def refusal(rule: str, way_out: str) -> PydanticCustomError:
    """Return the error that pydantic collects, with the two sentences of a `Problem`."""
    return PydanticCustomError(CUSTOM, "{rule}; {way_out}", {"rule": rule, "way_out": way_out})


class Reader(ABC):
    """Marks a field in ``Annotated[type, reader]``: reads what a person wrote.

    A subclass says in `form` how the value is written, and in `bounds` what it must keep within.
    """

    @property
    @abstractmethod
    def form(self) -> str:
        """How the value is written, in words."""

    @property
    def bounds(self) -> str:
        """The bounds in words; empty if there are none."""
        return ""

    @abstractmethod
    def read(self, value: object, context: dict[str, Any]) -> object:
        """Return the value as the record holds it, or raise `refusal`."""

    @abstractmethod
    def schema(self) -> dict[str, Any]:
        """Return the JSON Schema of what may stand in the file."""

    def __get_pydantic_core_schema__(
        self, source: type[Any], handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        del source, handler

        def validate(value: object, info: ValidationInfo) -> object:
            return self.read(value, info.context or {})

        return core_schema.with_info_plain_validator_function(validate)

    def __get_pydantic_json_schema__(
        self, schema: CoreSchema, handler: GetJsonSchemaHandler
    ) -> JsonSchemaValue:
        del schema, handler
        return self.schema()


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


@dataclass(frozen=True)
class WholeNumber(Reader):
    """An integer from `at_least` to `at_most`; true and false are none."""

    at_least: int
    at_most: int

    @property
    def form(self) -> str:
        """How the value is written, in words."""
        return "whole number"

    @property
    def bounds(self) -> str:
        """The bounds in words."""
        if self.at_least == self.at_most:
            return f"{self.at_least}"
        return f"from {self.at_least} to {self.at_most}"

    def read(self, value: object, context: dict[str, Any]) -> int:
        """Return the count, or raise `refusal`."""
        del context
        if isinstance(value, int) and not isinstance(value, bool):
            count = int(value)
            if self.at_least <= count <= self.at_most:
                return count
        rule = f"must be a whole number, {self.bounds}"
        raise refusal(rule, "correct the number")

    def schema(self) -> dict[str, Any]:
        """Return an integer within the bounds."""
        return {"type": "integer", "minimum": self.at_least, "maximum": self.at_most}


@dataclass(frozen=True)
class Text(Reader):
    """Text that is not empty; spaces around it do not count, nor signs that nobody sees."""

    noun: str = "text"
    shown: bool = True

    @property
    def form(self) -> str:
        """How the value is written, in words."""
        return "text"

    def read(self, value: object, context: dict[str, Any]) -> str:
        """Return the text, or raise `refusal`."""
        del context
        rule = f"must be {self.noun}"
        if not isinstance(value, str):
            raise refusal(rule, "write it in quotes")
        plain = plain_text(value) if self.shown else value.strip()
        if not plain:
            raise refusal(rule + " and is empty", "fill it in or leave the key out")
        return plain

    def schema(self) -> dict[str, Any]:
        """Return a text of at least one character."""
        return {"type": "string", "minLength": 1}


@dataclass(frozen=True)
class Coordinate(Reader):
    """One coordinate of a position, in the unit of the site's CRS.

    Text with a unit is turned into the unit of the CRS, which the reader of the file passes as
    ``context={"crs_unit": metres}``; None (degrees, or a CRS nobody knows) refuses text.
    """

    @property
    def form(self) -> str:
        """How the value is written, in words."""
        return "number in the unit of the CRS, or text with a length unit"

    def read(self, value: object, context: dict[str, Any]) -> float:
        """Return the coordinate in the unit of the CRS, or raise `refusal`."""
        if not isinstance(value, str):
            try:
                return parse_number(value)
            except (ValueError, OverflowError):
                rule = "a coordinate must be a number"
                raise refusal(rule, "write [easting, northing], such as [1000.0, 2000.0]") from None
        crs_unit = context.get("crs_unit")
        if crs_unit is None:
            rule = "a coordinate of this CRS is not a length"
            raise refusal(rule, "write a plain number in the unit of the CRS")
        metres = Quantity(parse_length, "coordinate", "m", "59 ft").read(value, context)
        return metres / float(crs_unit)

    def schema(self) -> dict[str, Any]:
        """Return a number or text."""
        return {"anyOf": [{"type": "number"}, {"type": "string"}]}


@dataclass(frozen=True)
class Day(Reader):
    """A calendar day: a TOML date, or text in the form 2026-06-01."""

    @property
    def form(self) -> str:
        """How the value is written, in words."""
        return "date such as 2026-06-01"

    def read(self, value: object, context: dict[str, Any]) -> dt.date:
        """Return the day, or raise `refusal`."""
        del context
        if isinstance(value, dt.datetime):
            return value.date()
        if isinstance(value, dt.date):
            return value
        try:
            return dt.date.fromisoformat(value if isinstance(value, str) else "")
        except ValueError:
            rule = "must be a date"
            raise refusal(rule, "write year-month-day, such as 2026-06-01") from None

    def schema(self) -> dict[str, Any]:
        """Return a text in the form of a date."""
        return {"type": "string", "format": "date"}
