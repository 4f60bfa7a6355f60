"""Plumb: how far to turn each turnbuckle, and in which order, so that the mast stands upright."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from visual.crew.balance import (
    balanced_tensions,
    hang_by_tension,
    initial_tension,
    wire_ends,
)
from visual.crew.known import require_anchor_heights
from visual.crew.plumb_readings import LeanReading, PlumbReadings
from visual.crew.plumb_rounds import Rounds, plan_rounds
from visual.crew.standing import (
    Key,
    Standing,
    collar_at,
    least_tensions,
    settled_tensions,
    stand,
    wire_keys,
)
from visual.crew.wire_schedule import TENSION_BAND
from visual.errors import InputError
from visual.model import Model, Vector, wire_name
from visual.rig import SIDES

PLUMB = 0.0025
"""A mast is plumb within this share of its height: ANSI/TIA-222 as quoted in the Planning Advisory
Notice "Twist, Plumb and Tension for Guyed Towers" (read). [1]"""

DISAGREE = 3.0
"""Readings farther from their mean than this many standard deviations do not go together."""

CONTRADICTION = 0.15
"""Tensions that contradict the standing mast by more than this share of the initial tension were
not read right; common practice, no source. [1]"""

TURN_PARTS = 4  # turnbuckles are counted in quarter turns


@dataclass(frozen=True)
class WireTurn:
    """What to do with one wire.

    Parameters
    ----------
    key : (side, level)
        The wire.
    name : str
        Its name.
    tension : float
        Tension at the anchor now, read (and settled) or worked out. [N]
    read : bool
        True if it was read by gauge.
    wanted : float
        Tension at the anchor when all is done. [N]
    change : float
        Change of its length: + longer, − shorter. [m]
    turns : float
        Turns of its turnbuckle to the nearest quarter: + to lengthen, − to shorten.
    room : bool
        True if the change is no more than half the travel of the turnbuckle.
    """

    key: Key
    name: str
    tension: float
    read: bool
    wanted: float
    change: float
    turns: float
    room: bool


@dataclass(frozen=True)
class Plumb:
    """How the mast leans and how to right it.

    Parameters
    ----------
    lean : ndarray, shape (2,)
        Lean in x and y over the height. [1]
    top_to_front, top_to_right : float
        How far the mast top is off. [m]
    readings : tuple of (LeanReading, float)
        Each reading, and what it is off the mean, in standard deviations.
    wires : tuple of WireTurn
        Side by side from the lowest level up.
    rounds : Rounds
        The order of work.
    after : Standing
        How the mast stands then, worked out anew from the whole geometry.
    top_after : float
        How far the mast top is then off. [m]
    mean_kept : bool
        True if the mean tension of every level stays; False if it is brought to the initial one.
    per_turn : float
        What one turn of a turnbuckle does. [m]
    per_turn_stated : bool
        True if the site file says so, False if it is the default.
    contradiction : float
        Largest change that tensions as read needed so that the mast stands where it is seen to
        stand, over the initial tension; 0 if none was read. [1]
    """

    lean: Vector = field(repr=False)
    top_to_front: float
    top_to_right: float
    readings: tuple[tuple[LeanReading, float], ...]
    wires: tuple[WireTurn, ...]
    rounds: Rounds
    after: Standing = field(repr=False)
    top_after: float
    mean_kept: bool
    per_turn: float
    per_turn_stated: bool
    contradiction: float

    @property
    def lean_size(self) -> float:
        """How much the mast leans over its height. [1]"""
        return math.hypot(self.lean[0], self.lean[1])

    @property
    def is_plumb(self) -> bool:
        """True if it is plumb enough as it is."""
        return self.lean_size <= PLUMB

    @property
    def agree(self) -> bool:
        """True if the readings of the lean go together, and the tensions with them."""
        together = all(abs(off) <= DISAGREE for _, off in self.readings)
        return together and self.contradiction <= CONTRADICTION


def plumb(model: Model, readings: PlumbReadings, *, file: str = "") -> Plumb:
    """Return how to right the mast.

    The wires as they are follow from the lean and their tensions; where tensions were not read,
    they are taken as balanced about the mean of those that were, or the initial tension. Tensions
    are changed as little as is needed for the mast to stand where it is seen to stand. The wires
    as they should be: upright, balanced, the same mean tension in every level.

    Parameters
    ----------
    model : Model
        The mast on its site.
    readings : PlumbReadings
        What was read.
    file : str
        The file of the readings, for errors.

    Raises
    ------
    HeightUnknownError
        If an anchor has no height.
    InputError
        If no mast can stand like that.
    """
    require_anchor_heights(model)
    try:
        return _righted(model, readings)
    except ValueError as error:
        raise InputError.one(
            file=file,
            key="",
            value=None,
            rule=f"no mast can stand as these readings say: {error}",
            way_out="read lean and tensions again",
        ) from None


def _righted(model: Model, readings: PlumbReadings) -> Plumb:
    lean = find_lean(readings.leans)
    now, wanted, kept = _tensions(model, lean, readings.tensions)
    lengths = {key: _length(model, key, lean, now[key]) for key in wire_keys(model)}
    upright = np.zeros(2)
    right = {key: _length(model, key, upright, wanted[key]) for key in wire_keys(model)}
    wires = tuple(
        _turn(model, key, now, wanted, right[key] - lengths[key], key in readings.tensions)
        for key in wire_keys(model)
    )
    per_turn = model.rig.turnbuckle.per_turn
    done = {wire.key: lengths[wire.key] + wire.turns * per_turn for wire in wires}
    after = stand(model, done, near=upright)
    top = model.rig.mast.length
    return Plumb(
        lean=lean,
        top_to_front=top * float(lean @ model.forward[:2]),
        top_to_right=top * float(lean @ model.rightward[:2]),
        readings=tuple((r, (r.lean - float(lean @ r.direction)) / r.sigma) for r in readings.leans),
        wires=wires,
        rounds=plan_rounds(model, lengths, done, near=lean),
        after=after,
        top_after=top * float(np.linalg.norm(after.lean)),
        mean_kept=kept,
        per_turn=model.rig.turnbuckle.per_turn,
        per_turn_stated="per_turn" in model.site.turnbuckle.model_fields_set,
        contradiction=max(
            (
                abs(now[key] - tension) / initial_tension(model, key[1])
                for key, tension in readings.tensions.items()
            ),
            default=0.0,
        ),
    )


def find_lean(leans: tuple[LeanReading, ...]) -> Vector:
    """Return the lean that fits all readings best, weighted, shape (2,). [1]"""
    weights = np.array([1.0 / reading.sigma for reading in leans])
    rates = np.array([reading.direction for reading in leans]) * weights[:, np.newaxis]
    values = np.array([reading.lean for reading in leans]) * weights
    return np.asarray(np.linalg.lstsq(rates, values, rcond=None)[0])


def _tensions(
    model: Model, lean: Vector, read: Mapping[Key, float]
) -> tuple[dict[Key, float], dict[Key, float], bool]:
    """Return the tensions now and as wanted, and whether the means stay."""
    now: dict[Key, float] = {}
    wanted: dict[Key, float] = {}
    kept = True
    for level in range(len(model.rig.mast.collars)):
        collar = collar_at(model, level, lean)
        known = [read[side, level] for side in SIDES if (side, level) in read]
        initial = initial_tension(model, level)
        mean = max(float(np.mean(known)), 0.05 * initial) if known else initial
        taken = balanced_tensions(model, level, collar=collar, mean=mean)
        now |= {(side, level): read.get((side, level), taken[side]) for side in SIDES}
    least = least_tensions(model, list(now), lean)
    now = {key: max(now[key], float(low)) for key, low in zip(now, least, strict=True)}
    now = settled_tensions(model, now, lean)
    for level in range(len(model.rig.mast.collars)):
        initial = initial_tension(model, level)
        mean = float(np.mean([now[side, level] for side in SIDES]))
        if abs(mean / initial - 1.0) > TENSION_BAND:
            mean, kept = initial, False
        balanced = balanced_tensions(model, level, mean=mean)
        wanted |= {(side, level): balanced[side] for side in SIDES}
    return now, wanted, kept


def _length(model: Model, key: Key, lean: Vector, tension: float) -> float:
    """Return the unstressed length of a wire that has a tension at a lean. [m]"""
    side, level = key
    ends = wire_ends(model, side, collar_at(model, level, lean))
    return hang_by_tension(model, level, ends, tension).unstressed_length


def _turn(
    model: Model,
    key: Key,
    now: Mapping[Key, float],
    wanted: Mapping[Key, float],
    change: float,
    read: bool,
) -> WireTurn:
    turnbuckle = model.rig.turnbuckle
    return WireTurn(
        key=key,
        name=wire_name(model, *key),
        tension=now[key],
        read=read,
        wanted=wanted[key],
        change=change,
        turns=round(change / turnbuckle.per_turn * TURN_PARTS) / TURN_PARTS,
        room=abs(change) <= turnbuckle.travel / 2,
    )
