"""Whether truck, lines, pole, mast and anchors can do what the raise asks of them.

Each part is held at its worst step of both raises, with the head and without.  A force that is not
known makes a finding "not checked", never "ok"; so does a part whose strength the site file does
not state.
"""

import math
from collections.abc import Callable

from visual.checks.finding import Finding, Status
from visual.checks.judge import not_checked
from visual.raising import RaiseForces, RaiseRun
from visual.raising.forces_run import Peak
from visual.raising.motion import Array
from visual.units import Sentence, say

NEAR_SHARE = 0.1  # of a limit: closer than that deserves a second look; common practice, no source

FOUND_NONE = say(
    "the forces of the raise are not known: see the findings on tow lane and tow lever"
)


def worst(forces: RaiseForces, values: Callable[[RaiseRun], Array]) -> tuple[RaiseRun, Peak]:
    """Return the run and step where something is largest; an unknown step comes first.

    Parameters
    ----------
    forces : RaiseForces
        The forces.
    values : callable
        Returns one value a step.
    """
    peaks = [(run, run.peak(values(run))) for run in forces.runs]
    return max(peaks, key=lambda pair: math.inf if math.isnan(pair[1].value) else pair[1].value)


def status_of_load(value: float, limit: float) -> Status:
    """Return stop beyond the limit, caution within a tenth of it, else ok."""
    if value > limit:
        return "stop"
    return "caution" if value > limit * (1 - NEAR_SHARE) else "ok"


def load_finding(
    check: str,
    subject: str,
    *,
    value: float,
    limit: float,
    unit: str,
    angle: float | None,
    message: Sentence,
    basis: str,
) -> Finding:
    """Return a finding that holds a load against the most that may be.

    Parameters
    ----------
    check, subject, message, basis, unit : str or Sentence
        As in `Finding`.
    value, limit : float
        Load and limit, in `unit`; an infinite load has no value and stops, an unknown one is not
        checked.
    angle : float or None
        Raising angle. [rad]
    """
    if math.isnan(value) or math.isnan(limit):
        return unknown(subject)
    known = math.isfinite(value)
    return Finding(
        check=check,
        subject=subject,
        status=status_of_load(value, limit) if known else "stop",
        value=value if known else None,
        limit=limit,
        bound="at most",
        unit=unit,
        margin=limit - value if known else None,
        angle=None if angle is None else math.degrees(angle),
        message=message,
        basis=basis,
    )


def unknown(subject: str) -> Finding:
    """Return the finding that a part could not be judged because its force is not known."""
    return not_checked("loads", subject, FOUND_NONE)


def which_raise(run: RaiseRun, forces: RaiseForces) -> str:
    """Return words for the raise a step belongs to; empty where there is only one."""
    if len(forces.runs) == 1:
        return ""
    return " with the head" if run.with_head else " on the first raise, without the head"
