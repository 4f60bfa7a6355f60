"""Readings as equations: what each should read for given points, and how that changes.

A reading is a function of two points p and q, with d = q − p, r the horizontal part of d:

    slope       |d|                     horizontal  r            level       d_z
    bearing     atan2(d_x, d_y)         clinometer  atan2(d_z, r)
    compass     bearing + convergence − declination − turn
    gps         q + shift, one equation for each of x, y, z
    ground      q_z − height of eye and ground at q
    declination turn

The turn is what the declination model and the compass are off by, the same for all bearings; the
shift is what the receiver is off by, the same for all points, if it was read at hinge or base too.
"""

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from visual.crew.readings import Reading
from visual.model import Vector

Array = NDArray[np.float64]

TURN = "compass turn"
SHIFT = "gps shift"

Component = Literal["", "x", "y", "z"]


@dataclass(frozen=True)
class Equation:
    """One number that was read.

    Parameters
    ----------
    reading : Reading
        Where it comes from.
    component : {"", "x", "y", "z"}
        Which part of a GPS place; empty for all others.
    value : float
        What was read, in the local frame. [m] or [rad]
    sigma : float
        One standard deviation. [m] or [rad]
    """

    reading: Reading
    component: Component
    value: float
    sigma: float

    @property
    def name(self) -> str:
        """What the report calls it."""
        part = {"": "", "x": ", east", "y": ", north", "z": ", height"}[self.component]
        return f"{self.reading.name}{part}"


@dataclass(frozen=True)
class Network:
    """All equations and the numbers that are sought.

    Parameters
    ----------
    fixed : mapping of str to ndarray, shape (3,)
        Points that are known. [m]
    points : tuple of str
        Points that are sought, three numbers each.
    extras : tuple of str
        Further numbers: `TURN` (one), `SHIFT` (three).
    equations : tuple of Equation
        What was read.
    ground : mapping of str to (float, ndarray, ndarray)
        By point: eye height over the ground data, rise of the ground, shape (2,), and the place
        they hold for, shape (2,).
    """

    fixed: Mapping[str, Vector]
    points: tuple[str, ...]
    extras: tuple[str, ...]
    equations: tuple[Equation, ...]
    ground: Mapping[str, tuple[float, Vector, Vector]] = field(default_factory=dict)

    @property
    def size(self) -> int:
        """How many numbers are sought."""
        return 3 * len(self.points) + sum(3 if name == SHIFT else 1 for name in self.extras)

    def index(self, point: str) -> int | None:
        """Return where the numbers of a point begin; None for a fixed point."""
        return None if point in self.fixed else 3 * self.points.index(point)

    def extra_index(self, name: str) -> int:
        """Return where the numbers of an extra begin."""
        before = self.extras[: self.extras.index(name)]
        return 3 * len(self.points) + sum(3 if other == SHIFT else 1 for other in before)

    def place(self, unknowns: Array, point: str) -> Vector:
        """Return a point for given unknowns, shape (3,). [m]"""
        index = self.index(point)
        return self.fixed[point] if index is None else unknowns[index : index + 3]

    def without(self, dropped: Sequence[Reading]) -> "Network":
        """Return the network without some readings."""
        kept = tuple(e for e in self.equations if e.reading not in dropped)
        return Network(self.fixed, self.points, self.extras, kept, self.ground)

    def misfit(self, unknowns: Array) -> tuple[Array, Array]:
        """Return computed minus read, and its rates of change, both in standard deviations.

        Returns
        -------
        misfit : ndarray, shape (n,)
        rates : ndarray, shape (n, size)
        """
        misfit = np.zeros(len(self.equations))
        rates = np.zeros((len(self.equations), self.size))
        for row, equation in enumerate(self.equations):
            computed = self._computed(unknowns, equation, rates[row])
            difference = computed - equation.value
            if equation.reading.kind in ("bearing", "compass"):
                difference = math.remainder(difference, math.tau)
            misfit[row] = difference / equation.sigma
            rates[row] /= equation.sigma
        return misfit, rates

    def _computed(self, unknowns: Array, equation: Equation, rate: Array) -> float:
        reading = equation.reading
        if reading.kind == "gps":
            return self._computed_gps(unknowns, equation, rate)
        if reading.kind == "ground":
            return self._computed_ground(unknowns, reading, rate)
        if reading.kind == "declination":
            rate[self.extra_index(TURN)] = 1.0
            return float(unknowns[self.extra_index(TURN)])
        start = self.place(unknowns, reading.start)
        end = self.place(unknowns, reading.end)
        away = end - start
        lift = np.array([0.0, 0.0, reading.end_height - reading.start_height])
        value, gradient = _between(reading.kind, away + lift)
        for point, sign in ((reading.end, 1.0), (reading.start, -1.0)):
            index = self.index(point)
            if index is not None:
                rate[index : index + 3] += sign * gradient
        if reading.kind == "compass":
            turn = self.extra_index(TURN)
            rate[turn] = -1.0
            return value - float(unknowns[turn])
        return value

    def _computed_gps(self, unknowns: Array, equation: Equation, rate: Array) -> float:
        reading = equation.reading
        axis = "xyz".index(equation.component)
        value = float(self.place(unknowns, reading.end)[axis])
        index = self.index(reading.end)
        if index is not None:
            rate[index + axis] = 1.0
        if SHIFT in self.extras:
            shift = self.extra_index(SHIFT) + axis
            rate[shift] = 1.0
            value += float(unknowns[shift])
        return value + (reading.end_height if axis == 2 else 0.0)

    def _computed_ground(self, unknowns: Array, reading: Reading, rate: Array) -> float:
        height, rise, about = self.ground[reading.end]
        place = self.place(unknowns, reading.end)
        index = self.index(reading.end)
        if index is not None:
            rate[index : index + 3] = [-rise[0], -rise[1], 1.0]
        return float(place[2] - height - rise @ (place[:2] - about))


def _between(kind: str, away: Vector) -> tuple[float, Vector]:
    """Return what a reading should be for a difference of points, and its gradient."""
    x, y, z = (float(value) for value in away)
    level = max(math.hypot(x, y), 1e-9)
    if kind == "slope":
        distance = max(math.hypot(level, z), 1e-9)
        return distance, away / distance
    if kind == "horizontal":
        return level, np.array([x / level, y / level, 0.0])
    if kind == "level":
        return z, np.array([0.0, 0.0, 1.0])
    if kind == "clinometer":
        square = level**2 + z**2
        flat = -z / (square * level)
        return math.atan2(z, level), np.array([flat * x, flat * y, level / square])
    return math.atan2(x, y), np.array([y / level**2, -x / level**2, 0.0])
