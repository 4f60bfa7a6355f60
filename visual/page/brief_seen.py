"""What will be seen of the mast, from the places somebody looks from."""

import math
from collections.abc import Iterator

import numpy as np

from visual.checks import Report
from visual.model import PlacedViewpoint
from visual.page.answering import answer
from visual.page.packing import Json
from visual.page.reader_sizes import at_least, same, say

ARM = 0.6
"""From the eye to a hand held out, to compare a far thing with a ruler. [m] Own choice."""

_INCH = 0.0254
_NONE = "No window or gate is marked in this file; turn the scene to look from yours."


def what_is_seen(report: Report) -> Json:
    """Say how large it looks from each viewpoint; the pictures show whether anything hides it."""
    question = "What will I see?"
    viewpoints = report.model.surroundings.viewpoints
    if not viewpoints:
        return answer("see", question, lead=same(_NONE))
    lead = same("Choose a place, at the height of a person's eye.")
    return answer("see", question, lead=lead, more=list(_sizes(report, viewpoints)))


def _sizes(report: Report, viewpoints: tuple[PlacedViewpoint, ...]) -> Iterator[Json]:
    for one in viewpoints:
        high = at_arms_length(report, one)
        if math.isfinite(high):
            yield say(
                "From {name}, {away} away, the mast looks as high as {high} on a ruler held out at "
                "arm's length, where nothing hides it.",
                name=one.name,
                away=at_least(math.hypot(one.eye[0], one.eye[1])),
                high=_on_a_ruler(high),
            )


def at_arms_length(report: Report, viewpoint: PlacedViewpoint) -> float:
    """Return how high the mast looks on an upright ruler at arm's length; NaN if not known. [m]"""
    model = report.model
    away = float(np.hypot(*viewpoint.eye[:2]))
    if not (math.isfinite(model.base_ground) and np.isfinite(viewpoint.eye).all() and away > 0):
        return math.nan
    return ARM * model.rig.mast.total_height / away


def _on_a_ruler(metres: float) -> Json:
    return {
        "metric": f"{100 * metres:.0f} cm" if metres >= 0.015 else f"{1000 * metres:.0f} mm",
        "imperial": f"{metres / _INCH:.1f} in",
    }
