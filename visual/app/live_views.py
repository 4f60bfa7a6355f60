"""The named views of the live view: those of the page that cost nothing to find."""

import math

import numpy as np

from visual.checks import Report
from visual.scene.camera import ASPECT, View, fit_perspective
from visual.scene.framing import whole_site
from visual.scene.near import wide_plan
from visual.scene.views import Shot, forces_shots, from_viewpoint, front, raising


def live_shots(report: Report) -> list[Shot]:
    """Return the views: those that cost nothing to find, and an overview from in front."""
    seen = [
        Shot(from_viewpoint(report.model, one), None)
        for one in report.model.surroundings.viewpoints
        if np.isfinite(one.eye).all()
    ]
    lying = max(math.radians(30.0), report.raised.first_angle)
    return [
        Shot(_overview(report), None),
        Shot(wide_plan(report), None),
        Shot(raising(report), lying),
        *forces_shots(report),
        Shot(front(report), None),
        *seen,
    ]


def _overview(report: Report) -> View:
    model = report.model
    towards = 0.75 * model.rightward + 0.66 * model.forward + 0.42 * model.upward
    view = View(
        name="overview",
        title="Overview",
        projection="perspective",
        eye=100.0 * towards,
        target=np.zeros(3),
        up=np.array([0.0, 0.0, 1.0]),
        field_of_view=math.radians(28.0),
    )
    return fit_perspective(view, whole_site(report), aspect=ASPECT, margin=0.08)
