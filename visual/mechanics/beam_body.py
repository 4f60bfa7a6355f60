"""A straight plane beam and what holds it: nodes, elements, wires and struts.

Degrees of freedom of node i: 3i along (u), 3i + 1 across (v), 3i + 2 turning (φ, from along to
across).  After them two for each free joint.
"""

from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from visual.mechanics.beam_element import element_softening, element_stiffness

Array = NDArray[np.float64]


@dataclass(frozen=True)
class Beam:
    """A beam pinned at its foot, and free joints beside it.

    Parameters
    ----------
    places : ndarray, shape (n,)
        Nodes along the beam from the foot, growing. [m]
    axial, flexural : ndarray, shape (n − 1,)
        EA [N] and EI [N m²] of each element.
    joints : int
        Free joints beside the beam.
    """

    places: Array
    axial: Array
    flexural: Array
    joints: int = 0

    @property
    def size(self) -> int:
        """Number of degrees of freedom, those of the foot included."""
        return 3 * self.places.size + 2 * self.joints

    @property
    def lengths(self) -> Array:
        """Lengths of the elements. [m]"""
        return np.diff(self.places)

    def node(self, place: float) -> int:
        """Return the node nearest to a place along the beam. [m]"""
        return int(np.argmin(np.abs(self.places - place)))

    def joint(self, number: int) -> int:
        """Return the first degree of freedom of a free joint."""
        return 3 * self.places.size + 2 * number

    def dofs(self, element: int) -> slice:
        """Return the degrees of freedom of the two nodes of an element."""
        return slice(3 * element, 3 * element + 6)

    @cached_property
    def stiffnesses(self) -> Array:
        """Stiffness of each element, shape (n − 1, 6, 6)."""
        parts = zip(self.lengths, self.axial, self.flexural, strict=True)
        return np.array([element_stiffness(*part) for part in parts])

    @cached_property
    def softenings(self) -> Array:
        """What a thrust of 1 N takes off the stiffness of each element, shape (n − 1, 6, 6)."""
        return np.array([element_softening(length) for length in self.lengths])

    @cached_property
    def stiffness(self) -> Array:
        """Stiffness of the beam alone, shape (size, size)."""
        return self.assembled(self.stiffnesses)

    @cached_property
    def element_dofs(self) -> NDArray[np.int_]:
        """Degrees of freedom of each element, shape (n − 1, 6)."""
        return 3 * np.arange(len(self.lengths))[:, np.newaxis] + np.arange(6)

    def assembled(self, elements: Array) -> Array:
        """Return matrices of the elements, shape (n − 1, 6, 6), put together."""
        whole = np.zeros((self.size, self.size))
        for k, element in enumerate(elements):
            whole[self.dofs(k), self.dofs(k)] += element
        return whole


@dataclass(frozen=True)
class Member:
    """A wire or strut.

    Parameters
    ----------
    stretch : ndarray, shape (size,) or (cases, size)
        Its lengthening per unit of each degree of freedom; of each case, where they differ.
    stiffness : float
        Force per lengthening, EA/L. [N/m]
    pulls_only : bool
        True for a wire, False for a strut.
    """

    stretch: Array = field(repr=False)
    stiffness: float
    pulls_only: bool = True


class UnstableError(ValueError):
    """Nothing holds the beam: it would turn or buckle."""


def direction(beam: Beam, first_dof: int, unit: Array) -> Array:
    """Return the stretch of a member with one end at a node or joint, along a unit vector away.

    Parameters
    ----------
    beam : Beam
        The beam.
    first_dof : int
        First degree of freedom of the node or joint.
    unit : ndarray, shape (2,) or (cases, 2)
        From the far end of the member to this end, along and across; shorter than 1 where the
        member leaves the plane.
    """
    stretch = np.zeros((*np.shape(unit)[:-1], beam.size))
    stretch[..., first_dof : first_dof + 2] = unit
    return stretch


def within(beam: Beam, ends: Array, slopes: Array, spread: Array, *, shares: Array) -> Array:
    """Return a moment or force inside the elements, from its value and slope at their left ends.

    A moment is a parabola under a uniform load, a shear or axial force a straight line.

    Parameters
    ----------
    beam : Beam
        The beam.
    ends, slopes : ndarray, shape (..., n − 1)
        Value and slope at the left ends; for a moment its shear.
    spread : ndarray, shape (..., n − 1)
        Change of the slope per length; for a moment the load across. [N/m]
    shares : ndarray, shape (k,)
        Places inside an element, 0 … 1.

    Returns
    -------
    ndarray, shape (..., n − 1, k)
    """
    x = shares[np.newaxis, :] * beam.lengths[:, np.newaxis]
    return np.asarray(
        ends[..., np.newaxis] + slopes[..., np.newaxis] * x + spread[..., np.newaxis] * x**2 / 2
    )
