"""From readings to a network with a starting point: what is sought, and roughly where it is."""

import math
from collections.abc import Iterator, Mapping, Sequence

import numpy as np

from visual.crew.network import SHIFT, TURN, Array, Component, Equation, Network
from visual.crew.readings import FIXED, GPS_HEIGHT_FACTOR, Reading
from visual.errors import InputError, Problem
from visual.model import Model, Vector
from visual.rig import SIDES

HEIGHT_KINDS = ("level", "clinometer")


def make_network(model: Model, readings: Sequence[Reading], *, file: str) -> Network:
    """Return the equations of a survey.

    An anchor whose height no reading gives gets that of the ground data and its eye height, with
    their accuracy.

    Parameters
    ----------
    model : Model
        The mast on its site, anchors as planned.
    readings : sequence of Reading
        What was read.
    file : str
        The file of the readings, for errors.

    Raises
    ------
    InputError
        If nothing was read of an anchor that is not settled, or a GPS place is far off.
    """
    points = _sought(readings)
    _check_points(points, readings, file)
    ground = dict(_ground(model, points, readings))
    equations: list[Equation] = []
    for reading in readings:
        equations += _equations(model, reading, file)
    for point, (height, _, about) in ground.items():
        sigma = float(np.hypot(model.ground.accuracy_at(*about), model.ground.accuracy_at(0, 0)))
        reading = Reading(0, "ground", point, point, height, sigma)
        equations.append(Equation(reading, "", 0.0, sigma))
    extras = tuple(_extras(readings))
    if TURN in extras and model.frame.declination is not None:
        prior = Reading(0, "declination", TURN, TURN, 0.0, model.frame.declination.uncertainty)
        equations.append(Equation(prior, "", 0.0, prior.sigma))
    return Network(
        fixed={"hinge": np.zeros(3), "base": np.array([0.0, 0.0, model.base_ground])},
        points=points,
        extras=extras,
        equations=tuple(equations),
        ground=ground,
    )


def _sought(readings: Sequence[Reading]) -> tuple[str, ...]:
    named = dict.fromkeys(name for r in readings for name in (r.start, r.end))
    anchors = [side for side in SIDES if side in named]
    others = [name for name in named if name not in SIDES and name not in FIXED]
    return (*anchors, *others)


def _check_points(points: Sequence[str], readings: Sequence[Reading], file: str) -> None:
    problems = []
    if not any(side in points for side in SIDES):
        rule = "no reading goes to an anchor"
        way_out = f"call the anchors {', '.join(SIDES)} in the columns from and to"
        problems.append(Problem(file, "", None, rule, way_out))
    for point in points:
        count = sum(point in (r.start, r.end) for r in readings)
        if point not in SIDES and count == 1:
            rule = "this point is no anchor and stands in one reading only, so it ties nothing"
            way_out = f"correct its name (known: hinge, base, {', '.join(SIDES)}), or read it again"
            problems.append(Problem(file, "point", point, rule, way_out))
    if problems:
        raise InputError(problems)


def _extras(readings: Sequence[Reading]) -> Iterator[str]:
    if any(r.kind == "compass" for r in readings):
        yield TURN
    if any(r.kind == "gps" and r.end in FIXED for r in readings):
        yield SHIFT


def _ground(
    model: Model, points: Sequence[str], readings: Sequence[Reading]
) -> Iterator[tuple[str, tuple[float, Vector, Vector]]]:
    """Yield eye height over the ground data for anchors whose height nothing else gives."""
    for side in SIDES:
        if side not in points or any(_gives_height(r, side) for r in readings):
            continue
        anchor = model.anchors[side]
        about = np.array(anchor.eye[:2])
        height = anchor.ground_height + model.rig.anchors[side].eye_height
        if math.isfinite(height):
            yield side, (height, model.ground.gradient(*about), about)


def _gives_height(reading: Reading, point: str) -> bool:
    if reading.kind == "gps":
        return reading.end == point and math.isfinite((reading.place or (0, 0, math.nan))[2])
    return reading.kind in HEIGHT_KINDS and point in (reading.start, reading.end)


