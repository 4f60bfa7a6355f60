"""The crew's numbers as plain JSON values: SI units, degrees, unrounded."""

import math
from typing import Any

from visual.checks import Report
from visual.crew.as_built_record import AsBuilt, JudgedReading, MeasuredAnchor
from visual.crew.level import LevelHints, SideLevel, level_hints
from visual.crew.plumb import Plumb
from visual.crew.stake import StakedAnchor, StakeOut, stake_out
from visual.crew.wire_schedule import WireRow, WireSchedule, wire_schedule
from visual.errors import HeightUnknownError
from visual.model import Model, wire_name

Json = dict[str, Any]


def crew_results(report: Report) -> Json:
    """Return what the crew adds to the results document.

    All three are None where an anchor has no height: then there is nothing to measure off.
    """
    model, start = report.model, report.raised.start
    try:
        return {
            "wire_schedule": _schedule(wire_schedule(model)),
            "stake_out": _stake_out(stake_out(model, start)),
            "level_hints": _hints(level_hints(model, start)),
        }
    except HeightUnknownError:
        return dict.fromkeys(("wire_schedule", "stake_out", "level_hints"))


def as_built_results(model: Model, survey: AsBuilt) -> Json:
    """Return a survey of the anchors; `model` is the one with the anchors where they are."""
    return {
        "as_built": {
            "anchors": [_measured(model, anchor) for anchor in survey.anchors],
            "readings": [_judged(reading) for reading in survey.readings],
            "suspects": [
                {
                    "reading": suspect.reading.name,
                    "standardised": suspect.standardised,
                    "slip": _si_or_degrees(suspect.slip, suspect.reading.is_angle),
                    "or_else": [other.name for other in suspect.or_else],
                }
                for suspect in survey.suspects
            ],
            "mirrors": [
                {
                    "points": mirror.points,
                    "line": mirror.line,
                    "told_by_names": mirror.told_by_names,
                    "question": mirror.question,
                }
                for mirror in survey.mirrors
            ],
            "scatter": survey.scatter,
            "freedom": survey.freedom,
            "trustworthy": survey.trustworthy,
            "compass_turn": _degrees(survey.turn),
            "gps_shift": survey.shift,
        }
    }


def plumb_results(found: Plumb) -> Json:
    """Return a plumb correction."""
    return {
        "plumb": {
            "top_to_front": found.top_to_front,
            "top_to_right": found.top_to_right,
            "lean": found.lean_size,
            "is_plumb": found.is_plumb,
            "agree": found.agree,
            "wires": [
                {
                    "name": wire.name,
                    "tension": wire.tension,
                    "read": wire.read,
                    "wanted": wire.wanted,
                    "change": wire.change,
                    "turns": wire.turns,
                    "tension_after": found.after.tensions[wire.key],
                }
                for wire in found.wires
            ],
            "rounds": {
                "count": found.rounds.count,
                "order": [
                    {"name": _name(found, key), "change": change}
                    for key, change in found.rounds.steps
                ],
                "lowest": found.rounds.lowest,
                "highest": found.rounds.highest,
            },
            "top_after": found.top_after,
        }
    }


def _name(found: Plumb, key: object) -> str:
    return next(wire.name for wire in found.wires if wire.key == key)


def _schedule(schedule: WireSchedule) -> Json:
    return {
        "provisional": schedule.provisional,
        "wires": [_wire(row) for row in schedule.rows],
        "totals": [
            {"wire": total.kind, "pieces": total.count, "length": total.length}
            for total in schedule.totals
        ],
    }


def _wire(row: WireRow) -> Json:
    over = row.change_over
    return {
        "name": row.wire.name,
        "wire": row.kind,
        "standing": row.standing,
        "tape": {
            "lower_thimble": row.marks.lower_thimble,
            "earliest": row.marks.earliest,
            "latest": row.marks.latest,
            "cut": row.marks.cut,
            "gin_tip": row.marks.tip,
        },
        "piece": row.piece,
        "balanced_tension": row.balanced_tension,
        "gauge": {"lowest": row.gauge[0], "highest": row.gauge[1]},
        "half_travel": row.half_travel,
        "take_up": row.take_up,
        "length_at_tip": over.at_tip if over else None,
    }


