"""The stake-out: how to find the place of each anchor with a tape, a level and a compass."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np

from visual.crew.known import require_anchor_heights
from visual.crew.moved import eye_above_ground, with_anchor_at
from visual.ground import Profile
from visual.model import Model, PlacedAnchor, Vector
from visual.raising import StartAngle
from visual.raising.analysis import raise_angles
from visual.raising.wires import wire_change
from visual.rig import SIDES, Side

BEARING_ERROR = math.radians(1.0)
"""What a hand compass is good for; common practice, no source. [rad]"""

LENGTH_ERROR = 0.1
"""A slip of the tape or the level that is easily made. [m]"""

SWUNG_SIDES: tuple[Side, ...] = ("left", "right")


@dataclass(frozen=True)
class Sensitivity:
    """What an error in setting out one anchor does.

    Parameters
    ----------
    error : {"bearing", "distance", "eye height"}
        What is wrong: the bearing by 1°, the distance or the height of the eye by 0.1 m, to
        whichever side is worse.
    side_wire : float or None
        How much the change of its side wires moves, at worst; None for front and back. [m]
    wire_length : float
        How much the straight length of its wires moves, at worst; NaN where the ground is
        unknown. [m]
    """

    error: str
    side_wire: float | None
    wire_length: float


@dataclass(frozen=True)
class StakedAnchor:
    """One anchor as the crew finds it: from the peg at the base to the peg at the anchor.

    Both pegs are on the ground, the one at the base plumb below the hinge.

    Parameters
    ----------
    side : {"front", "right", "back", "left"}
        Which anchor.
    as_built : bool
        True if it was measured, False if it is planned.
    bearing_grid : float
        From grid north. [rad]
    bearing_true, bearing_magnetic : float or None
        From true and magnetic north; None where unknown. [rad]
    horizontal : float
        Horizontal distance. [m]
    straight : float
        Tape held straight from peg to peg; NaN where the ground is unknown. [m]
    along_ground : float
        Tape laid on the ground; NaN where some ground is unknown. [m]
    rise : float
        Anchor peg above base peg; NaN where the ground is unknown. [m]
    eye_above_peg : float
        Eye above the peg. [m]
    eye_above_hinge : float
        Eye above the hinge. [m]
    easting, northing, height : float
        Peg in the site's grid and height system.
    longitude, latitude : float or None
        Peg on WGS 84; None for a local site. [deg]
    sensitivities : tuple of Sensitivity
        What errors do.
    """

    side: Side
    as_built: bool
    bearing_grid: float
    bearing_true: float | None
    bearing_magnetic: float | None
    horizontal: float
    straight: float
    along_ground: float
    rise: float
    eye_above_peg: float
    eye_above_hinge: float
    easting: float
    northing: float
    height: float
    longitude: float | None
    latitude: float | None
    sensitivities: tuple[Sensitivity, ...]

    @property
    def vertical_angle(self) -> float:
        """Clinometer reading from the base peg to the anchor peg, + uphill. [rad]"""
        return math.atan2(self.rise, self.horizontal)


@dataclass(frozen=True)
class TapeCheck:
    """The distance between the pegs of two anchors, to check the setting out.

    Parameters
    ----------
    start, end : {"front", "right", "back", "left"}
        The two anchors.
    opposite : bool
        True across the base, False between neighbours.
    straight, horizontal : float
        Tape from peg to peg, and level. [m]
    """

    start: Side
    end: Side
    opposite: bool
    straight: float
    horizontal: float


@dataclass(frozen=True)
class StakeOut:
    """Every anchor, and the tapes that check them.

    Parameters
    ----------
    site : str
        Name of the site.
    provisional : bool
        True as long as any anchor is only planned.
    base : tuple of float
        Base peg: easting, northing, height.
    base_geographic : tuple of float or None
        Base peg: longitude, latitude; None for a local site. [deg]
    crs : str
        Grid of the coordinates.
    in_degrees : bool
        True if that grid is one of longitude and latitude.
    north_note : str
        Why true or magnetic north is unknown; empty if both are known.
    declination : tuple of float or None
        Declination and its standard deviation. [rad]
    anchors : tuple of StakedAnchor
        Clockwise from the front.
    tapes : tuple of TapeCheck
        Neighbours, then opposite anchors.
    """

    site: str
    provisional: bool
    base: tuple[float, float, float]
    base_geographic: tuple[float, float] | None
    crs: str
    in_degrees: bool
    north_note: str
    declination: tuple[float, float] | None
    anchors: tuple[StakedAnchor, ...] = field(repr=False)
    tapes: tuple[TapeCheck, ...] = field(repr=False)


def stake_out(model: Model, start: StartAngle) -> StakeOut:
    """Return the stake-out of a model.

    Parameters
    ----------
    model : Model
        The mast on its site.
    start : StartAngle
        Where the raise begins, for the change of the side wires.

    Raises
    ------
    HeightUnknownError
        If an anchor has no height.
    """
    require_anchor_heights(model)
    frame = model.frame
    turn = frame.declination
    easting, northing = frame.origin_easting, frame.origin_northing
    return StakeOut(
        site=model.site.site.name,
        provisional=model.provisional,
        base=(easting, northing, float(frame.height(model.base_ground))),
        base_geographic=_geographic(model, 0.0, 0.0),
        crs=frame.crs,
        in_degrees=frame.scale is None,
        north_note=frame.declination_note,
        declination=(turn.value, turn.uncertainty) if turn else None,
        anchors=tuple(
            _staked(model, model.anchors[side], raise_angles(start.angle)) for side in SIDES
        ),
        tapes=tuple(_tapes(model)),
    )


def peg(model: Model, side: Side) -> Vector:
    """Return the ground below an anchor's eye; z is NaN where unknown. [m]"""
    anchor = model.anchors[side]
    return np.array([anchor.eye[0], anchor.eye[1], anchor.ground_height])


