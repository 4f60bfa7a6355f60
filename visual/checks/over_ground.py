"""The distance of moving parts to the ground below them, certified for the whole raise."""

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from visual.checks.clearance import Closest, certified_minima_of_all, nearer_of
from visual.checks.first_raise import lower_span
from visual.checks.kept_minima import MinimaOf
from visual.checks.parts import head_and_rotor, outer_gin_pole, outer_mast
from visual.checks.shapes import Shape, ground_shape
from visual.checks.sweep import MovingPart
from visual.checks.tow_parts import tow_line
from visual.model import Model
from visual.raising import Raise
from visual.raising.motion import Array

AROUND = 1.0  # [m] ground beyond the part's own plan that can still be its nearest

OverGround = Mapping[str, Closest | None]
"""By part: its smallest distance to the ground over both raises; None where that is unknown."""


@dataclass(frozen=True)
class Sweep:
    """A part and the ground that it sweeps over.

    Parameters
    ----------
    parts : tuple of MovingPart
        From the start angle with the head on; then on the first raise, below that angle, unless
        it is not there.
    spans : tuple of tuple of float
        First and last raising angle of each. [rad]
    ground : Shape
        The ground below both.
    """

    parts: tuple[MovingPart, ...]
    spans: tuple[tuple[float, float], ...]
    ground: Shape


def find_over_ground(
    model: Model,
    raised: Raise,
    names: Container[str] | None = None,
    *,
    minima_of: MinimaOf = certified_minima_of_all,
) -> OverGround:
    """Return the certified smallest distance of parts to the ground, all in one search.

    Parameters
    ----------
    model : Model
        The mast on its site.
    raised : Raise
        The raise.
    names : container of str or None
        Which of mast, head, rotor, gin pole and tow line; all that there are if left out. A tow
        line without a place is not there.
    minima_of : callable
        What finds the minima.
    """
    swept = {
        part.name: _sweep(model, raised, part, lower)
        for part, lower in _parts(model, raised)
        if names is None or part.name in names
    }
    known = {name: one for name, one in swept.items() if len(one.ground.triangles)}
    return {**dict.fromkeys(swept), **_found(known, minima_of)}


def _found(sweeps: Mapping[str, Sweep], minima_of: MinimaOf) -> dict[str, Closest]:
    """Search all at once, which is quicker, each part against its own ground only."""
    names = [name for name, one in sweeps.items() for _ in one.parts]
    own = [list(sweeps).index(name) for name in names]
    minima = minima_of(
        [part for one in sweeps.values() for part in one.parts],
        [one.ground for one in sweeps.values()],
        spans=[span for one in sweeps.values() for span in one.spans],
        only=own,
    )
    found: dict[str, Closest] = {}
    for name, number, of_part in zip(names, own, minima, strict=True):
        closest = of_part[number]
        found[name] = nearer_of(found[name], closest) if name in found else closest
    return found


def _parts(model: Model, raised: Raise) -> Iterator[tuple[MovingPart, MovingPart | None]]:
    """Yield each part on the raise with the head, and on the first raise if it is there."""
    mast, pole = outer_mast(model), outer_gin_pole(model)
    yield mast, mast
    yield from ((part, None) for part in head_and_rotor(model))
    yield pole, pole
    if not np.isnan(raised.tow.distance).any():
        first = raised.first
        known = first is not None and not np.isnan(first.tow.distance).any()
        lower = tow_line(model, first.tow) if first is not None and known else None
        yield tow_line(model, raised.tow), lower


def _sweep(model: Model, raised: Raise, part: MovingPart, lower: MovingPart | None) -> Sweep:
    parts, angles = [part], [raised.angles]
    spans = [(raised.first_angle, float(raised.angles[-1]))]
    if lower is not None and raised.first is not None:
        parts.append(lower)
        angles.append(raised.first.angles)
        spans.append(lower_span(raised.first))
    return Sweep(tuple(parts), tuple(spans), _ground_around(model, parts, angles))


def _ground_around(model: Model, parts: Sequence[MovingPart], angles: Sequence[Array]) -> Shape:
    """Return the ground below everything that parts sweep over, each at its own angles."""
    places = [one.ends(at)[..., :2].reshape(-1, 2) for one, at in zip(parts, angles, strict=True)]
    plan = np.concatenate(places)
    spare = max(part.radius for part in parts) + AROUND
    xmin, ymin = (float(value) for value in plan.min(axis=0) - spare)
    xmax, ymax = (float(value) for value in plan.max(axis=0) + spare)
    return ground_shape(model.ground.triangles(xmin, ymin, xmax, ymax))
