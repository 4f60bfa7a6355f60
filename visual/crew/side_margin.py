"""How far inside the side-wire limits an anchor is."""

import math

import numpy as np

from visual.checks.on_the_way import tight_limit
from visual.model import Model, Vector
from visual.raising.wires import wire_change
from visual.rig import Side

SWUNG_SIDES: tuple[Side, ...] = ("left", "right")
"""The sides whose wires hold the mast upright sideways all the way up."""


def side_margin(model: Model, side: Side, angles: Vector) -> float:
    """Return how far inside the side-wire limits an anchor is; negative: outside. [m]

    The least over its levels, of both limits; minus infinity where the ground is unknown.
    """
    margins = []
    for level in range(len(model.rig.mast.collars)):
        change = wire_change(model, side, level, angles)
        margins.append(tight_limit(model, change)[0] - change.tightest[1])
        margins.append(model.site.limits.side_wire_slack.value + change.slackest[1])
    least = float(np.min(margins))
    return -math.inf if math.isnan(least) else least
