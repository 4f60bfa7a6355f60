"""As built: where the anchors really are, from the readings of the crew."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from visual.crew.adjustment import Adjustment, Suspect, adjust, find_suspects
from visual.crew.as_built_record import AsBuilt, JudgedReading, MeasuredAnchor
from visual.crew.mirror import WORSE, find_mirrors
from visual.crew.network import SHIFT, TURN
from visual.crew.readings import Reading
from visual.crew.settled import check_settled
from visual.crew.survey_start import make_network, starting_point
from visual.model import Model, PlacedAnchor, Vector
from visual.rig import SIDES


def as_built(model: Model, readings: Sequence[Reading], *, file: str) -> AsBuilt:
    """Return where the anchors are.

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
        If the readings leave an anchor, or the direction of north, open.
    """
    network = make_network(model, readings, file=file)
    first = adjust(network, starting_point(model, network, file=file))
    check_settled(first, file)
    # the plan may lie nearer to a mirror image than to the layout
    first = _best_of(model, first)
    best, suspects = find_suspects(first)
    check_settled(best, file)
    mirrors = find_mirrors(model, best)
    scale = max(best.scatter, 1.0) ** 2 if not best.fits else 1.0
    turn = shift = None
    if TURN in network.extras:
        turn = float(best.unknowns[network.extra_index(TURN)])
    if SHIFT in network.extras:
        index = network.extra_index(SHIFT)
        shift = best.unknowns[index : index + 3]
    return AsBuilt(
        anchors=tuple(_anchors(model, best, scale)),
        readings=tuple(_judged(first, best, suspects)),
        suspects=suspects,
        mirrors=mirrors,
        scatter=best.scatter,
        freedom=best.freedom,
        fits=best.fits,
        turn=turn,
        shift=shift,
    )


def _best_of(model: Model, found: Adjustment) -> Adjustment:
    """Return the mirror image that fits clearly better, or what was found."""
    mirrors = find_mirrors(model, found)
    better = min(mirrors, key=lambda mirror: mirror.chi_squared, default=None)
    if better is None or better.chi_squared >= found.chi_squared - WORSE:
        return found
    return adjust(found.network, better.unknowns)


def as_built_model(model: Model, survey: AsBuilt) -> Model:
    """Return the model with the anchors where they were measured."""
    plans, anchors = dict(model.rig.anchors), dict(model.anchors)
    for measured in survey.anchors:
        x, y, z = (float(value) for value in measured.eye)
        easting, northing = model.frame.to_grid(x, y)
        plans[measured.side] = replace(
            plans[measured.side],
            built_at=(float(easting), float(northing)),
            built_height=None if measured.from_ground else float(model.frame.height(z)),
            built_accuracy=measured.accuracy,
        )
        anchors[measured.side] = PlacedAnchor(
            side=measured.side,
            eye=np.array([x, y, z]),
            ground_height=model.ground.height(x, y),
            capacity=anchors[measured.side].capacity,
            as_built=True,
        )
    provisional = not all(anchor.as_built for anchor in anchors.values())
    rig = replace(model.rig, anchors=plans)
    return replace(model, rig=rig, anchors=anchors, provisional=provisional)


def _anchors(model: Model, best: Adjustment, scale: float) -> Iterator[MeasuredAnchor]:
    for side in SIDES:
        if side not in best.network.points:
            continue
        index = 3 * best.network.points.index(side)
        part = slice(index, index + 3)
        eye, covariance = best.unknowns[part].copy(), scale * best.covariance[part, part]
        yield MeasuredAnchor(
            side=side,
            eye=eye,
            covariance=covariance,
            planned=np.array(model.anchors[side].eye),
            from_ground=side in best.network.ground,
            accuracy=_along_wires(model, eye, covariance),
        )


def _along_wires(model: Model, eye: Vector, covariance: NDArray[np.float64]) -> float:
    """Return one standard deviation of the distance from an eye to its worst collar. [m]"""
    variances = []
    for collar in model.rig.mast.collars:
        along = collar.height * model.upward - eye
        along = along / np.linalg.norm(along)
        variances.append(float(along @ covariance @ along))
    return math.sqrt(max(variances))


def _judged(
    first: Adjustment, best: Adjustment, suspects: Sequence[Suspect]
) -> Iterator[JudgedReading]:
    """Yield every equation against the best layout, those left out too."""
    left_out = [suspect.reading for suspect in suspects]
    used = {e: k for k, e in enumerate(best.network.equations)}
    misfit = first.network.misfit(best.unknowns)[0]
    for row, equation in enumerate(first.network.equations):
        if equation.reading.kind == "declination":
            continue
        place = used.get(equation)
        slip = next((s for s in suspects if s.reading == equation.reading), None)
        standardised = -slip.standardised if slip else 0.0
        yield JudgedReading(
            equation=equation,
            residual=float(misfit[row] * equation.sigma),
            standardised=standardised if place is None else float(best.standardised[place]),
            redundancy=float(first.redundancy[row] if place is None else best.redundancy[place]),
            left_out=equation.reading in left_out,
        )
