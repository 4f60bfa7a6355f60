"""What can stop a place, or make it a poor one: the names that maps, lists and files use."""

from dataclasses import dataclass
from enum import IntEnum


class Cause(IntEnum):
    """The check that leaves a place or a bearing the least; 0 to 255, as in the raster."""

    NONE = 0
    GROUND = 1
    WIRE_ANGLE = 2
    WIRE_TIGHT = 3
    WIRE_SLACK = 4
    LAYDOWN = 5
    GIN_TIP = 6
    LANE_SLOPE = 7
    LANE_LENGTH = 8
    PULL = 9
    LAYDOWN_PLAN = 10
    LANE_PLAN = 11
    CLEARANCE = 12
    SETBACK = 13
    ANCHOR_PLACE = 14
    LAND = 15
    BASE_PLACE = 16
    BASE_SETBACK = 17
    FALL_ZONE = 18
    FALL_LINE = 19
    ROTOR_HEIGHT = 20
    FALL_ROAD = 21
    NOT_REACHED = 255


@dataclass(frozen=True)
class CauseWords:
    """How a cause is written.

    Parameters
    ----------
    check : str
        Name of the check, as in the findings.
    text : str
        What stands in the way, for a legend or a list.
    tight : str
        What leaves the least where it does not stand in the way; empty if it always does.
    """

    check: str
    text: str
    tight: str = ""


WORDS: dict[Cause, CauseWords] = {
    Cause.NONE: CauseWords(
        "", "as good as level, open ground", "nothing: as good as level, open ground"
    ),
    Cause.GROUND: CauseWords("ground", "ground not known"),
    Cause.WIRE_ANGLE: CauseWords(
        "wire angle", "a wire too steep or too flat", "angles of the wires"
    ),
    Cause.WIRE_TIGHT: CauseWords(
        "wire goes tight", "a side wire goes tight on the way", "side wires that go tight"
    ),
    Cause.WIRE_SLACK: CauseWords(
        "side wire slack", "a side wire hangs slack", "side wires that hang slack"
    ),
    Cause.LAYDOWN: CauseWords(
        "laydown", "the mast cannot lie low enough", "how low the mast can lie"
    ),
    Cause.GIN_TIP: CauseWords(
        "gin tip", "the gin pole meets the slope", "the gin pole over the slope"
    ),
    Cause.LANE_SLOPE: CauseWords("tow lane", "the lane is too steep", "slope of the lane"),
    Cause.LANE_LENGTH: CauseWords("tow lane", "no lane for the tow line", "length of the lane"),
    Cause.PULL: CauseWords("vehicle pull", "the pull is more than there is", "pull of the vehicle"),
    Cause.LAYDOWN_PLAN: CauseWords(
        "laydown", "something stands where the mast lies", "room where the mast lies"
    ),
    Cause.LANE_PLAN: CauseWords("tow lane", "something stands in the lane", "room in the lane"),
    Cause.CLEARANCE: CauseWords(
        "clearance", "too near to a building, tree or line", "room to a building, tree or line"
    ),
    Cause.SETBACK: CauseWords(
        "setback", "setback of wires and anchors", "setback of wires and anchors"
    ),
    Cause.ANCHOR_PLACE: CauseWords(
        "anchor place", "an anchor has no place", "room for the anchors"
    ),
    Cause.LAND: CauseWords("anchor place", "outside the land"),
    Cause.BASE_PLACE: CauseWords("base place", "the base has no place"),
    Cause.BASE_SETBACK: CauseWords("setback", "setback of the base", "setback of the base"),
    Cause.FALL_ZONE: CauseWords(
        "fall zone", "a fall would hit a building", "a building beside the fall zone"
    ),
    Cause.FALL_LINE: CauseWords(
        "overhead line", "a fall would come too near a line", "a line beside the fall zone"
    ),
    Cause.ROTOR_HEIGHT: CauseWords(
        "rotor height", "less wind: things near reach high", "wind: things near reach high"
    ),
    Cause.FALL_ROAD: CauseWords(
        "fall zone", "a fall would reach a road", "a road beside the fall zone"
    ),
    Cause.NOT_REACHED: CauseWords("", "not looked at"),
}
"""The words for each cause."""

IN_PLAN = frozenset({Cause.BASE_PLACE, Cause.BASE_SETBACK, Cause.FALL_ROAD})
"""Causes that leave no base on parts of the land, whose outlines say so with name and distance."""

BOUNDED = frozenset(
    {Cause.GIN_TIP, Cause.LAYDOWN_PLAN, Cause.LANE_PLAN, Cause.CLEARANCE, Cause.SETBACK}
)
"""Causes that a search knows by bounds that may be too strict."""

TOO_STRICT = "by a bound that may be too strict"


def unsure_text(cause: Cause) -> str:
    """Return what stands in the way where only a bound says so."""
    text = WORDS[cause].text if cause in BOUNDED else "what could work is turned down"
    return f"{text}, {TOO_STRICT}"


SHARES = int(Cause.ANCHOR_PLACE) + 1
"""How many causes depend on the bearing: those before `Cause.LAND`."""

LEAST = 0.01
"""What a check that only cautions leaves at least: it never makes a place fail."""
