"""The scene of the live view: made in parts, so that an edit need not wait for what is slow.

What stays as it is when only mast and anchors change, ground and surroundings, is made once in
the frame of the first base, its home, and sent once.  When the base moves the local frame moves
with it, and the old ground is only told its new place, as long as the base stays near.  What
depends on the design is made in two goes: the rig at once, zones and setbacks when no edit waits.
The very first scene has ground and rig alone; what stands around comes next.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace

import numpy as np

from visual.app.answer import Answer, Json
from visual.app.home import Home, bare_home, with_surroundings
from visual.app.live_views import live_shots
from visual.app.sketch import Sketch
from visual.checks import Report
from visual.frame import Frame
from visual.model import Kept, Model, Same, level_line
from visual.page.approach_data import approaches_data
from visual.page.around import GROUPS, for_the_page
from visual.page.both_units import other_units, setback_texts
from visual.page.data import FORMAT, PageMaker, plain, site_data
from visual.page.facts import facts_data, points_data
from visual.page.finding_data import findings_data, verdict_data
from visual.page.force_data import forces_data
from visual.page.layer_data import layers_data, role_data
from visual.page.moving import anchor_layers, rig_data
from visual.page.nearby import find_nearby, nearby_data
from visual.page.packing import Numbers
from visual.page.pull_chart import chart_data
from visual.page.thinning import thinned
from visual.page.view_data import shots_data
from visual.raising import Raise
from visual.scene.build import caption_of
from visual.scene.ghosts import ghost_layers
from visual.scene.layers import AnyLayer
from visual.scene.section import section_layers
from visual.scene.setbacks import setback_layers
from visual.scene.site_ground import model_terrain
from visual.scene.style import ROLES
from visual.scene.terrain import Terrain
from visual.scene.zones import zone_layers
from visual.site import data_state

ROUGH, FINE = math.radians(7.5), math.radians(2.0)
"""Steps of the tables of the raise while one drags, and after."""

LINE_REACH = 40.0  # [m] how far the contour through the base is drawn

MOST_TERRAINS = 2
"""Drawn grounds that are kept: of the home, and of the base where it is now."""

Waits = Callable[[], bool]


@dataclass(frozen=True, eq=False)
class LiveScene:
    """The scene of one answer.

    Parameters
    ----------
    version : int
        The version of the answer.
    full : bool
        True if nothing in it is left over from an earlier answer.
    data : dict
        The data object of the viewer; ``around.layers`` and the ground's picture included.
    to_come : str
        What is being drawn next, in words; empty if that is nothing.
    """

    version: int
    full: bool
    data: Json = field(repr=False)
    to_come: str = ""

    def without(self, have: str) -> Json:
        """Return the data, without the ground and surroundings that the viewer has already."""
        around = self.data["around"]
        if have != around["ground"]["key"]:
            return self.data
        short = {"offset": around["offset"], "ground": {"key": have}, "layers": None}
        return self.data | {"around": short}


class SceneBuilder:
    """Makes the scenes of one session, one after the other, and keeps what can be used again."""

    def __init__(self) -> None:
        self._home: Home | None = None
        self._rig: tuple[Raise, Numbers, Json] | None = None
        self._terrain = Kept[Terrain](MOST_TERRAINS)
        self._setbacks = Kept[list[AnyLayer]](1)
        self._slow: list[Json] = []
        self._slow_frame: Frame | None = None
        self._last: LiveScene | None = None
        self._report: Report | None = None

    def scenes(self, answer: Answer, waits: Waits) -> Iterator[LiveScene]:
        """Yield the scene of an answer: a first one soon, then the full one.

        Parameters
        ----------
        answer : Answer
            What is to be shown.
        waits : callable
            True as soon as a newer state waits to be worked out; then the full one is left out.
        """
        self._report = answer.report
        home = self._home
        if home is None or not home.serves(answer.model, answer.data):
            bare = bare_home(answer.model, self._terrain_of(answer.model), answer.data)
            if home is None:
                first = self._scene(answer, bare, step=ROUGH, full=False)
                yield replace(first, to_come="drawing what stands around")
            home = self._home = with_surroundings(bare)
        self._last = self._scene(answer, home, step=ROUGH, full=False)
        yield replace(self._last, to_come="drawing zones and setbacks")
        layers: list[AnyLayer] = []
        for part in self._slow_parts(answer):
            if waits():
                return
            layers += part()
        slow = [thinned(layer) for layer in for_the_page(layers)]
        drawn = layers_data(slow, setback_texts(answer.report, slow))
        self._slow = plain({"layers": drawn})["layers"]
        self._slow_frame = answer.model.frame
        self._last = self._scene(answer, home, step=FINE, full=True)
        yield self._last

    def outline(self, sketched: Sketch) -> LiveScene | None:
        """Return the last scene with the rig of a sketch in it; None if it cannot serve."""
        home, last, report, model = self._home, self._last, self._report, sketched.model
        if home is None or last is None or report is None:
            return None
        if not home.serves(model, data_state(model.site)):
            return None
        angles = PageMaker(report, step=ROUGH).angles
        judged = last.data["live"]["judged"]
        data = last.data | {
            "rig": self._rig_of(model, sketched.raised, angles),
            "chart": plain(chart_data(report, angles)),
            # a sketch knows neither forces nor clearances of the state that it shows
            "forces": None,
            "approaches": [],
            "layers": self._own_layers(model, sketched.raised),
            "live": plain(_live(model, version=sketched.version, judged=judged, full=False)),
        }
        data["around"] = last.data["around"] | {"offset": home.offset(model)}
        return LiveScene(sketched.version, False, data)

    def _own_layers(self, model: Model, raised: Raise) -> list[Json]:
        """Return what stands still and belongs to the design.

        Zones of an earlier answer stay until the new ones are made, unless the base has moved.
        """
        slow = self._slow if self._slow_frame == model.frame else []
        own = plain({"layers": layers_data(for_the_page(anchor_layers(model, raised)))})
        return [*slow, *own["layers"]]

    def _rig_of(self, model: Model, raised: Raise, angles: Numbers) -> Json:
        """Return the rig; what was made for the quick part serves for the whole answer too."""
        known = self._rig
        if known is not None and known[0] is raised and np.array_equal(known[1], angles):
            return known[2]
        made = plain(rig_data(model, raised, other=other_units(model), angles=angles))
        self._rig = raised, angles, made
        return made

    def _terrain_of(self, model: Model) -> Terrain:
        key = Same(model.ground), model.rig.mast.total_height
        return self._terrain.of(key, lambda: model_terrain(model))

    def _slow_parts(self, answer: Answer) -> Iterator[Callable[[], list[AnyLayer]]]:
        report, model = answer.report, answer.model
        terrain = self._terrain_of(model)
        lines = [
            (one.to, one.name, one.measured_from, one.required, one.distance, one.shape.wkb)
            for one in report.setbacks
        ]
        drawn = model.rig.mast.total_height, model.site.site.units
        key = (Same(terrain), Same(model.surroundings), lines, drawn)
        yield lambda: list(zone_layers(report, terrain))
        yield lambda: self._setbacks.of(key, lambda: setback_layers(report, terrain))
        yield lambda: [*ghost_layers(model, report.raised), *section_layers(model)]

    def _scene(self, answer: Answer, home: Home, *, step: float, full: bool) -> LiveScene:
        report, model = answer.report, answer.model
        angles = PageMaker(report, step=step).angles
        near = find_nearby(report)
        data: Json = {
            "format": FORMAT,
            "site": site_data(
                caption_of(model), caption_of(other_units(model)), program="Hillmast"
            ),
            "verdict": verdict_data(report),
            "roles": role_data(ROLES),
            "groups": [{"key": key, "word": word} for key, word in GROUPS.items()],
            "chart": chart_data(report, angles),
            "forces": forces_data(report, angles),
            "findings": findings_data(report),
            "approaches": approaches_data(report),
            "nearby": nearby_data(near),
            "views": shots_data(live_shots(report), report),
            "points": points_data(model, near),
            "live": _live(model, version=answer.version, judged=answer.version, full=full),
        }
        if full:
            data["facts"] = facts_data(report, angles)
        ready = {
            "around": {
                "offset": home.offset(model),
                "ground": home.ground,
                "layers": home.layers,
            },
            "layers": self._own_layers(model, report.raised),
            "rig": self._rig_of(model, report.raised, angles),
            "sun": home.sun,
        }
        return LiveScene(answer.version, full, plain(data) | ready)


def _live(model: Model, *, version: int, judged: int, full: bool) -> Json:
    """Return what can be dragged, and of which version the rig and the findings are."""
    return {
        "version": version,
        "judged": judged,
        "full": full,
        "level_line": level_line(model.ground, reach=LINE_REACH).tolist(),
        "anchors": _anchors(model),
        "front": model.rig.front,
    }


def _anchors(model: Model) -> list[Json]:
    """Return where the handles of the anchors stand; on level ground where a height is unknown."""
    return [
        {
            "side": side,
            "at": np.where(np.isnan(anchor.eye), model.base_ground, anchor.eye).tolist(),
            "measured": anchor.as_built,
        }
        for side, anchor in model.anchors.items()
    ]
