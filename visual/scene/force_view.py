"""The side view with the forces as arrows, and nothing that is not needed for them."""

import numpy as np

from visual.checks import Report
from visual.scene.camera import View, fit_orthographic
from visual.scene.framing import emptier_side, swept, vehicle_places
from visual.scene.section import BARE_CUT

FORCES = "only:forces"
"""Group of the arrows."""

LONGEST = 0.4  # of the total height: the longest arrow of a raise
_SHOWN = ("rig", "mast", FORCES)
_HIDDEN = frozenset(
    # what stands on the map, and what would stand in the way of the arrows; the marks of anchors
    # and base cover the force at the hinge
    {"zones", "contours", "areas", "area_names", "viewpoints", "clearance", "hoops", "ghosts"}
    | {"surroundings", "mast_names", "anchors", "anchor_names", "line_names"}
)


def forces(report: Report) -> View:
    """Return the side view for the forces; it is the same at all angles, and so is their scale."""
    model = report.model
    side, up = emptier_side(model), model.upward
    view = View(
        name="forces",
        title="Forces, side view",
        projection="orthographic",
        eye=100 * side,
        target=np.zeros(3),
        up=up,
        panel="bottom",
        hidden=_HIDDEN,
        only=frozenset({BARE_CUT, FORCES}),
        on_top=(BARE_CUT, *_SHOWN),
        wash=0.4,
        clip=(np.zeros(3), -side),
    )
    spare = LONGEST * model.rig.mast.total_height
    # room for an arrow beyond the gin-pole tip, and for most of one below the hinge
    ends = (1 + spare / model.rig.gin_pole.length) * report.raised.tow.tips
    low = [(model.base_ground - 0.6 * spare) * up]
    points = np.concatenate([swept(report), vehicle_places(report), ends, low])
    return fit_orthographic(view, points, margin=0.03)
