"""Values of a site file that are no quantities: counts, texts, coordinates and days."""

import datetime as dt
from dataclasses import dataclass
from typing import Any

from visual.site.plain_text import plain_text
from visual.site.quantity import Quantity, parse_number
from visual.site.reader import Reader, refusal
from visual.units import parse_length


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
