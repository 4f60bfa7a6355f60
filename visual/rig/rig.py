"""The whole rig as one frozen record."""

from collections.abc import Mapping
from dataclasses import dataclass

from visual.rig.anchor import AnchorPlan, Side
from visual.rig.gin_pole import GinPole
from visual.rig.mast import Mast
from visual.rig.tow import Tow
from visual.rig.wire import WireType


@dataclass(frozen=True)
class Turnbuckle:
    """The adjustment at the lower end of each wire.

    Parameters
    ----------
    travel : float
        Shortest to longest. [m]
    end_allowance : float
        Extra wire for both end fittings together. [m]
    per_turn : float
        How much longer one turn makes it. [m]
    """

    travel: float
    end_allowance: float
    per_turn: float = 0.004


@dataclass(frozen=True)
class Rig:
    """Everything that is put up, and what puts it up.

    Parameters
    ----------
    mast : Mast
        The mast with its collars and head.
    front : float
        Grid bearing of the front, the side the mast is pulled to. [rad]
    anchors : mapping of side to AnchorPlan
        The four anchors.
    gin_pole : GinPole
        The gin pole.
    tow : Tow
        Vehicle or winch and its line.
    wire_types : mapping of str to WireType
        Wire types by name.
    tension_share : float
        Initial tension over breaking load, at the anchor end. [1]
    turnbuckle : Turnbuckle
        The adjustment of each wire.
    """

    mast: Mast
    front: float
    anchors: Mapping[Side, AnchorPlan]
    gin_pole: GinPole
    tow: Tow
    wire_types: Mapping[str, WireType]
    tension_share: float
    turnbuckle: Turnbuckle

    @property
    def line_type(self) -> WireType:
        """What the tow line is made of."""
        return self.wire_types[self.tow.line]

    def wire_of_level(self, level: int) -> WireType:
        """Return what the wires of a level are made of; 0 is the lowest, −1 the top."""
        return self.wire_types[self.mast.collars[level].wire]
