"""A straight plane beam held by wires that only pull and struts that do both.

Euler–Bernoulli elements with Hermite shape functions: J. S. Przemieniecki, Theory of Matrix
Structural Analysis, 1968, p. 79 (stiffness), p. 284 (consistent loads) and p. 392 (geometric
stiffness); pages from memory, values held against a general frame program in the tests.  Nodal
values are exact for point loads at nodes and for loads uniform along an element.

The beam lies along x from its pinned foot; its degrees of freedom: `visual.mechanics.beam_body`.

Which wires pull is found by dropping those that would push and taking back those that would be
stretched, until nothing changes.

Here one load at a time; `visual.mechanics.beam_cases` takes many.
"""

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from visual.mechanics.beam_body import Array, Beam, Member, UnstableError, direction, within
from visual.mechanics.beam_cases import buckling_factors, solve_cases

__all__ = [
    "Beam",
    "BeamState",
    "Member",
    "UnstableError",
    "buckling_factor",
    "direction",
    "solve",
    "within",
]


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
    found = solve_cases(
        beam,
        members,
        point_loads=point_loads[np.newaxis],
        spread_loads=spread_loads[np.newaxis],
        thrust=None if thrust is None else thrust[np.newaxis],
    )
    if not found.holds[0]:
        message = "nothing holds the beam against turning or buckling"
        raise UnstableError(message)
    if not found.settled[0]:
        message = "the wires that pull could not be found"
        raise UnstableError(message)
    return BeamState(
        displacement=found.displacement[0],
        forces=found.forces[0],
        axial=found.axial[0],
        shear=found.shear[0],
        moment=found.moment[0],
    )


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
    pulling = np.ones((1, len(members)), dtype=bool)
    return float(buckling_factors(beam, members, pulling, thrust=thrust[np.newaxis])[0])
