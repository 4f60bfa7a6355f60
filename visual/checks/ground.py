"""Checks of the ground data themselves."""

import math

from visual.checks.finding import Finding
from visual.model import Model
from visual.units import metres, say

SIGMAS = 3.0  # a gap beyond three standard deviations is hardly chance


def judge_ground(model: Model) -> list[Finding]:
    """Return a finding on how well survey and DEM agree along the rim of the survey."""
    ground = model.ground
    gap = ground.survey_dem_gap
    if gap is None:
        return []
    limit = SIGMAS * math.hypot(ground.accuracy, ground.survey_accuracy)
    return [
        Finding(
            check="ground",
            subject="survey against DEM",
            status="ok" if gap <= limit else "caution",
            value=gap,
            limit=limit,
            bound="at most",
            unit="m",
            margin=limit - gap,
            message=say(
                "differ by up to {} along the rim of the survey: check height datum and units of "
                "both",
                metres(gap),
            ),
            basis="three standard deviations of the stated accuracies",
        )
    ]
