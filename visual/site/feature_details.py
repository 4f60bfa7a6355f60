"""What a feature says about itself: heights, voltage and the like, read by kind."""

import math
import re
from collections.abc import Callable, Iterator, Mapping
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from visual.site.feature import EYE_HEIGHT
from visual.site.kinds import PROPERTIES, Kind
from visual.site.problems import nearest
from visual.units import parse_length

HIGHEST_LINE_VOLTAGE = 1500.0
"""No line runs at more; a greater number was written in volts. [kV]"""

Refuse = Callable[[str, object, str, str], None]
"""Takes property, value, rule and way out of something that cannot be used."""


class DetailReader:
    """Reads the properties of one feature and reports those that cannot be used.

    Parameters
    ----------
    properties : mapping of str to object
        Names in lower case.
    refuse : callable
        Is told of each problem.
    """

    def __init__(self, properties: Mapping[str, Any], refuse: Refuse) -> None:
        self.properties = properties
        self.refuse = refuse

    def details(self, kind: Kind, part: BaseGeometry) -> dict[str, Any]:
        """Return what a feature of this kind says, as keywords of `Feature`."""
        match kind:
            case "building":
                return {"height": self.length("height", needed=True)}
            case "tree":
                names = ("height", "crown_radius")
                return {name: self.length(name, needed=True) for name in names}
            case "overhead_line":
                return self._overhead_line(shapely.get_coordinates(part))
            case "viewpoint":
                eye_height = self.length("eye_height", zero=True)
                return {"eye_height": EYE_HEIGHT if eye_height is None else eye_height}
            case _:
                return {}

    def _overhead_line(self, points: NDArray[np.float64]) -> dict[str, Any]:
        for number in _repeated(points):
            rule = f"supports {number} and {number + 1} are at the same place"
            self.refuse("", None, rule, "remove one of them")
        return {
            "conductor_heights": self.conductor_heights(len(points)),
            "voltage_kv": self.voltage(),
            "sag": self.length("sag", zero=True),
            "spread": self.length("spread", zero=True) or 0.0,
        }

    def given(self, name: str) -> object:
        """Return a property, None if it is not given."""
        value = self.properties.get(name)
        if value is None:  # shapefiles keep ten letters of a name
            value = self.properties.get(name[:10])
        if isinstance(value, np.ndarray | list | tuple):
            return list(value)
        if value is None or value != value or (isinstance(value, str) and not value.strip()):
            return None
        return value.item() if isinstance(value, np.generic) else value

    def length(self, name: str, *, zero: bool = False, needed: bool = False) -> float | None:
        """Return a length, None if it is not given or cannot be used. [m]"""
        value = self.given(name)
        if value is None:
            if needed:
                self.refuse(name, None, f"the property {name} is missing", self._add(name))
            return None
        return self._checked_length(name, value, zero=zero)

    def _add(self, name: str) -> str:
        others = [key for key in self.properties if key not in PROPERTIES]
        near = nearest(name, others)
        return f"did you call it {near}?" if near else "add it, in metres or with a unit"

    def _checked_length(self, name: str, value: object, *, zero: bool = False) -> float | None:
        try:
            length = parse_length(_number_if_plain(value))  # type: ignore[arg-type]
        except (ValueError, OverflowError) as error:
            rule, _, way_out = str(error).partition("; ")
            self.refuse(name, value, rule, way_out or "correct it")
            return None
        if length < 0 or (length == 0 and not zero):
            least = "0 or more" if zero else "more than 0"
            self.refuse(name, value, f"must be {least}", "correct it")
            return None
        return length

    def voltage(self) -> float | None:
        """Return the nominal voltage, None if unknown. [kV]"""
        value = self.given("voltage_kv")
        if value is None:
            return None
        match = re.fullmatch(r"([\d.]+)\s*(kv|v)?", str(value).strip().lower())
        try:
            voltage = float(match[1]) / (1000 if match[2] == "v" else 1) if match else 0.0
        except ValueError:
            voltage = 0.0
        if not 0 < voltage < math.inf:
            way_out = "write kilovolts, such as 11, or leave it out if unknown"
            self.refuse("voltage_kv", value, "must be a voltage", way_out)
            return None
        if voltage > HIGHEST_LINE_VOLTAGE:
            rule = f"no line runs at {voltage:g} kV"
            self.refuse("voltage_kv", value, rule, "write kilovolts, not volts")
            return None
        return voltage

    def conductor_heights(self, supports: int) -> tuple[float, ...] | None:
        """Return the height at each support from `conductor_heights` or `height`. [m]"""
        value = self.given("conductor_heights")
        if value is None:
            if self.given("height") is None:
                rule = "neither conductor_heights nor height is given"
                self.refuse("conductor_heights", None, rule, "add one of them")
                return None
            height = self.length("height")
            return None if height is None else (height,) * supports
        said = _listed(value)
        if len(said) != supports:
            rule = f"{len(said)} heights for {supports} supports"
            way_out = "give one height for each vertex of the line, or height for all"
            self.refuse("conductor_heights", value, rule, way_out)
            return None
        heights = [self._checked_length("conductor_heights", one) for one in said]
        return None if None in heights else tuple(h for h in heights if h is not None)


def _listed(value: object) -> list[object]:
    if isinstance(value, list):
        return value
    if isinstance(value, str):
        plain = value.strip().strip("[]()")
        return [part.strip().strip("\"'") for part in re.split(r"[,;]", plain)]
    return [value]


def _number_if_plain(value: object) -> object:
    """Take text without a unit for a number: many formats keep every property as text."""
    if isinstance(value, str):
        try:
            return float(value)
        except ValueError:
            return value
    return value.item() if isinstance(value, np.generic) else value


def _repeated(points: NDArray[np.float64]) -> Iterator[int]:
    steps = np.hypot(*np.diff(points, axis=0).T)
    yield from (int(index) + 1 for index in np.flatnonzero(steps < 1e-3))
