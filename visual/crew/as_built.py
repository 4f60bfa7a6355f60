"""As built: where the anchors really are, from the readings of the crew."""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from visual.crew.adjustment import UNCHECKED, Adjustment, Suspect, adjust, find_suspects
from visual.crew.mirror import NAME_TELLS, WORSE, Mirror, find_mirrors
from visual.crew.network import SHIFT, TURN, Equation
from visual.crew.readings import Reading
from visual.crew.survey_start import make_network, starting_point
from visual.errors import InputError, Problem
from visual.model import Model, PlacedAnchor, Vector
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
    def trustworthy(self) -> bool:
        """True if nothing speaks against writing the positions down."""
        doubts = (self.suspects, self.open_mirrors, self.misplaced)
        return self.fits and not any(doubts)


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
    _check_settled(first, file)
    # the plan may lie nearer to a mirror image than to the layout
    first = _best_of(model, first)
    best, suspects = find_suspects(first)
    _check_settled(best, file)
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


def _check_settled(found: Adjustment, file: str) -> None:
    """Make sure that every point is settled, and ask for what is missing."""
    if not len(found.loose):
        return
    problems = list(_open_points(found, file))
    if not problems:
        rule = "the readings leave the layout free to turn about the base"
        way_out = "add a compass or grid bearing from the hinge to an anchor, or GPS readings"
        problems = [Problem(file, "", None, rule, way_out)]
    raise InputError(problems)


def _open_points(found: Adjustment, file: str) -> Iterator[Problem]:
    size = 3 * len(found.network.points)
    sizes = np.sqrt((found.loose[:, :size] ** 2).sum(axis=0)).reshape(-1, 3)
    plan = sizes[:, :2].max(axis=1) > 1e-3
    turns = plan.all() and len(found.loose) == 1 and len(plan) > 1
    for point, (x, y, z), loose in zip(found.network.points, sizes, plan, strict=True):
        if loose and not turns:
            rule = "the readings do not settle where this point is in plan"
            way_out = f"add a tape, a bearing or a GPS reading to {point}"
            yield Problem(file, "point", point, rule, way_out)
        elif z > 1e-3 and max(x, y) <= 1e-3:
            rule = "the readings do not settle the height of this point"
            way_out = f"add a level or clinometer reading to {point}"
            yield Problem(file, "point", point, rule, way_out)


def missing_anchors(survey: AsBuilt) -> tuple[Side, ...]:
    """Return the anchors of which nothing was read."""
    measured = [anchor.side for anchor in survey.anchors]
    return tuple(side for side in SIDES if side not in measured)
