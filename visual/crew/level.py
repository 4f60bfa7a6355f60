"""Level hints: the least that brings the side anchors onto the hinge line."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import partial

import numpy as np

from visual.crew.known import require_anchor_heights
from visual.crew.level_front import FrontHint, front_hint
from visual.crew.moved import eye_above_ground, with_anchor_at
from visual.crew.side_margin import SWUNG_SIDES, side_margin
from visual.model import Model, Vector
from visual.raising import StartAngle
from visual.raising.analysis import raise_angles
from visual.raising.wires import wire_change
from visual.rig import Side

STEP = 0.1  # [m] of the search; the place found is then halved down to the millimetre
FARTHEST_SHARE = 0.5  # of the anchor's radius: a longer move is another layout
HIGHEST_EYE = 1.0  # [m] an eye on a taller post needs an engineer; common practice, no source


@dataclass(frozen=True)
class LevelMove:
    """One way to bring a side anchor within the limits.

    Parameters
    ----------
    way : {"along its bearing", "along the contour", "eye height"}
        What is changed.
    amount : float
        Along its bearing: + outwards; along the contour: + clockwise as seen from the base; eye
        height: + higher. [m]
    place : ndarray, shape (3,)
        Where the eye then is. [m]
    tightest, slackest : float
        Largest and smallest change of its wires through the raise. [m]
    angles_kept : bool
        True if the wires stay within the limits of their angle.
    """

    way: str
    amount: float
    place: Vector = field(repr=False)
    tightest: float
    slackest: float
    angles_kept: bool


@dataclass(frozen=True)
class SideLevel:
    """One side anchor against the hinge line.

    Parameters
    ----------
    side : {"left", "right"}
        Which anchor.
    height : float
        Eye above the hinge. [m]
    forward : float
        Eye in front of the hinge line. [m]
    tightest, slackest : float
        Largest and smallest change of its wires through the raise. [m]
    fits : bool
        True if it is within the limits as it is.
    moves : tuple of LevelMove
        Ways that bring it within; empty if it fits or none does.
    """

    side: Side
    height: float
    forward: float
    tightest: float
    slackest: float
    fits: bool
    moves: tuple[LevelMove, ...]


@dataclass(frozen=True)
class LevelHints:
    """Both side anchors, and the front.

    Parameters
    ----------
    sides : tuple of SideLevel
        Left and right.
    front : FrontHint or None
        None where a side anchor is already in: then the front is settled.
    """

    sides: tuple[SideLevel, ...]
    front: FrontHint | None

    @property
    def fits(self) -> bool:
        """True if both side anchors are within the limits as they are."""
        return all(side.fits for side in self.sides)


def level_hints(model: Model, start: StartAngle) -> LevelHints:
    """Return the least changes that keep the side wires within their limits.

    Parameters
    ----------
    model : Model
        The mast on its site.
    start : StartAngle
        Where the raise begins.

    Raises
    ------
    HeightUnknownError
        If an anchor has no height.
    """
    require_anchor_heights(model)
    angles = raise_angles(start.angle)
    built = any(model.anchors[side].as_built for side in SWUNG_SIDES)
    return LevelHints(
        sides=tuple(_side_level(model, side, angles) for side in SWUNG_SIDES),
        front=None if built else front_hint(model, angles),
    )


def _side_level(model: Model, side: Side, angles: Vector) -> SideLevel:
    tightest, slackest = _extremes(model, side, angles)
    fits = side_margin(model, side, angles) >= 0
    eye = model.anchors[side].eye
    return SideLevel(
        side=side,
        height=float(eye[2]),
        forward=float(eye @ model.forward),
        tightest=tightest,
        slackest=slackest,
        fits=fits,
        moves=() if fits else tuple(_moves(model, side, angles)),
    )


def _extremes(model: Model, side: Side, angles: Vector) -> tuple[float, float]:
    changes = [
        wire_change(model, side, level, angles).change
        for level in range(len(model.rig.mast.collars))
    ]
    return float(np.max(changes)), float(np.min(changes))


def _moves(model: Model, side: Side, angles: Vector) -> Iterator[LevelMove]:
    anchor = model.anchors[side]
    far = FARTHEST_SHARE * anchor.radius
    along = np.array([math.sin(anchor.bearing), math.cos(anchor.bearing)])
    plan, height = anchor.eye[:2], eye_above_ground(model, side)
    contour = _Contour(model, side, far)

    def outwards(amount: float) -> Model:
        x, y = plan + amount * along
        return with_anchor_at(model, side, float(x), float(y))

    def higher(amount: float) -> Model:
        return with_anchor_at(
            model, side, float(plan[0]), float(plan[1]), eye_height=height + amount
        )

    ways: tuple[tuple[str, Callable[[float], Model], float, float], ...] = (
        ("along its bearing", outwards, -far, far),
        ("along the contour", contour.at, -far, far),
        ("eye height", higher, -height, HIGHEST_EYE - height),
    )
    for way, moved, low, high in ways:
        amount = _least(partial(_margin_after, moved, side, angles), low, high)
        if amount is not None:
            yield _move(moved(amount), side, angles, way, amount)


def _margin_after(
    moved: Callable[[float], Model], side: Side, angles: Vector, amount: float
) -> float:
    return side_margin(moved(amount), side, angles)


def _move(model: Model, side: Side, angles: Vector, way: str, amount: float) -> LevelMove:
    tightest, slackest = _extremes(model, side, angles)
    eye = model.anchors[side].eye
    low, high = model.site.limits.wire_angle.value
    steep = [
        math.atan2(collar.height - eye[2], math.hypot(eye[0], eye[1]))
        for collar in model.rig.mast.collars
    ]
    return LevelMove(
        way=way,
        amount=amount,
        place=eye,
        tightest=tightest,
        slackest=slackest,
        angles_kept=all(low <= angle <= high for angle in steep),
    )


def _least(margin: Callable[[float], float], low: float, high: float) -> float | None:
    """Return the amount of least size, within bounds, at which a margin is not negative. [m]"""
    for number in range(1, math.ceil(max(-low, high) / STEP) + 1):
        for sign in (1, -1):
            amount = min(max(sign * number * STEP, low), high)
            if amount * sign > 0 and margin(amount) >= 0:
                return _halved(margin, amount - sign * STEP, amount)
    return None


def _halved(margin: Callable[[float], float], bad: float, good: float) -> float:
    while abs(good - bad) > 0.001:
        middle = (good + bad) / 2
        bad, good = (bad, middle) if margin(middle) >= 0 else (middle, good)
    return good


class _Contour:
    """The contour through an anchor's peg, walked both ways; clockwise about the base is +."""

    def __init__(self, model: Model, side: Side, far: float) -> None:
        self._model, self._side = model, side
        steps = math.ceil(far / STEP) + 1
        self._ways = {sign: self._walk(sign, steps) for sign in (1, -1)}

    def at(self, amount: float) -> Model:
        """Return the model with the anchor moved along its contour [m]."""
        way = self._ways[1 if amount >= 0 else -1]
        places = STEP * np.arange(len(way))
        if abs(amount) > places[-1]:
            x = y = math.nan
        else:
            x, y = (float(np.interp(abs(amount), places, way[:, k])) for k in (0, 1))
        return with_anchor_at(self._model, self._side, x, y)

    def _walk(self, sign: int, steps: int) -> Vector:
        anchor, ground = self._model.anchors[self._side], self._model.ground
        here = np.array(anchor.eye[:2])
        way = [here]
        heading = sign * np.array([here[1], -here[0]]) / np.hypot(*here)
        for _ in range(steps):
            rise = ground.gradient(here[0], here[1])
            along = np.array([rise[1], -rise[0]])
            if np.linalg.norm(along) > 1e-6:
                heading = along * math.copysign(1.0, along @ heading) / np.linalg.norm(along)
            ahead = here + STEP * heading
            off = ground.height(float(ahead[0]), float(ahead[1])) - anchor.ground_height
            steep = float(rise @ rise)
            if steep > 1e-6:  # back onto the contour where its direction turned
                ahead = ahead - np.clip(off / steep, -STEP, STEP) * rise
            if np.isnan(ahead).any():
                break
            way.append(ahead)
            here = ahead
        return np.array(way)
