"""From a report to a scene: every layer, at one raising angle."""

import functools
from dataclasses import dataclass, field, replace

from visual.checks import Report
from visual.model import Model
from visual.scene.attention import closest_layers
from visual.scene.crew_views import crew_layers
from visual.scene.drawn_ground import drawn_ground
from visual.scene.force_arrows import force_layers
from visual.scene.force_scale import newtons_per_metre
from visual.scene.ghosts import ghost_layers
from visual.scene.layers import AnyLayer, Caption, Scene
from visual.scene.rig import rig_layers
from visual.scene.section import section_layers
from visual.scene.setbacks import setback_layers
from visual.scene.site_ground import (
    contour_note,
    drawn_bounds,
    model_terrain,
    site_ground_layers,
)
from visual.scene.surroundings import surroundings_layers
from visual.scene.terrain import Terrain
from visual.scene.zones import zone_layers
from visual.units import format_length

CAUTION = (
    "Keep everybody out of the fall zone during a raise. Treat every overhead line as live. "
    "Light wind only. Never stand under or in line with a loaded rope."
)


@dataclass(frozen=True, eq=False)
class SceneMaker:
    """Makes scenes of one report; what does not move is made once.

    Parameters
    ----------
    report : Report
        The judged model.
    """

    report: Report = field(repr=False)

    @functools.cached_property
    def terrain(self) -> Terrain:
        """The ground as a regular grid."""
        return model_terrain(self.report.model)

    @functools.cached_property
    def fixed(self) -> tuple[AnyLayer, ...]:
        """Layers that stay as they are through the raise, on the regular grid."""
        return self._fixed_on(self.terrain)

    @functools.cached_property
    def drawn(self) -> tuple[AnyLayer, ...]:
        """Layers that stay as they are through the raise, on the ground of pictures."""
        return self._fixed_on(drawn_ground(self.report, drawn_bounds(self.report.model)))

    def _fixed_on(self, ground: Terrain) -> tuple[AnyLayer, ...]:
        model = self.report.model
        return (
            *site_ground_layers(model, ground),
            *surroundings_layers(model, ground),
            *setback_layers(self.report, ground),
            *zone_layers(self.report, ground),
            *self._above_ground,
        )

    @functools.cached_property
    def _above_ground(self) -> tuple[AnyLayer, ...]:
        model = self.report.model
        return (
            *section_layers(model),
            *ghost_layers(model, self.report.raised),
            *closest_layers(self.report, self.terrain),
            *crew_layers(self.report),
        )

    def at(self, angle: float | None) -> Scene:
        """Return the scene of pictures at a raising angle [rad]; None: the standing mast."""
        moving = rig_layers(self.report.model, self.report.raised, angle=angle)
        forces = () if angle is None else force_layers(self.report, angle)
        return Scene((*self.drawn, *moving, *forces), self.caption)

    @functools.cached_property
    def caption(self) -> Caption:
        """What is written around every picture."""
        notes = (contour_note(self.report.model, self.terrain),)
        scale = newtons_per_metre(self.report)
        return replace(caption_of(self.report.model), notes=notes, force_scale=scale)


def caption_of(model: Model) -> Caption:
    """Return what is written around every picture and every chart of a model."""
    site = model.site.site
    return Caption(
        site=site.name,
        date=site.date.isoformat() if site.date else "",
        standing=_standing(model),
        caution=CAUTION,
        units=site.units,
    )


def _standing(model: Model) -> str:
    """Return how sure the numbers are."""
    if not model.provisional:
        return "Final: anchors as built."
    sigma = float(model.ground.accuracy_at(0.0, 0.0))
    return f"Provisional: ground heights ± {format_length(sigma, model.site.site.units)}."
