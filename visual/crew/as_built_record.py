"""What a survey of the anchors comes to, in frozen records."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from visual.crew.adjustment import UNCHECKED, Suspect
from visual.crew.mirror import NAME_TELLS, Mirror
from visual.crew.network import Equation
from visual.model import Vector
from visual.rig import SIDES, Side


@dataclass(frozen=True)
class MeasuredAnchor:
    """One anchor as measured.

    Parameters
    ----------
    side : {"front", "right", "back", "left"}
        Which anchor.
    eye : ndarray, shape (3,)
        Its eye in the local frame. [m]
    covariance : ndarray, shape (3, 3)
        Of the eye, against the hinge. [m²]
    planned : ndarray, shape (3,)
        Where the site file had it; z is NaN where the ground is unknown. [m]
    from_ground : bool
        True if no reading gives its height, so that it is that of the ground data.
    accuracy : float
        One standard deviation in the direction of its wires, of the worst of them. [m]
    """

    side: Side
    eye: Vector = field(repr=False)
    covariance: NDArray[np.float64] = field(repr=False)
    planned: Vector = field(repr=False)
    from_ground: bool
    accuracy: float

    @property
    def sigmas(self) -> Vector:
        """Standard deviations outwards, sideways and up, shape (3,). [m]"""
        x, y, _ = self.eye / max(math.hypot(self.eye[0], self.eye[1]), 1e-9)
        turned = np.array([[x, y, 0.0], [y, -x, 0.0], [0.0, 0.0, 1.0]])
        return np.sqrt(np.maximum(np.diag(turned @ self.covariance @ turned.T), 0.0))

    @property
    def moved(self) -> Vector:
        """From where it was planned to where it is, shape (3,). [m]"""
        return self.eye - self.planned

    @property
    def on_its_side(self) -> bool:
        """True if it stands within 45 degrees of the bearing on which it was planned."""
        here, plan = (math.atan2(place[0], place[1]) for place in (self.eye, self.planned))
        return abs(math.remainder(here - plan, math.tau)) <= NAME_TELLS


@dataclass(frozen=True)
class JudgedReading:
    """One reading, held against all others.

    Parameters
    ----------
    equation : Equation
        What was read.
    residual : float
        Computed minus read. [m] or [rad]
    standardised : float
        The residual in its own standard deviations; 0 where nothing checks it.
    redundancy : float
        How far the others check it, 0 to 1.
    left_out : bool
        True if the positions were found without it.
    """

    equation: Equation
    residual: float
    standardised: float
    redundancy: float
    left_out: bool

    @property
    def checked(self) -> bool:
        """True if a slip in it would show."""
        return self.redundancy > UNCHECKED


@dataclass(frozen=True)
class AsBuilt:
    """The survey of the anchors.

    Parameters
    ----------
    anchors : tuple of MeasuredAnchor
        Those that were read, clockwise from the front.
    readings : tuple of JudgedReading
        Every equation, in the order of the file.
    suspects : tuple of Suspect
        Readings that do not go with the others, worst first; the positions leave them out.
    mirrors : tuple of Mirror
        Other layouts that fit as well.
    scatter : float
        Size of the residuals over what was stated; 1 as expected, NaN where nothing is checked.
    freedom : int
        Readings beyond those needed.
    fits : bool
        True if the residuals are no larger than chance makes them.
    turn : float or None
        What compass and declination are off by together; None without a compass. [rad]
    shift : ndarray, shape (3,), or None
        What the receiver is off by at the base; None where it was not read there. [m]
    """

    anchors: tuple[MeasuredAnchor, ...]
    readings: tuple[JudgedReading, ...] = field(repr=False)
    suspects: tuple[Suspect, ...]
    mirrors: tuple[Mirror, ...]
    scatter: float
    freedom: int
    fits: bool
    turn: float | None
    shift: Vector | None = field(repr=False)

    @property
    def open_mirrors(self) -> tuple[Mirror, ...]:
        """Layouts that not even the names of the anchors rule out."""
        return tuple(mirror for mirror in self.mirrors if not mirror.told_by_names)

    @property
    def unchecked(self) -> tuple[JudgedReading, ...]:
        """Readings in which a slip would stay hidden."""
        return tuple(
            reading
            for reading in self.readings
            if not reading.checked and reading.equation.reading.kind not in ("ground",)
        )

    @property
    def misplaced(self) -> tuple[MeasuredAnchor, ...]:
        """Anchors that stand where another side's anchor should: names mixed up, or wrong site."""
        return tuple(anchor for anchor in self.anchors if not anchor.on_its_side)

    @property
    def missing(self) -> tuple[Side, ...]:
        """Anchors of which nothing was read."""
        measured = [anchor.side for anchor in self.anchors]
        return tuple(side for side in SIDES if side not in measured)

    @property
    def trustworthy(self) -> bool:
        """True if nothing speaks against writing the positions down."""
        doubts = (self.suspects, self.open_mirrors, self.misplaced)
        return self.fits and not any(doubts)
