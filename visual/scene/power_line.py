"""An overhead line as layers: supports, hanging conductors and the clearance to keep."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from visual.checks.shapes import UNKNOWN_SAG_SHARE
from visual.mechanics.catenary import conductor_shape
from visual.model import PlacedLine
from visual.scene.layers import AnyLayer, LabelLayer, LineLayer, MeshLayer, Points
from visual.scene.solids import Solid, box, merge, ring_about, tube

_POINTS = 33  # per span
_UP = np.array([0.0, 0.0, 1.0])


def line_layers(line: PlacedLine, *, required: float | None) -> Iterator[AnyLayer]:
    """Return the layers of an overhead line; spans with an unknown end are left out.

    Parameters
    ----------
    line : PlacedLine
        The line.
    required : float or None
        Distance to keep from it; None where no table gives one. [m]
    """
    spans = known_spans(line)
    if not spans:
        return
    poles = merge(_support(line, k) for k in range(len(line.supports)) if _is_known(line, k))
    yield MeshLayer(
        role="support", group="surroundings", name=line.name, vertices=poles[0], triangles=poles[1]
    )
    wires = tuple(path + shift for span in spans for path, shift in strands(line, span))
    yield LineLayer(role="conductor", group="surroundings", name=line.name, paths=wires)
    if line.sag is None:
        band = merge(_ribbon(span) for span in spans)
        yield MeshLayer(
            role="sag_range",
            group="surroundings",
            name=line.name,
            vertices=band[0],
            triangles=band[1],
        )
    yield from _label(line, spans)
    if required is not None:
        yield from _clearance(line, spans, required + line.spread / 2)


def known_spans(line: PlacedLine) -> list[Points]:
    """Return the lowest conductor of each known span, hanging as deep as it may, (n, 3)."""
    known = [bool(np.isfinite(support).all()) for support in line.supports]
    return [
        _hang(line, line.supports[k], line.supports[k + 1])
        for k in range(len(known) - 1)
        if known[k] and known[k + 1]
    ]


def _hang(line: PlacedLine, start: Points, end: Points) -> Points:
    sag = line.sag
    if sag is None:
        sag = UNKNOWN_SAG_SHARE * float(np.linalg.norm(end - start))
    if sag <= 0 or np.hypot(*(end - start)[:2]) < 1e-6:
        return np.array([start, end])
    return conductor_shape(start, end, sag, _POINTS)


def _is_known(line: PlacedLine, k: int) -> bool:
    return bool(np.isfinite([*line.supports[k], line.support_feet[k]]).all())


def _along(line: PlacedLine, k: int) -> NDArray[np.float64]:
    """Return the level direction of the line at a support, unit length."""
    before, after = line.supports[max(k - 1, 0)], line.supports[min(k + 1, len(line.supports) - 1)]
    way = np.array([*(after - before)[:2], 0.0])
    return np.asarray(way / np.linalg.norm(way), dtype=float)


def _support(line: PlacedLine, k: int) -> Solid:
    """Return a pole with a crossarm as wide as the conductors are apart."""
    top, along = line.supports[k], _along(line, k)
    foot = np.array([*top[:2], line.support_feet[k]])
    pole = tube(np.array([foot, top + 0.3 * _UP]), [0.15, 0.11], sides=8)
    if line.spread <= 0:
        return pole
    across = np.cross(_UP, along)
    arm = box(top, np.array([along, across, _UP]), (0.06, line.spread / 2 + 0.1, 0.06))
    return merge([pole, arm])


def strands(line: PlacedLine, span: Points) -> Iterator[tuple[Points, NDArray[np.float64]]]:
    """Yield the conductors of a span, each as a path and its shift: three across, or one."""
    way = np.array([*(span[-1] - span[0])[:2], 0.0])
    across = np.cross(_UP, way / max(float(np.linalg.norm(way)), 1e-9))
    for share in (-0.5, 0.0, 0.5) if line.spread > 0 else (0.0,):
        yield span, share * line.spread * across
        if line.sag is None:  # it hangs somewhere between the chord and here
            yield np.array([span[0], span[-1]]), share * line.spread * across


def _ribbon(span: Points) -> Solid:
    """Return the upright area between a hanging conductor and its chord."""
    chord = span.copy()
    run = np.hypot(*(span[:, :2] - span[0, :2]).T)
    chord[:, 2] = np.interp(run, run[[0, -1]], span[[0, -1], 2])
    n = len(span)
    a = np.arange(n - 1)
    faces = np.stack([a, a + 1, a + 1 + n, a, a + 1 + n, a + n], axis=-1).reshape(-1, 3)
    return np.concatenate([span, chord]), faces.astype(np.int32)


def _label(line: PlacedLine, spans: list[Points]) -> Iterator[LabelLayer]:
    """Name the line where it comes nearest to the base, or elsewhere along it."""
    points = np.concatenate(spans)
    away = np.linalg.norm(points, axis=1)
    text = line.name if line.sag is not None else f"{line.name} (sag unknown)"
    for rank, k in enumerate(np.argsort(away, kind="stable")[:: max(1, len(points) // 16)]):
        yield LabelLayer(
            role="label",
            group="line_names",
            name=line.name,
            text=text,
            at=points[k],
            priority=5 - 0.02 * rank,
            choice=f"line {line.name}",
        )


def _clearance(line: PlacedLine, spans: list[Points], radius: float) -> Iterator[AnyLayer]:
    """Return the space to keep out of: a tube, hoops around it, and its sides seen from above."""
    role, edge = "required_clearance", "required_clearance_edge"
    solid = merge(tube(path, radius, sides=32, capped=False) for path in _runs(spans))
    yield MeshLayer(
        role=role, group="clearance", name=line.name, vertices=solid[0], triangles=solid[1]
    )
    hoops = tuple(_hoops(spans, radius))
    yield LineLayer(role=edge, group="hoops", name=line.name, paths=hoops)
    sides = tuple(side for path in _runs(spans) for side in _sides(path, radius))
    yield LineLayer(role=edge, group="only:plan", name=line.name, paths=sides)


def _runs(spans: list[Points]) -> list[Points]:
    """Join spans that meet at a support."""
    runs: list[Points] = []
    for span in spans:
        if runs and np.allclose(runs[-1][-1], span[0]):
            runs[-1] = np.concatenate([runs[-1], span[1:]])
        else:
            runs.append(span)
    return runs


def _hoops(spans: list[Points], radius: float) -> Iterator[Points]:
    """Return a ring at each support and one where the line comes nearest to the hinge."""
    for path in _runs(spans):
        ends = [*(path[0] for path in spans), *(path[-1] for path in spans)]
        at_support = [k for k in range(len(path)) if any((path[k] == end).all() for end in ends)]
        nearest = int(np.argmin(np.linalg.norm(path, axis=1)))
        for k in sorted({*at_support, nearest}):
            way = path[min(k + 1, len(path) - 1)] - path[max(k - 1, 0)]
            yield ring_about(path[k], way, radius)


def _sides(path: Points, radius: float) -> Iterator[Points]:
    """Return the outline of the tube as seen from above."""
    way = np.gradient(path, axis=0)[:, :2]
    way = way / np.linalg.norm(way, axis=1, keepdims=True)
    across = np.column_stack([-way[:, 1], way[:, 0], np.zeros(len(way))])
    yield path + radius * across
    yield path - radius * across


def crossing(line: PlacedLine, normal: Points) -> Iterator[tuple[Points, Points]]:
    """Return where a line passes through the upright plane through the hinge, and its way there.

    Parameters
    ----------
    line : PlacedLine
        The line.
    normal : ndarray, shape (3,)
        Unit vector square to the plane.
    """
    for span in known_spans(line):
        side = span @ normal
        for k in np.flatnonzero((side[:-1] < 0) != (side[1:] < 0)):
            share = side[k] / (side[k] - side[k + 1])
            yield span[k] + share * (span[k + 1] - span[k]), span[k + 1] - span[k]
