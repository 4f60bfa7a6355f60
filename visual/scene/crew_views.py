"""The two pictures for the crew: where the anchors go, and which wire is which."""

import math
from dataclasses import replace

import numpy as np

from visual.checks import Report
from visual.crew.stake import stake_out
from visual.crew.wire_schedule import wire_schedule
from visual.model import Model
from visual.scene.camera import ASPECT, View, fit_orthographic, fit_perspective, project
from visual.scene.layers import AnyLayer, Points
from visual.scene.sight import Screens, screens_of
from visual.scene.stake_layers import STAKED, stake_layers
from visual.scene.terrain import Terrain
from visual.scene.wire_numbers import NUMBERED, number_layers

_UP = np.array([0.0, 0.0, 1.0])
_NOT_FOR_THE_CREW = frozenset(
    {"zones", "ghosts", "clearance", "hoops", "viewpoints", "anchor_names", "mast_names"}
)
_FOR_WORDS = 1.28  # room for words outside the anchors, times their distance from the base
_FAINT = 0.5
_HEIGHTS = np.radians([10.0, 15.0, 20.0])
_BEARINGS = np.radians(np.arange(0.0, 360.0, 7.5))


def heights_known(model: Model) -> bool:
    """Return whether every anchor has a height, so that there is something to measure off."""
    return all(anchor.placed for anchor in model.anchors.values())


def crew_layers(report: Report) -> list[AnyLayer]:
    """Return what the pictures for the crew alone show."""
    model = report.model
    if not heights_known(model):
        return []
    stake = stake_out(model, report.raised.start)
    return [*stake_layers(model, stake), *number_layers(model, wire_schedule(model))]


def stakeout(report: Report) -> View:
    """Return the plan of base, hinge line and anchors with every tape, north up."""
    view = View(
        name="stakeout",
        title="Stake-out",
        projection="orthographic",
        eye=100 * _UP,
        target=np.zeros(3),
        up=np.array([0.0, 1.0, 0.0]),
        hidden=_NOT_FOR_THE_CREW | {"mast", "line_names", "area_names"},
        only=frozenset({STAKED}),
        on_top=(STAKED, "rig"),
        wash=_FAINT,
    )
    eyes = np.array([anchor.eye for anchor in report.model.anchors.values()])
    spread = np.concatenate([eyes * [_FOR_WORDS, _FOR_WORDS, 1.0], [[0.0, 0.0, 0.0]]])
    return fit_orthographic(view, spread, margin=0.04)


def wires(report: Report, terrain: Terrain) -> View:
    """Return the upright mast with numbered wires, from where the wires lie farthest apart."""
    model = report.model
    view = View(
        name="wires",
        title="Wires",
        projection="perspective",
        eye=100 * _UP,
        target=np.zeros(3),
        up=_UP,
        field_of_view=math.radians(20.0),
        hidden=_NOT_FOR_THE_CREW | {"surroundings", "line_names", "area_names"},
        only=frozenset({NUMBERED}),
        on_top=("rig", "mast"),
        wash=0.7,
    )
    eyes = np.array([anchor.eye for anchor in model.anchors.values()])
    top = (model.rig.mast.reach + 0.4) * _UP
    subject = np.concatenate([eyes, [top, [0.0, 0.0, model.base_ground]]])
    screens = screens_of(report, terrain, within=0.0)
    tried = [_from(view, subject, b, h) for h in _HEIGHTS for b in _BEARINGS]
    return max(tried, key=lambda one: _apart(one, eyes) - _buried(one, eyes, screens))


def _from(view: View, subject: Points, bearing: float, height: float) -> View:
    back = np.array(
        [
            math.sin(bearing) * math.cos(height),
            math.cos(bearing) * math.cos(height),
            math.sin(height),
        ]
    )
    aimed = replace(view, eye=100 * back)
    return fit_perspective(aimed, subject, aspect=ASPECT, margin=0.06)


def _apart(view: View, eyes: Points) -> float:
    """Return the narrowest gap sideways between anchors, and base, in heights of the picture."""
    points = np.concatenate([eyes, [[0.0, 0.0, 0.0]]])
    pixels, _ = project(view, points, width=round(1000 * ASPECT), height=1000)
    return float(np.diff(np.sort(pixels[:, 0])).min()) / 1000


def _buried(view: View, eyes: Points, screens: Screens) -> float:
    """Return how many anchors cannot be seen."""
    hidden = screens.hidden(np.asarray(view.eye), eyes + 0.3 * _UP)
    return float(np.sum(hidden))