def _equations(model: Model, reading: Reading, file: str) -> Iterator[Equation]:
    if reading.kind == "gps":
        yield from _gps_equations(model, reading, file)
        return
    value = reading.value
    if reading.kind == "compass":
        # from here on a bearing of the local frame, so far as it is known
        frame = model.frame
        known = frame.declination.value - (frame.convergence or 0.0) if frame.declination else 0.0
        value = (value + known) % math.tau
    yield Equation(reading, "", value, reading.sigma)


def _gps_equations(model: Model, reading: Reading, file: str) -> Iterator[Equation]:
    easting, northing, height = reading.place or (math.nan,) * 3
    x, y = (float(value) for value in model.frame.to_local(easting, northing))
    if not math.hypot(x, y) < 1000.0:
        raise InputError.one(
            file=file,
            key=f"row {reading.line}, column easting",
            value=[easting, northing],
            rule="the place is more than a kilometre from the base",
            way_out=f"write easting and northing in the site's grid, {model.frame.crs}",
        )
    parts: list[tuple[Component, float, float]] = [("x", x, 1.0), ("y", y, 1.0)]
    if math.isfinite(height):
        parts.append(("z", float(model.frame.local_height(height)), GPS_HEIGHT_FACTOR))
    for component, value, factor in parts:
        yield Equation(reading, component, value, reading.sigma * factor)


def starting_point(model: Model, network: Network, *, file: str) -> Array:
    """Return rough unknowns: anchors as planned, other points from the first readings to them.

    Raises
    ------
    InputError
        If a point cannot even roughly be placed.
    """
    placed: dict[str, Vector] = {name: np.array(p) for name, p in network.fixed.items()}
    for side in SIDES:
        placed[side] = np.nan_to_num(np.array(model.anchors[side].eye))
    waiting = [point for point in network.points if point not in placed]
    while waiting:
        found = {point: place for point in waiting if (place := _rough(network, placed, point))}
        if not found:
            raise InputError.one(
                file=file,
                key="point",
                value=", ".join(waiting),
                rule="the readings do not say where this point is, not even roughly",
                way_out="add a bearing and a distance to it, or two distances",
            )
        placed |= {point: np.array(place) for point, place in found.items()}
        waiting = [point for point in waiting if point not in placed]
    unknowns = np.zeros(network.size)
    for point in network.points:
        index = network.index(point)
        if index is not None:
            unknowns[index : index + 3] = placed[point]
    return unknowns


def _rough(
    network: Network, placed: Mapping[str, Vector], point: str
) -> tuple[float, float, float] | None:
    """Return a place that goes with a GPS reading, with bearing and tape, or with two tapes."""
    gps = {e.component: e.value for e in network.equations if _is_gps(e, point)}
    if gps:
        return gps["x"], gps["y"], gps.get("z", 0.0)
    tapes, bearings = [], []
    for equation in network.equations:
        start, end = equation.reading.start, equation.reading.end
        other = start if end == point else end if start == point else None
        if other is None or other not in placed:
            continue
        if equation.reading.kind in ("slope", "horizontal"):
            tapes.append((placed[other], equation.value))
        if equation.reading.kind in ("compass", "bearing"):
            turn = 0.0 if end == point else math.pi
            bearings.append((placed[other], equation.value + turn))
    if bearings and tapes:
        (x, y, z), bearing = bearings[0]
        return x + tapes[0][1] * math.sin(bearing), y + tapes[0][1] * math.cos(bearing), z
    return _crossing(tapes) if len(tapes) > 1 else None


def _is_gps(equation: Equation, point: str) -> bool:
    return equation.reading.kind == "gps" and equation.reading.end == point


def _crossing(tapes: Sequence[tuple[Vector, float]]) -> tuple[float, float, float]:
    """Return where two tapes meet in plan, on the left of the line between their starts."""
    (first, near), (second, far) = tapes[0], tapes[1]
    line = second[:2] - first[:2]
    length = max(float(np.hypot(*line)), 1e-6)
    along = (near**2 - far**2 + length**2) / (2 * length)
    across = math.sqrt(max(near**2 - along**2, 1e-4))
    place = first[:2] + (along * line + across * np.array([-line[1], line[0]])) / length
    return float(place[0]), float(place[1]), float(first[2])
