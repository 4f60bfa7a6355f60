"""The quick part of an answer: what can be said before forces and clearances are worked out.

The places of the anchors, the wires, how the side wires change, the start angle, setbacks.  The
rest stays as it was in the last answer until the full one is there, and is shown as old.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

from visual.app.answer import Answer, Json
from visual.checks import Finding
from visual.checks.on_the_way import judge_side_wires, judge_start
from visual.checks.place import judge_anchors, judge_rotor_height, judge_wire_angles
from visual.checks.results import without_nan
from visual.checks.setback import find_setbacks, judge_setbacks
from visual.model import Model, installed_wires
from visual.raising import Raise, analyse_raise
from visual.site import DataState

FRESH = (
    "start_angle",
    "travel",
    "side_tight",
    "side_slack",
    "wire_flat",
    "wire_steep",
    "wire_total",
    *(
        f"{side}_{what}"
        for side in ("front", "right", "back", "left")
        for what in ("distance", "height")
    ),
)
"""Key numbers that a sketch knows."""


@dataclass(frozen=True)
class Sketch:
    """The quick part of an answer.

    Parameters
    ----------
    version : int
        The version of the text it was worked out from.
    model : Model
        The mast on its site.
    raised : Raise
        The geometry of the raise.
    results : dict
        The results document less its findings; where it is not known yet as in the last answer.
    findings : tuple of Finding
        What was found, and the last answer's findings of every other check.
    checks : frozenset of str
        The checks whose findings are new.
    data : tuple
        How the data files stood before the model was built.
    """

    version: int
    model: Model = field(repr=False)
    raised: Raise = field(repr=False)
    results: Json = field(repr=False)
    findings: tuple[Finding, ...] = field(repr=False)
    checks: frozenset[str]
    data: DataState

    @property
    def numbers(self) -> tuple[str, ...]:
        """The key numbers that are new."""
        return FRESH


def sketch(
    model: Model, last: Answer, *, version: int, data: DataState, raised: Raise | None = None
) -> Sketch:
    """Work out the quick part of an answer and lay it over the last one."""
    raised = analyse_raise(model) if raised is None else raised
    new = tuple(_findings(model, raised))
    checks = frozenset(finding.check for finding in new)
    old = tuple(one for one in last.report.findings if one.check not in checks)
    results = _results(model, raised, last.results)
    return Sketch(version, model, raised, results, (*new, *old), checks, data)


def _results(model: Model, raised: Raise, last: Json) -> Json:
    """Return what key numbers are taken from; the rest of it is the last."""
    known: Json = without_nan(
        {
            "anchors": [
                {
                    "name": side,
                    "horizontal_distance": anchor.radius,
                    "height_difference": float(anchor.eye[2]),
                }
                for side, anchor in model.anchors.items()
            ],
            "wires": [
                {"angle_at_anchor": math.degrees(wire.angle), "cut_length": wire.cut_length}
                for wire in installed_wires(model)
            ],
            "side_wires": [
                {"tightest": {"change": wire.tightest[1]}, "slackest": {"change": wire.slackest[1]}}
                for wire in raised.side_wires
            ],
            "raising": last["raising"]
            | {
                "start_angle": math.degrees(raised.start.angle),
                "vehicle_travel": float(raised.tow.travel[-1]),
            },
        }
    )
    return {name: value for name, value in last.items() if name != "findings"} | known


def _findings(model: Model, raised: Raise) -> Iterator[Finding]:
    yield from judge_start(model, raised)
    yield from judge_setbacks(model, find_setbacks(model))
    yield from judge_wire_angles(model)
    yield from judge_side_wires(model, raised)
    yield from judge_anchors(model)
    yield from judge_rotor_height(model)
