"""A straight plane beam held by wires that only pull and struts that do both.

Euler–Bernoulli elements with Hermite shape functions: J. S. Przemieniecki, Theory of Matrix
Structural Analysis, 1968, p. 79 (stiffness), p. 284 (consistent loads) and p. 392 (geometric
stiffness); pages from memory, values held against a general frame program in the tests.  Nodal
values are exact for point loads at nodes and for loads uniform along an element.

The beam lies along x from its pinned foot.  Degrees of freedom of node i: 3i along (u), 3i + 1
across (v), 3i + 2 turning (φ, from along to across).  After them two for each free joint.

Which wires pull is found by dropping those that would push and taking back those that would be
stretched, until nothing changes.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.linalg import eigh, solve_triangular

from visual.mechanics.beam_element import element_loads, element_softening, element_stiffness

Array = NDArray[np.float64]

MOST_ROUNDS = 30  # of the search for the wires that pull; a few wires settle in two or three


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
    stretch : ndarray, shape (size,)
        Its lengthening per unit of each degree of freedom.
    stiffness : float
        Force per lengthening, EA/L. [N/m]
    pulls_only : bool
        True for a wire, False for a strut.
    """

    stretch: Array = field(repr=False)
    stiffness: float
    pulls_only: bool = True


@dataclass(frozen=True)
class BeamState:
    """What a load does.

    Parameters
    ----------
    displacement : ndarray, shape (size,)
        Displacements and turns. [m, rad]
    forces : ndarray, shape (members,)
        Force in each member, pull positive; 0 in a slack wire. [N]
    axial, shear, moment : ndarray, shape (n − 1, 2)
        At both ends of each element: axial force, pull positive [N]; shear, dM/dx [N]; moment,
        EI v'' [N m].
    """

    displacement: Array = field(repr=False)
    forces: Array
    axial: Array = field(repr=False)
    shear: Array = field(repr=False)
    moment: Array = field(repr=False)


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
    unit : ndarray, shape (2,)
        From the far end of the member to this end, along and across; shorter than 1 where the
        member leaves the plane.
    """
    stretch = np.zeros(beam.size)
    stretch[first_dof : first_dof + 2] = unit
    return stretch


def solve(
    beam: Beam,
    members: Sequence[Member],
    *,
    point_loads: Array,
    spread_loads: Array,
    thrust: Array | None = None,
) -> BeamState:
    """Find displacements, member forces and section forces.

    Parameters
    ----------
    beam : Beam
        The beam.
    members : sequence of Member
        What holds it.
    point_loads : ndarray, shape (size,)
        Forces and moments on the degrees of freedom. [N, N m]
    spread_loads : ndarray, shape (n − 1, 2)
        Load per length of each element, along and across. [N/m]
    thrust : ndarray, shape (n − 1,), optional
        Compression of each element whose effect on the bent shape is counted in (second order).
        [N]

    Raises
    ------
    UnstableError
        If the wires that pull cannot hold it.
    """
    own = beam.stiffness - (0.0 if thrust is None else thrust_matrix(beam, thrust))
    load = point_loads + _consistent(beam, spread_loads)
    pulling = np.ones(len(members), dtype=bool)
    for _ in range(MOST_ROUNDS):
        shape = _displacement(own, members, pulling, load)
        force = np.array([m.stiffness * (m.stretch @ shape) for m in members])
        wanted = np.array([not m.pulls_only for m in members]) | (force > 0.0)
        if (wanted == pulling).all():
            break
        pulling = wanted
    else:
        message = "the wires that pull could not be found"
        raise UnstableError(message)
    return _state(beam, shape, np.where(pulling, force, 0.0), spread_loads, thrust)


def buckling_factor(beam: Beam, members: Sequence[Member], *, thrust: Array) -> float:
    """Return by what the thrust must be multiplied for the beam to buckle; infinite if never. [1]

    Parameters
    ----------
    beam : Beam
        The beam.
    members : sequence of Member
        The members that hold it, wires that pull only.
    thrust : ndarray, shape (n − 1,)
        Compression of each element. [N]
    """
    free = slice(2, None)
    held = _held(beam.stiffness, members, np.ones(len(members), dtype=bool))[free, free]
    driven = thrust_matrix(beam, thrust)[free, free]
    found = eigh(driven, held, eigvals_only=True)
    most = float(found[-1])
    # what rounding leaves of the many zeros is no buckling
    return 1 / most if most > 1e-12 * float(np.abs(found).max()) else np.inf


def thrust_matrix(beam: Beam, thrust: Array) -> Array:
    """Return what thrusts [N] take off the stiffness across, shape (size, size)."""
    return beam.assembled(thrust[:, np.newaxis, np.newaxis] * beam.softenings)


def _consistent(beam: Beam, spread: Array) -> Array:
    load = np.zeros(beam.size)
    for k, one in enumerate(element_loads(beam.lengths, spread)):
        load[beam.dofs(k)] += one
    return load


def _held(own: Array, members: Sequence[Member], pulling: NDArray[np.bool_]) -> Array:
    whole = own.copy()
    for member, pulls in zip(members, pulling, strict=True):
        if pulls:
            at = np.flatnonzero(member.stretch)
            part = member.stretch[at]
            whole[np.ix_(at, at)] += member.stiffness * np.outer(part, part)
    return whole


def _displacement(
    own: Array, members: Sequence[Member], pulling: NDArray[np.bool_], load: Array
) -> Array:
    """Solve with the foot pinned; a matrix that is not positive holds nothing."""
    whole = _held(own, members, pulling)[2:, 2:]
    scale = 1 / np.sqrt(np.abs(np.diag(whole)).clip(min=1e-300))
    try:
        root = np.linalg.cholesky(whole * np.outer(scale, scale))
    except np.linalg.LinAlgError as error:
        message = "nothing holds the beam against turning or buckling"
        raise UnstableError(message) from error
    half = solve_triangular(root, load[2:] * scale, lower=True, check_finite=False)
    turned = solve_triangular(root, half, lower=True, trans="T", check_finite=False)
    return np.concatenate([[0.0, 0.0], turned * scale])


def _state(
    beam: Beam, shape: Array, forces: Array, spread: Array, thrust: Array | None
) -> BeamState:
    """Recover the section forces from the end forces of each element."""
    elements = beam.stiffnesses
    if thrust is not None:
        elements = elements - thrust[:, np.newaxis, np.newaxis] * beam.softenings
    own = np.array([shape[beam.dofs(k)] for k in range(beam.lengths.size)])
    ends = np.einsum("kij,kj->ki", elements, own) - element_loads(beam.lengths, spread)
    return BeamState(
        displacement=shape,
        forces=forces,
        axial=np.stack([-ends[:, 0], ends[:, 3]], axis=1),
        # V = dM/dx with M = EI v'': the force across on the left end is +EI v'''= dM/dx.
        shear=np.stack([ends[:, 1], -ends[:, 4]], axis=1),
        moment=np.stack([-ends[:, 2], ends[:, 5]], axis=1),
    )


def within(beam: Beam, ends: Array, slopes: Array, spread: Array, *, shares: Array) -> Array:
    """Return a moment or force inside the elements, from its value and slope at their left ends.

    A moment is a parabola under a uniform load, a shear or axial force a straight line.

    Parameters
    ----------
    beam : Beam
        The beam.
    ends, slopes : ndarray, shape (n − 1,)
        Value and slope at the left ends; for a moment its shear.
    spread : ndarray, shape (n − 1,)
        Change of the slope per length; for a moment the load across. [N/m]
    shares : ndarray, shape (k,)
        Places inside an element, 0 … 1.

    Returns
    -------
    ndarray, shape (n − 1, k)
    """
    x = shares[np.newaxis, :] * beam.lengths[:, np.newaxis]
    return np.asarray(
        ends[:, np.newaxis] + slopes[:, np.newaxis] * x + spread[:, np.newaxis] * x**2 / 2
    )