def _stake_out(stake: StakeOut) -> Json:
    return {
        "base": dict(zip(("easting", "northing", "height"), stake.base, strict=True)),
        "anchors": [_staked(anchor) for anchor in stake.anchors],
        "tapes": [
            {
                "from": tape.start,
                "to": tape.end,
                "opposite": tape.opposite,
                "straight": tape.straight,
                "horizontal": tape.horizontal,
            }
            for tape in stake.tapes
        ],
    }


def _staked(anchor: StakedAnchor) -> Json:
    return {
        "name": anchor.side,
        "bearing_magnetic": _degrees(anchor.bearing_magnetic),
        "bearing_true": _degrees(anchor.bearing_true),
        "bearing_grid": _degrees(anchor.bearing_grid),
        "horizontal": anchor.horizontal,
        "straight": anchor.straight,
        "along_ground": anchor.along_ground,
        "rise": anchor.rise,
        "vertical_angle": _degrees(anchor.vertical_angle),
        "eye_above_peg": anchor.eye_above_peg,
        "eye_above_hinge": anchor.eye_above_hinge,
        "longitude": anchor.longitude,
        "latitude": anchor.latitude,
        "sensitivities": [
            {
                "error": effect.error,
                "side_wire": effect.side_wire,
                "wire_length": effect.wire_length,
            }
            for effect in anchor.sensitivities
        ],
    }


def _hints(hints: LevelHints) -> Json:
    front = hints.front
    return {
        "sides": [_side(side) for side in hints.sides],
        "front": None
        if front is None
        else {
            "nearest": _degrees(front.nearest),
            "fitting": [{"first": _degrees(a), "last": _degrees(b)} for a, b in front.fitting],
            "best": _degrees(front.best),
            "best_margin": front.best_margin,
        },
    }


def _side(side: SideLevel) -> Json:
    return {
        "name": side.side,
        "height": side.height,
        "forward": side.forward,
        "tightest": side.tightest,
        "slackest": side.slackest,
        "fits": side.fits,
        "moves": [
            {
                "way": move.way,
                "amount": move.amount,
                "place": move.place,
                "tightest": move.tightest,
                "slackest": move.slackest,
                "angles_kept": move.angles_kept,
            }
            for move in side.moves
        ],
    }


def _measured(model: Model, anchor: MeasuredAnchor) -> Json:
    x, y, z = (float(value) for value in anchor.eye)
    easting, northing = model.frame.to_grid(x, y)
    outwards, sideways, up = (float(sigma) for sigma in anchor.sigmas)
    return {
        "name": anchor.side,
        "x": x,
        "y": y,
        "z": z,
        "easting": float(easting),
        "northing": float(northing),
        "height": float(model.frame.height(z)),
        "pm_outwards": outwards,
        "pm_sideways": sideways,
        "pm_up": up,
        "accuracy": anchor.accuracy,
        "height_from_ground": anchor.from_ground,
        "wires": [
            wire_name(model, anchor.side, level) for level in range(len(model.rig.mast.collars))
        ],
    }


def _judged(judged: JudgedReading) -> Json:
    angle = judged.equation.reading.is_angle
    return {
        "reading": judged.equation.name,
        "value": _si_or_degrees(judged.equation.value, angle),
        "residual": _si_or_degrees(judged.residual, angle),
        "standardised": judged.standardised if judged.checked else None,
        "redundancy": judged.redundancy,
        "left_out": judged.left_out,
    }


def _degrees(angle: float | None) -> float | None:
    return None if angle is None else math.degrees(angle)


def _si_or_degrees(value: float, angle: bool) -> float:
    return math.degrees(value) if angle else value