def _staked(model: Model, anchor: PlacedAnchor, angles: Vector) -> StakedAnchor:
    x, y = float(anchor.eye[0]), float(anchor.eye[1])
    easting, northing = model.frame.to_grid(x, y)
    place = _geographic(model, x, y)
    rise = anchor.ground_height - model.base_ground
    return StakedAnchor(
        side=anchor.side,
        as_built=anchor.as_built,
        bearing_grid=anchor.bearing,
        bearing_true=_plain(model.frame.true_bearing(anchor.bearing)),
        bearing_magnetic=_plain(model.frame.magnetic_bearing(anchor.bearing)),
        horizontal=anchor.radius,
        straight=math.hypot(anchor.radius, rise),
        along_ground=_profile(model, anchor).length_between(0.0, anchor.radius),
        rise=rise,
        eye_above_peg=eye_above_ground(model, anchor.side),
        eye_above_hinge=float(anchor.eye[2]),
        easting=float(easting),
        northing=float(northing),
        height=float(model.frame.height(anchor.ground_height)),
        longitude=place[0] if place else None,
        latitude=place[1] if place else None,
        sensitivities=tuple(_sensitivities(model, anchor, angles)),
    )


def _profile(model: Model, anchor: PlacedAnchor) -> Profile:
    return model.ground.profile(0.0, 0.0, anchor.bearing, 0.0, anchor.radius)


def _geographic(model: Model, x: float, y: float) -> tuple[float, float] | None:
    if model.frame.is_local:
        return None
    longitude, latitude = model.frame.geographic(x, y)
    return float(longitude), float(latitude)


def _plain(bearing: object) -> float | None:
    return None if bearing is None else float(np.asarray(bearing, dtype=float))


def _sensitivities(model: Model, anchor: PlacedAnchor, angles: Vector) -> Iterator[Sensitivity]:
    def at(bearing: float, radius: float, higher: float) -> Model:
        x, y = radius * math.sin(bearing), radius * math.cos(bearing)
        above = eye_above_ground(model, anchor.side) + higher
        return with_anchor_at(model, anchor.side, x, y, eye_height=above)

    bearing, radius = anchor.bearing, anchor.radius
    wrong = {
        "bearing": [at(bearing + sign * BEARING_ERROR, radius, 0.0) for sign in (1, -1)],
        "distance": [at(bearing, radius + sign * LENGTH_ERROR, 0.0) for sign in (1, -1)],
        "eye height": [at(bearing, radius, sign * LENGTH_ERROR) for sign in (1, -1)],
    }
    for error, models in wrong.items():
        effects = [_effect(model, moved, anchor.side, angles) for moved in models]
        changes, lengths = zip(*effects, strict=True)
        yield Sensitivity(
            error=error,
            side_wire=float(np.max(changes)) if anchor.side in SWUNG_SIDES else None,
            wire_length=float(np.max(lengths)),
        )


def _effect(model: Model, moved: Model, side: Side, angles: Vector) -> tuple[float, float]:
    """Return how much the change through the raise, and the upright length, differ. [m]"""
    change, length = 0.0, 0.0
    for level in range(len(model.rig.mast.collars)):
        right = wire_change(model, side, level, angles)
        wrong = wire_change(moved, side, level, angles)
        change = float(np.maximum(change, np.abs(wrong.change - right.change).max()))
        length = float(np.maximum(length, abs(wrong.fitted_length - right.fitted_length)))
    return change, length


def _tapes(model: Model) -> Iterator[TapeCheck]:
    pairs = [(SIDES[i], SIDES[(i + 1) % 4], False) for i in range(4)]
    across = [
        (a, b, True) for a, b in combinations(SIDES, 2) if SIDES.index(b) - SIDES.index(a) == 2
    ]
    for start, end, opposite in [*pairs, *across]:
        away = peg(model, end) - peg(model, start)
        yield TapeCheck(
            start=start,
            end=end,
            opposite=opposite,
            straight=float(np.linalg.norm(away)),
            horizontal=math.hypot(away[0], away[1]),
        )
