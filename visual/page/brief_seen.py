"""What will be seen of the mast, from the places somebody looks from."""

import math
from collections.abc import Iterator

from visual.checks import Report
from visual.model import PlacedViewpoint
from visual.page.answering import answer
from visual.page.packing import Json
from visual.page.reader_sizes import at_least, same, say
from visual.units import LENGTH_UNITS

ARM = 0.6
"""From the eye to a hand held out, to compare a far thing with a ruler. [m] Own choice."""

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
        away = math.hypot(*one.eye[:2])
        if away > 0:
            yield say(
                "From {name}, {away} away, the mast looks as high as {high} on a ruler held out at "
                "arm's length, where nothing hides it.",
                name=one.name,
                away=at_least(away),
                high=_on_a_ruler(ARM * report.model.rig.mast.total_height / away),
            )


def _on_a_ruler(metres: float) -> Json:
    inches = metres / LENGTH_UNITS["in"]
    return {
        "metric": f"{100 * metres:.0f} cm" if metres >= 0.015 else f"{1000 * metres:.0f} mm",
        "imperial": f"{inches:.1f} in",
    }
