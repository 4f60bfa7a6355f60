"""The numbers that a layout is held against, each with its source.

Holding a layout against them is the business of `visual.checks`; here are only the numbers.
Where a site file states its own number, the limit says so and keeps the default in its basis.
"""

import math
from dataclasses import dataclass, field
from typing import Generic, Literal, TypeVar

from visual.site.kinds import Kind
from visual.site.power_line import OverheadLineRule

Value = TypeVar("Value")

MeasuredFrom = Literal["base", "nearest_part", "anchors"]
HeightName = Literal["total_height", "mast_height", "hub_height"]

_PRACTICE = "common practice, no published source"
_SITE_FILE = "stated in the site file"


@dataclass(frozen=True)
class Limit(Generic[Value]):
    """One number to keep to.

    Parameters
    ----------
    value : float, tuple of float or None
        The number; None where it follows from the rig.
    basis : str
        Where it comes from.
    overridden : bool
        True if the site file states it.
    """

    value: Value
    basis: str
    overridden: bool = False

    def replaced_by(self, value: Value) -> "Limit[Value]":
        """Return the limit with the site file's own number in place of the default."""
        return Limit(value, f"{_SITE_FILE} (default: {self.basis})", overridden=True)


@dataclass(frozen=True)
class Setback:
    """A distance to keep from everything of one kind.

    Parameters
    ----------
    to : str
        The kind to keep away from.
    measured_from : {"base", "nearest_part", "anchors"}
        What of the mast the distance is measured from.
    times : float or None
        Multiple of a height; None where `distance` is given.
    of : {"total_height", "mast_height", "hub_height"}
        The height that is multiplied.
    distance : float or None
        A fixed distance; None where `times` is given. [m]
    basis : str
        The rule it comes from.
    """

    to: Kind
    measured_from: MeasuredFrom
    times: float | None
    of: HeightName
    distance: float | None
    basis: str

    def required(self, *, total_height: float, mast_height: float, hub_height: float) -> float:
        """Return the distance to keep [m].

        Parameters
        ----------
        total_height, mast_height, hub_height : float
            Heights above the ground at the base. [m]
        """
        if self.distance is not None:
            return self.distance
        heights = {
            "total_height": total_height,
            "mast_height": mast_height,
            "hub_height": hub_height,
        }
        # the site file gives either a distance or a multiple
        return (self.times or 0.0) * heights[self.of]


@dataclass(frozen=True)
class Limits:
    """Every limit of a site; ``Limits()`` holds the defaults. Lengths in metres, angles in radians.

    The meaning of each is in `LIMIT_MEANINGS`.
    """

    wire_angle: Limit[tuple[float, float]] = Limit(
        (math.radians(35.0), math.radians(60.0)), f"{_PRACTICE}: 35 to 60 degrees"
    )
    design_factor: Limit[float] = Limit(
        5.0,
        "5, Michigan Administrative Code R 408.42943, Rule 2943(b): gin-pole rigging no less than "
        "5 times the static load",
    )
    yield_factor: Limit[float] = Limit(
        1.67,
        "1.67, allowable strength design of steel: AISC 360 as printed in the Structural Steel "
        "Designer's Handbook, p. 5.29, for yielding in tension and bending",
    )
    euler_factor: Limit[float] = Limit(
        1.92, "23/12, AISC Specification of 1989, section E2, slender columns (from memory)"
    )
    trestle: Limit[float] = Limit(0.5, f"{_PRACTICE}: 0.5 m")
    head_clearance: Limit[float] = Limit(0.3, f"{_PRACTICE}: 0.3 m")
    side_wire_tight: Limit[float | None] = Limit(
        None, "the stretch of the wire from its initial tension to its working load"
    )
    side_wire_slack: Limit[float] = Limit(0.2, f"{_PRACTICE}: 0.2 m")
    lane_slope: Limit[float] = Limit(math.radians(10.0), f"{_PRACTICE}: 10 degrees")
    lane_width: Limit[float] = Limit(3.0, f"{_PRACTICE}: 3 m")
    building_clearance: Limit[float] = Limit(1.0, f"{_PRACTICE}: 1 m")
    tree_clearance: Limit[float] = Limit(1.0, f"{_PRACTICE}: 1 m")
    ground_clearance: Limit[float] = Limit(0.1, f"{_PRACTICE}: 0.1 m")
    rotor_above: Limit[float] = Limit(
        9.144,
        "30 ft, Community Wind Handbook (US Department of Energy, OpenEI), preliminary siting: "
        "30 ft above anything within a horizontal radius of 500 ft",
    )
    rotor_within: Limit[float] = Limit(
        152.4,
        "500 ft, Community Wind Handbook (US Department of Energy, OpenEI), preliminary siting: "
        "30 ft above anything within a horizontal radius of 500 ft",
    )
    fall_zone_times: Limit[float] = Limit(
        1.0, "1, the mast falls in one piece; many codes ask for more"
    )
    setbacks: tuple[Setback, ...] = ()
    overhead_line: OverheadLineRule = field(default_factory=OverheadLineRule)


LIMIT_MEANINGS = {
    "wire_angle": "Least and greatest angle of a wire above horizontal, at the anchor, in degrees.",
    "design_factor": "Breaking load over working load that wires and rigging must have.",
    "yield_factor": "Yield strength over stress that mast and gin pole must have.",
    "euler_factor": "Buckling load over thrust that mast and gin pole must have.",
    "trestle": "Height of the support under the mast near its top when it is laid down.",
    "head_clearance": "Least distance of head and rotor from the ground while the mast lies.",
    "side_wire_tight": "How much a side wire may be too short at any moment of the raise.",
    "side_wire_slack": "How much a side wire may be too long at any moment of the raise.",
    "lane_slope": "Steepest ground, uphill or downhill, on which the vehicle may pull, in degrees.",
    "lane_width": "Width of the lane that the vehicle needs.",
    "building_clearance": "Least distance of any moving part from a building.",
    "tree_clearance": "Least distance of any moving part from a tree.",
    "ground_clearance": "Least distance of mast, gin pole and tow line from the ground.",
    "rotor_above": "How far the lowest point of the rotor must be above everything near.",
    "rotor_within": "What counts as near: horizontal distance from the base.",
    "fall_zone_times": "Radius of the fall circle as a multiple of the total height.",
}
"""What each single limit means."""
