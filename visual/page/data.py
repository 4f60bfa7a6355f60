"""Everything that the viewer shows of one judged model, as one plain object."""

import functools
import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from typing import Any

import numpy as np

from visual import __version__
from visual.checks import Report
from visual.checks.results import without_nan
from visual.page.approach_data import approaches_data
from visual.page.around import GROUPS, for_the_page, ground_data
from visual.page.both_units import around_data, other_caption, other_units, setback_texts
from visual.page.brief import brief_data
from visual.page.facts import facts_data, points_data
from visual.page.finding_data import findings_data, verdict_data
from visual.page.force_data import forces_data
from visual.page.layer_data import layers_data, role_data
from visual.page.moving import anchor_layers, rig_data
from visual.page.nearby import find_nearby, nearby_data
from visual.page.packing import Json, Numbers
from visual.page.paper_data import paper_data
from visual.page.pull_chart import chart_data
from visual.page.sunlight import sun_data
from visual.page.thinning import thinned
from visual.page.view_data import views_data
from visual.scene.build import SceneMaker
from visual.scene.layers import AnyLayer, Caption, MeshLayer
from visual.scene.style import ROLES

FORMAT = 1

CAUTIONS = (
    "Keep everybody out of the fall zone during a raise.",
    "Treat every overhead line as live, and ask its owner before working near it.",
    "Light wind only. Rated rigging only.",
    "Never stand under or in line with a loaded rope.",
    "Raise first without the head. Move one front wire at a time.",
    "Anchors, foundations and the strength of the mast are for a licensed engineer; local code "
    "and the makers' instructions win.",
)

_WITH_THE_GROUND = ("ground", "contours", "land", "buildings", "lines", "clearance", "viewpoints")
"""Groups that stay as they are when only the mast or its anchors change."""


@dataclass(frozen=True, eq=False)
class PageMaker:
    """Makes the data of one report.

    Parameters
    ----------
    report : Report
        The judged model.
    step : float
        Distance of the raising angles of its tables, at least. [rad]
    """

    report: Report
    step: float = math.radians(0.5)

    @cached_property
    def maker(self) -> SceneMaker:
        """What makes the layers."""
        return SceneMaker(self.report)

    @cached_property
    def angles(self) -> Numbers:
        """Raising angles of the tables: steps of both raises, first and last among them. [rad]"""
        every = functools.reduce(np.union1d, [run.angles for run in self.report.forces.runs])
        stride = max(1, round(self.step / math.radians(0.5)))
        return np.concatenate([every[:1], every[1:][::-1][::stride][::-1]])

    def data(self) -> Json:
        """Return the whole object: plain values, no NaN."""
        report = self.report
        around, own = self._fixed()
        near = find_nearby(report)
        data: Json = {
            "format": FORMAT,
            "site": site_data(
                self.maker.caption,
                other_caption(report.model, self.maker.terrain),
                program=f"Hillmast {__version__}",
            ),
            "verdict": verdict_data(report),
            "roles": role_data(ROLES),
            "groups": [{"key": key, "word": word} for key, word in GROUPS.items()],
            "around": {
                "offset": [0.0, 0.0, 0.0],
                "ground": ground_data(self.maker.terrain, ground_of(self.maker.fixed)),
                "layers": around_data(report.model, self.maker.terrain, around),
            },
            "layers": layers_data(own, setback_texts(report, own)),
            "rig": rig_data(
                report.model, report.raised, other=other_units(report.model), angles=self.angles
            ),
            "chart": chart_data(report, self.angles),
            "forces": forces_data(report, self.angles),
            "findings": findings_data(report),
            "brief": brief_data(report),
            "paper": paper_data(report),
            "approaches": approaches_data(report),
            "nearby": nearby_data(near),
            "views": views_data(report, self.maker.terrain, near),
            "facts": facts_data(report, self.angles),
            "points": points_data(report.model, near),
            "sun": sun_data(report.model),
        }
        return plain(data)

    def _fixed(self) -> tuple[list[AnyLayer], list[AnyLayer]]:
        layers = [thinned(layer) for layer in for_the_page(self.maker.fixed)]
        around = [layer for layer in layers if layer.group in _WITH_THE_GROUND]
        own = [layer for layer in layers if layer.group not in _WITH_THE_GROUND]
        anchors = for_the_page(anchor_layers(self.report.model, self.report.raised))
        return around, [*own, *anchors]


def site_data(caption: Caption, other: Caption, *, program: str) -> Json:
    """Return what is written around the scene.

    Parameters
    ----------
    caption, other : Caption
        What is written around every picture, in the units of the site and in the other ones.
    program : str
        Name of the program.
    """
    return {
        "name": caption.site,
        "date": caption.date,
        "standing": caption.standing,
        "notes": list(caption.notes),
        "other": {"standing": other.standing, "notes": list(other.notes)},
        "units": caption.units,
        "cautions": list(CAUTIONS),
        "program": program,
    }


def ground_of(layers: Iterable[AnyLayer]) -> MeshLayer:
    """Return the ground among the layers of a scene."""
    ground = next(layer for layer in layers if layer.role == "ground")
    assert isinstance(ground, MeshLayer)
    return ground


def plain(data: Json) -> Json:
    """Return plain JSON values, with None where a number does not exist."""
    cleaned: Any = without_nan(data)
    found: Json = cleaned
    return found
