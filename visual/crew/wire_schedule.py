"""The wire schedule: what to cut, where to mark it, how tight to set it."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Literal

from visual.crew.balance import balanced_tensions
from visual.crew.known import require_anchor_heights
from visual.crew.spools import Piece, Spool, SpoolPlan, plan_spools
from visual.crew.temperature import Cutting
from visual.model import InstalledWire, Model, installed_wires
from visual.raising import ChangeOver
from visual.raising.wires import change_over

TENSION_BAND = 0.10
"""Tensions within this of the wanted one are right, 5 % for wires over an inch: ANSI/TIA-222 as
quoted in the Planning Advisory Notice "Twist, Plumb and Tension for Guyed Towers" (read)."""

THICK_WIRE = 0.0254  # [m]
THICK_WIRE_BAND = 0.05

SURE = 2.0
"""A turnbuckle is enough if half its travel is this many standard deviations or more: about 95 of
100 wires then fit."""

TakeUp = Literal["enough", "perhaps not", "not enough"]


@dataclass(frozen=True)
class TapeMarks:
    """Where to mark a wire, along the tape from the bearing of its collar thimble.

    Parameters
    ----------
    lower_thimble : float
        Bearing of the lower thimble, so that the turnbuckle is half open. [m]
    earliest, latest : float
        The lower thimble may lie between these: turnbuckle all open and all closed. [m]
    cut : float
        Where to cut: half the end allowance beyond the lower thimble. [m]
    tip : float or None
        Front wires: where the wire is held at the gin-pole tip during the raise. [m]
    """

    lower_thimble: float
    earliest: float
    latest: float
    cut: float
    tip: float | None


@dataclass(frozen=True)
class WireRow:
    """One wire of the schedule.

    Parameters
    ----------
    wire : InstalledWire
        The wire as installed.
    kind : str
        Its wire type.
    marks : TapeMarks
        What the tape must read while measuring off.
    piece : float
        Wire to take off the spool, as the tape must read. [m]
    balanced_tension : float
        Tension at the anchor at which the upright mast is pulled to no side. [N]
    gauge : tuple of float
        Lowest and highest right reading of a gauge at the anchor. [N]
    half_travel : float
        What the turnbuckle can take in or give from its middle. [m]
    change_over : ChangeOver or None
        Front wires: on the gin-pole tip against on the anchor.
    """

    wire: InstalledWire
    kind: str
    marks: TapeMarks
    piece: float
    balanced_tension: float
    gauge: tuple[float, float]
    half_travel: float
    change_over: ChangeOver | None

    @property
    def standing(self) -> Literal["provisional", "final"]:
        """Whether the anchor was measured."""
        return "final" if self.wire.final else "provisional"

    @property
    def take_up(self) -> TakeUp:
        """Whether the turnbuckle takes up what the measurements leave open."""
        if self.half_travel >= SURE * self.wire.straight_length_pm:
            return "enough"
        return "perhaps not" if self.half_travel >= self.wire.straight_length_pm else "not enough"


@dataclass(frozen=True)
class TypeTotal:
    """All wire of one type: how many pieces and how much. [m]"""

    kind: str
    count: int
    length: float


@dataclass(frozen=True)
class WireSchedule:
    """Every wire, what it takes in all, and how to cut it.

    Parameters
    ----------
    rows : tuple of WireRow
        Side by side, from the lowest level up.
    cutting : Cutting
        Temperatures and tape the marks hold for.
    totals : tuple of TypeTotal
        By wire type.
    spool_plans : tuple of SpoolPlan
        By wire type; empty where no spools were given.
    """

    rows: tuple[WireRow, ...] = field(repr=False)
    cutting: Cutting
    totals: tuple[TypeTotal, ...]
    spool_plans: tuple[SpoolPlan, ...]

    @property
    def provisional(self) -> bool:
        """True as long as any wire rests on a planned anchor."""
        return not all(row.wire.final for row in self.rows)


def wire_schedule(
    model: Model, *, cutting: Cutting | None = None, spools: Sequence[Spool] = ()
) -> WireSchedule:
    """Return the wire schedule of a model.

    Parameters
    ----------
    model : Model
        The mast on its site.
    cutting : Cutting or None
        Temperatures and tape; all at 20 °C if left out.
    spools : sequence of Spool
        Lengths in which wire can be had; no plan is made without any.

    Raises
    ------
    HeightUnknownError
        If an anchor has no height.
    InputError
        If a wire cannot be cut from the spools.
    """
    require_anchor_heights(model)
    conditions = cutting or Cutting()
    levels = range(len(model.rig.mast.collars))
    tensions = [balanced_tensions(model, level) for level in levels]
    rows = tuple(
        _row(model, wire, conditions, tensions[wire.level][wire.side])
        for wire in installed_wires(model)
    )
    kinds = tuple(dict.fromkeys(row.kind for row in rows))
    pieces = {
        kind: [Piece(row.wire.name, row.piece) for row in rows if row.kind == kind]
        for kind in kinds
    }
    return WireSchedule(
        rows=rows,
        cutting=conditions,
        totals=tuple(
            TypeTotal(kind, len(cut), sum(piece.length for piece in cut))
            for kind, cut in pieces.items()
        ),
        spool_plans=tuple(plan_spools(kind, cut, spools) for kind, cut in pieces.items())
        if spools
        else (),
    )


def _row(model: Model, wire: InstalledWire, cutting: Cutting, balanced: float) -> WireRow:
    kind = model.rig.wire_of_level(wire.level)
    band = TENSION_BAND if kind.diameter <= THICK_WIRE else THICK_WIRE_BAND
    over = change_over(model, wire.level) if wire.side == "front" else None
    return WireRow(
        wire=wire,
        kind=kind.name,
        marks=_marks(model, wire, cutting, over),
        piece=cutting.reading(wire.cut_length),
        balanced_tension=balanced,
        gauge=(balanced * (1 - band), balanced * (1 + band)),
        half_travel=model.rig.turnbuckle.travel / 2,
        change_over=over,
    )


def _marks(
    model: Model, wire: InstalledWire, cutting: Cutting, over: ChangeOver | None
) -> TapeMarks:
    turnbuckle, unstressed = model.rig.turnbuckle, wire.shape.unstressed_length
    lower = unstressed - turnbuckle.travel / 2
    return TapeMarks(
        lower_thimble=cutting.reading(lower),
        earliest=cutting.reading(unstressed - turnbuckle.travel),
        latest=cutting.reading(unstressed),
        cut=cutting.reading(lower + turnbuckle.end_allowance / 2),
        tip=cutting.reading(over.at_tip) if over else None,
    )
