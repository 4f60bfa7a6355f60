"""The look: one palette, line widths, dashes and type for every renderer.

Colours come from the set of Okabe and Ito, "Color Universal Design", 2008
(https://jfly.uni-koeln.de/color/), lightened or darkened where an area or a thin line asks for
it. No meaning rests on colour alone: lines also differ in dash and width, areas in outline,
marks in shape, and a status is always written as a word.

Widths are in millimetres on a page `PAGE_WIDTH` wide, whatever the size in pixels.
"""

from dataclasses import dataclass, field, replace
from typing import Literal

RGB = tuple[int, int, int]

PAGE_WIDTH = 277.0
"""Width of a picture on paper: A4 across without 10 mm margins. [mm]"""

BLACK: RGB = (0, 0, 0)
ORANGE: RGB = (230, 159, 0)
SKY_BLUE: RGB = (86, 180, 233)
GREEN: RGB = (0, 158, 115)
YELLOW: RGB = (240, 228, 66)
BLUE: RGB = (0, 114, 178)
VERMILION: RGB = (213, 94, 0)
PURPLE: RGB = (204, 121, 167)

PAPER: RGB = (255, 255, 255)
INK: RGB = (34, 32, 30)
FAINT_INK: RGB = (112, 106, 98)
RULE: RGB = (176, 168, 156)
SKY_TOP: RGB = (222, 234, 243)
SKY_LOW: RGB = (250, 251, 250)
GROUND_LIGHT: RGB = (255, 253, 247)
GROUND_DARK: RGB = (170, 156, 130)

Swatch = Literal["none", "line", "arrow", "comb", "hatch", "area", "solid", "tree", "mark"]


@dataclass(frozen=True)
class Role:
    """How one kind of thing looks.

    Parameters
    ----------
    word : str
        Its word in the legend; roles that share a word share an entry. Empty: not in the legend.
    color : tuple of int
        Red, green, blue, 0 … 255.
    opacity : float
        0 … 1.
    width : float
        Line width or mark size on the page. [mm]
    dash : tuple of float
        Drawn and left out by turns, on the page; empty for a firm line. [mm]
    swatch : str
        How the legend shows it.
    lit : bool
        True if faces are shaded by where they look.
    casing : float
        Pale edge on both sides of a line, so that it reads over anything. [mm]
    """

    word: str
    color: RGB
    opacity: float = 1.0
    width: float = 0.35
    dash: tuple[float, ...] = field(default=())
    swatch: Swatch = "line"
    lit: bool = False
    casing: float = 0.0


def _area(word: str, color: RGB, opacity: float) -> Role:
    return Role(word, color, opacity=opacity, swatch="area")


def _solid(word: str, color: RGB) -> Role:
    return Role(word, color, swatch="solid", lit=True)


_STEEL: RGB = (38, 40, 44)
_WALL: RGB = (214, 211, 205)
_ROOF: RGB = (138, 130, 122)
_EDGE: RGB = (84, 80, 76)
_CROWN: RGB = (132, 166, 124)
_STEM: RGB = (110, 92, 72)
_CONTOUR: RGB = (158, 138, 110)
_FALL: RGB = (205, 82, 8)
_SETBACK: RGB = (160, 72, 120)
_TUBE: RGB = (96, 110, 140)
_OUTER: RGB = (0, 112, 82)
_INNER: RGB = (150, 56, 108)
_LONG_SHORT = (4.0, 1.0, 1.0, 1.0)

