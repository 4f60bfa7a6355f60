"""Many cases of one beam at once: other loads, and other directions of what holds it.

Every step is done for all cases together; a case drops out of the search for the wires that pull
as soon as nothing changes in it.  What is solved and its sources: see `visual.mechanics.beam`.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from visual.mechanics.beam_body import Array, Beam, Member
from visual.mechanics.beam_element import element_loads

MOST_ROUNDS = 30  # of the search for the wires that pull; a few wires settle in two or three

Flags = NDArray[np.bool_]


@dataclass(frozen=True)
class BeamCases:
    """What each of several loads does; NaN in cases that nothing holds.

    Parameters
    ----------
    displacement : ndarray, shape (cases, size)
        Displacements and turns. [m, rad]
    forces : ndarray, shape (cases, members)
        Force in each member, pull positive; 0 in a slack wire. [N]
    axial, shear, moment : ndarray, shape (cases, n − 1, 2)
        At both ends of each element: axial force, pull positive [N]; shear, dM/dx [N]; moment,
        EI v'' [N m].
    holds, settled : ndarray of bool, shape (cases,)
        Whether anything holds the beam against turning and buckling; whether the wires that pull
        were found.
    """

    displacement: Array
    forces: Array
    axial: Array
    shear: Array
    moment: Array
    holds: Flags
    settled: Flags


def solve_cases(
    beam: Beam,
    members: Sequence[Member],
    *,
    point_loads: Array,
    spread_loads: Array,
    thrust: Array | None = None,
) -> BeamCases:
    """Find displacements, member forces and section forces of several cases.

    Parameters
    ----------
    beam : Beam
        The beam.
    members : sequence of Member
        What holds it.
    point_loads : ndarray, shape (cases, size)
        Forces and moments on the degrees of freedom. [N, N m]
    spread_loads : ndarray, shape (cases, n − 1, 2)
        Load per length of each element, along and across. [N/m]
    thrust : ndarray, shape (cases, n − 1), optional
        Compression of each element whose effect on the bent shape is counted in. [N]
    """
    count = len(point_loads)
    own = np.broadcast_to(beam.stiffness, (count, beam.size, beam.size))
    if thrust is not None:
        own = own - thrust_matrices(beam, thrust)
    load = point_loads + _consistent(beam, spread_loads)
    stretch = _stretches(members, count)
    stiffness = np.array([member.stiffness for member in members])
    pulling = np.ones((count, len(members)), dtype=bool)
    shape, force = np.full(load.shape, np.nan), np.full(pulling.shape, np.nan)
    holds, settled = np.ones(count, dtype=bool), np.zeros(count, dtype=bool)
    for _ in range(MOST_ROUNDS):
        now = np.flatnonzero(holds & ~settled)
        if now.size == 0:
            break
        held = _held(own[now], stretch[now], stiffness * pulling[now])
        shape[now], holds[now] = _displacement(held, load[now])
        force[now] = stiffness * (stretch[now] @ shape[now, :, np.newaxis])[..., 0]
        wanted = ~_pulls_only(members) | (force[now] > 0.0)
        settled[now] = (wanted == pulling[now]).all(axis=1)
        pulling[now] = wanted
    return _cases(beam, shape, np.where(pulling, force, 0.0), spread_loads, thrust, holds, settled)


def buckling_factors(
    beam: Beam, members: Sequence[Member], pulling: Flags, *, thrust: Array
) -> Array:
    """Return by what the thrust of each case must be multiplied for the beam to buckle. [1]

    Parameters
    ----------
    beam : Beam
        The beam.
    members : sequence of Member
        The members that hold it.
    pulling : ndarray of bool, shape (cases, members)
        Which of them count in each case.
    thrust : ndarray, shape (cases, n − 1)
        Compression of each element. [N]

    Returns
    -------
    ndarray, shape (cases,)
        Infinite where nothing presses.
    """
    stiffness = np.array([member.stiffness for member in members])
    held = _held(beam.stiffness, _stretches(members, len(thrust)), stiffness * pulling)
    bent = _bent(beam)
    bends = np.zeros(beam.size, dtype=bool)
    bends[bent] = True
    stiff = 2 + np.flatnonzero(~bends[2:])
    # Only what bends is softened. With it last, the end of the Cholesky factor is that of its
    # stiffness with all else free to follow.
    order = np.concatenate([stiff, bent])
    scale, scaled = _scaled(held[:, order[:, np.newaxis], order])
    root = np.linalg.inv(np.linalg.cholesky(scaled)[:, stiff.size :, stiff.size :])
    root = root * scale[:, np.newaxis, stiff.size :]
    driven = thrust_matrices(beam, thrust)[:, bent[:, np.newaxis], bent]
    found = np.linalg.eigvalsh(root @ driven @ root.swapaxes(1, 2))
    most = found[:, -1]
    # what rounding leaves of the many zeros is no buckling
    buckles = most > 1e-12 * np.abs(found).max(axis=1)
    return np.where(buckles, 1 / np.where(buckles, most, 1.0), np.inf)


def thrust_matrices(beam: Beam, thrust: Array) -> Array:
    """Return what thrusts (..., n − 1) [N] take off the stiffness across, (..., size, size)."""
    whole = np.zeros((*thrust.shape[:-1], beam.size, beam.size))
    for k, softening in enumerate(beam.softenings):
        at = beam.dofs(k)
        whole[..., at, at] += thrust[..., k, np.newaxis, np.newaxis] * softening
    return whole


def _bent(beam: Beam) -> NDArray[np.int_]:
    """Return the degrees of freedom across and turning, without those the foot holds."""
    node = np.arange(beam.places.size)
    return np.sort(np.concatenate([3 * node[1:] + 1, 3 * node + 2]))


def _stretches(members: Sequence[Member], count: int) -> Array:
    """Return the stretch of all members in every case, shape (cases, members, size)."""
    whole = [np.broadcast_to(m.stretch, (count, m.stretch.shape[-1])) for m in members]
    return np.stack(whole, axis=1)


def _pulls_only(members: Sequence[Member]) -> Flags:
    return np.array([member.pulls_only for member in members])


def _consistent(beam: Beam, spread: Array) -> Array:
    load = np.zeros((len(spread), beam.size))
    parts = element_loads(beam.lengths, spread)
    for k in range(len(beam.lengths)):
        load[:, beam.dofs(k)] += parts[:, k]
    return load


def _held(own: Array, stretch: Array, stiffness: Array) -> Array:
    """Add members to the stiffness of the beam, shape (cases, size, size)."""
    whole = own + np.zeros((len(stretch), 1, 1))
    for number in range(stretch.shape[1]):
        # A member stretches with a few degrees of freedom only.
        at = np.flatnonzero(stretch[:, number].any(axis=0))
        one = stretch[:, number, at]
        pull = stiffness[:, number, np.newaxis] * one
        whole[:, at[:, np.newaxis], at] += pull[:, :, np.newaxis] * one[:, np.newaxis]
    return whole


def _scaled(whole: Array) -> tuple[Array, Array]:
    """Return the scale of each row, and the matrix scaled to a diagonal of ones."""
    diagonal = np.abs(np.diagonal(whole, axis1=1, axis2=2))
    scale = 1 / np.sqrt(diagonal.clip(min=1e-300))
    return scale, whole * scale[:, :, np.newaxis] * scale[:, np.newaxis, :]


def _displacement(held: Array, load: Array) -> tuple[Array, Flags]:
    """Solve with the foot pinned; a matrix that is not positive holds nothing: NaN."""
    scale, scaled = _scaled(held[:, 2:, 2:])
    holds = _positive(scaled)
    scaled[~holds] = np.eye(scaled.shape[1])
    turned = np.linalg.solve(scaled, (load[:, 2:] * scale)[..., np.newaxis])[..., 0]
    shape = np.concatenate([np.zeros((len(load), 2)), turned * scale], axis=1)
    shape[~holds] = np.nan
    return shape, holds


def _positive(matrices: Array) -> Flags:
    """Tell which symmetric matrices are positive."""
    try:
        np.linalg.cholesky(matrices)
    except np.linalg.LinAlgError:
        if len(matrices) == 1:
            return np.zeros(1, dtype=bool)
        half = len(matrices) // 2
        return np.concatenate([_positive(matrices[:half]), _positive(matrices[half:])])
    return np.ones(len(matrices), dtype=bool)


def _cases(
    beam: Beam,
    shape: Array,
    forces: Array,
    spread: Array,
    thrust: Array | None,
    holds: Flags,
    settled: Flags,
) -> BeamCases:
    """Recover the section forces from the end forces of each element."""
    own = shape[:, beam.element_dofs, np.newaxis]
    ends = (beam.stiffnesses @ own)[..., 0] - element_loads(beam.lengths, spread)
    if thrust is not None:
        ends -= thrust[..., np.newaxis] * (beam.softenings @ own)[..., 0]
    return BeamCases(
        displacement=shape,
        forces=forces,
        axial=np.stack([-ends[..., 0], ends[..., 3]], axis=-1),
        # V = dM/dx with M = EI v'': the force across on the left end is +EI v'''= dM/dx.
        shear=np.stack([ends[..., 1], -ends[..., 4]], axis=-1),
        moment=np.stack([-ends[..., 2], ends[..., 5]], axis=-1),
        holds=holds,
        settled=settled,
    )