ROLES: dict[str, Role] = {
    # ground
    "ground": Role("", GROUND_LIGHT, swatch="none"),
    "ground_edge": Role("", (205, 190, 162), swatch="none", lit=True),
    "ground_cut": Role("cut through the ground", (226, 214, 190), swatch="area"),
    "ground_line": Role("cut through the ground", (92, 74, 50), width=0.5),
    "contour": Role("", _CONTOUR, opacity=0.75, width=0.16),
    "contour_index": Role("contour", (132, 110, 80), opacity=0.9, width=0.32),
    # surroundings
    "boundary": Role("boundary", INK, width=0.45, dash=(5.0, 1.2, 0.8, 1.2, 0.8, 1.2)),
    "road": Role("road or track", (236, 232, 224), opacity=0.9, swatch="area"),
    "road_edge": Role("road or track", (140, 132, 120), width=0.28),
    "water": Role("water", (176, 210, 230), swatch="area"),
    "water_edge": Role("water", BLUE, width=0.25),
    "keep_out": Role("keep out", INK, opacity=0.10, swatch="area"),
    "keep_out_edge": Role("keep out", INK, width=0.3, dash=(1.2, 1.2)),
    "building": _solid("building", _WALL),
    "building_roof": _solid("building", _ROOF),
    "building_edge": Role("building", _EDGE, width=0.22),
    "tree": Role("tree", _CROWN, swatch="tree", lit=True),
    "tree_stem": Role("", _STEM, swatch="none", lit=True),
    "support": Role("", (74, 66, 58), width=0.6, swatch="none"),
    "conductor": Role("overhead line", INK, width=0.3, casing=0.25),
    "sag_range": _area("sag unknown: the line hangs in here", _TUBE, 0.30),
    "viewpoint": Role("viewpoint", BLUE, width=2.6, swatch="mark"),
    # rig
    "mast": Role("mast", _STEEL, width=0.85, casing=0.3, lit=True),
    "mast_ghost": Role("mast at other angles", (120, 124, 130), width=0.4),
    "collar": Role("", _STEEL, swatch="none", lit=True),
    "head": Role("", _STEEL, swatch="none", lit=True),
    "rotor": Role("rotor", (70, 76, 84), width=0.35, casing=0.2),
    "rotor_disc": Role("rotor", SKY_BLUE, opacity=0.16, swatch="area"),
    "rotor_reach": Role(
        "reach of the rotor, free to turn", (70, 76, 84), width=0.25, dash=(1.2, 0.9)
    ),
    "mast_laid": Role("mast laid down", (104, 108, 114), width=0.6, casing=0.2),
    "arc": Role("raising arc: path of the mast top", (96, 100, 106), width=0.32, dash=(0.5, 0.9)),
    "arc_tip": Role("path of the gin-pole tip", (60, 128, 176), width=0.28, dash=(0.4, 1.3)),
    "wire": Role("wire", _STEEL, width=0.26, casing=0.22),
    "wire_slack": Role("wire, slack", _STEEL, width=0.26, dash=(1.6, 1.0), casing=0.22),
    "gin_pole": Role("gin pole", BLUE, width=0.8, casing=0.3, lit=True),
    "lift_wire": Role("lift wire", (196, 120, 0), width=0.4, casing=0.25),
    "tow_line": Role("tow line", (196, 120, 0), width=0.6, dash=(3.0, 1.0), casing=0.25),
    "side_stay": Role("side stay", BLUE, width=0.26, dash=(1.0, 0.8)),
    "gin_pole_ghost": Role("gin pole at the start", (108, 168, 206), width=0.6, casing=0.2),
    "tow_line_ghost": Role(
        "tow line at the start", (222, 178, 106), width=0.4, dash=(3.0, 1.0), casing=0.2
    ),
    "hinge_line": Role("hinge line: axis of the hinge", BLUE, width=0.35, dash=_LONG_SHORT),
    "force": Role(
        "force from outside on mast with gin pole; together in balance",
        _OUTER,
        width=0.8,
        casing=0.3,
        swatch="arrow",
    ),
    "force_head": Role("", _OUTER, swatch="none"),
    "force_inside": Role(
        "force between them: lift wire on the mast, gin pole at its tip",
        _INNER,
        width=0.55,
        casing=0.3,
        swatch="arrow",
    ),
    "force_inside_head": Role("", _INNER, swatch="none"),
    "anchor": Role("anchor", INK, width=2.6, swatch="mark"),
    "base_plate": Role("", (120, 116, 110), swatch="none", lit=True),
    "base": Role("base plate", INK, width=2.4, swatch="mark"),
    "vehicle": _solid("vehicle", (150, 158, 166)),
    "vehicle_edge": Role("vehicle", _EDGE, width=0.22),
    "vehicle_ghost": Role("vehicle at the start", (120, 124, 130), width=0.22),
    "trestle": _solid("trestle", _STEM),
    # zones
    "fall_zone": _area("fall zone: ground a falling mast can touch", _FALL, 0.13),
    "fall_zone_edge": Role("fall zone: ground a falling mast can touch", _FALL, width=0.6),
    "fall_circle": Role(
        "fall zone of the rules: circle about the base", _FALL, width=0.5, dash=(2.4, 1.4)
    ),
    "setback": Role(
        "setback, ticks on the side to keep off", _SETBACK, width=0.5, dash=_LONG_SHORT
    ),
    "setback_comb": Role(
        "setback, ticks on the side to keep off", _SETBACK, width=0.2, swatch="comb"
    ),
    "setback_light": Role("setback", _SETBACK, opacity=0.6, width=0.35, dash=_LONG_SHORT),
    "setback_name": Role("", (130, 52, 96), swatch="none"),
    "laydown_edge": Role("laydown: ground the mast lies over", INK, width=0.3, dash=(0.4, 0.8)),
    "lane": _area("tow lane", BLUE, 0.08),
    "lane_edge": Role("tow lane", BLUE, width=0.3, dash=(2.0, 1.0)),
    "required_clearance": _area("required clearance of the line", _TUBE, 0.09),
    "required_clearance_edge": Role(
        "required clearance of the line", _TUBE, opacity=0.8, width=0.2
    ),
    # the siting search, best first; lighter as less is left, so that grey print tells them apart
    "search_75": _area("works, 75 % or more left", (0, 92, 66), 0.66),
    "search_50": _area("works, 50 to 75 % left", (22, 158, 112), 0.60),
    "search_25": _area("works, 25 to 50 % left", (134, 206, 150), 0.66),
    "search_0": _area("works, less than 25 % left", (220, 236, 150), 0.72),
    "search_fails": _area("allowed, but no bearing works", VERMILION, 0.34),
    "search_fails_edge": Role("", VERMILION, width=0.2, swatch="none"),
    "search_unsure": _area("may work: only a bound says no", ORANGE, 0.50),
    "search_unsure_edge": Role("", ORANGE, width=0.2, swatch="none"),
    "search_looked": Role("looked at exactly", INK, width=0.18, swatch="comb"),
    "search_now": Role("base in the site file", VERMILION, width=2.6, swatch="mark"),
    "rose_fails": _area("does not work: see the words beside it", VERMILION, 0.30),
    "rose_edge": Role("", VERMILION, width=0.3, swatch="none"),
    "search_lost": _area("lost: setbacks, roads, keep-outs", (70, 64, 60), 0.30),
    "search_lost_edge": Role("lost: setbacks, roads, keep-outs", (70, 64, 60), width=0.3),
    "search_front": Role("front: pulled to this side", BLUE, width=0.7, casing=0.3),
    "search_back": Role("back: where it lies down", INK, width=0.3, dash=(0.4, 0.8)),
    # what needs attention
    "worst": Role("closest approach", VERMILION, width=0.9, casing=0.4),
    "worst_clear": Role("closest approach", BLUE, width=0.9, casing=0.4),
    "worst_clear_mark": Role("", BLUE, width=3.0, swatch="none"),
    "worst_mark": Role("", VERMILION, width=3.0, swatch="none"),
    "dimension": Role("", INK, width=0.22, swatch="none"),
    "witness": Role("", FAINT_INK, width=0.14, swatch="none"),
    "label": Role("", INK, swatch="none"),
    "warning": Role("", VERMILION, swatch="none"),
    # words on areas in vermilion: darker, or they would not stand out from them
    "reason": Role("", (140, 48, 0), swatch="none"),
}
"""Role by key, in the order of the legend."""


def role(key: str) -> Role:
    """Return the look of a role; a key that is not in `ROLES` raises KeyError."""
    return ROLES[key]


def faded(key: str, opacity: float) -> Role:
    """Return the look of a role with another opacity."""
    return replace(ROLES[key], opacity=opacity)


@dataclass(frozen=True)
class TypeSizes:
    """Heights of type. [mm on the page]"""

    title: float = 5.2
    subtitle: float = 3.7
    label: float = 3.1
    number: float = 2.9
    small: float = 2.7


TYPE = TypeSizes()


def page_scale(width: int, height: int) -> float:
    """Return pixels per page millimetre for lines on a picture of this size.

    A picture that is too low for its width is treated as narrower, so that lines and furniture
    stay in proportion.
    """
    return min(width, height * 1.6) / PAGE_WIDTH


def type_pixels(millimetres: float, width: int, height: int) -> int:
    """Return the type size in pixels, never below what can still be read.

    Type shrinks more slowly than the picture: at half the size it keeps six tenths.
    """
    full = page_scale(1600, 1000)
    ratio = page_scale(width, height) / full
    return max(9, round(millimetres * full * float(ratio**0.72)))
