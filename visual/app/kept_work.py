"""What was worked out for the last models of a session, and holds for the next one too."""

from typing import Any

from visual.checks import FallZone, find_fall_zone
from visual.checks.kept_minima import KeptMinima
from visual.model import Kept, Model, Same
from visual.raising import Raise, RaiseForces, analyse_forces, analyse_raise

MOST_RAISES = 3
"""Raises, and fall zones, that are kept: of the saved site, the edited one, and one more."""


class KeptWork:
    """Works out what `assess` needs, and works it out again only where it would be another."""

    def __init__(self) -> None:
        self.minima_of = KeptMinima()
        self._raises = Kept[Raise](MOST_RAISES)
        self._forces = Kept[RaiseForces](MOST_RAISES)
        self._zones = Kept[FallZone](MOST_RAISES)

    def raise_of(self, model: Model) -> Raise:
        """Return the geometry of the raise."""
        return self._raises.of(made_of(model), lambda: analyse_raise(model))

    def forces_of(self, model: Model, raised: Raise) -> RaiseForces:
        """Return the forces of the raise; `raised` is that of `raise_of`."""
        return self._forces.of(made_of(model), lambda: analyse_forces(model, raised))

    def zone_of(self, model: Model) -> FallZone:
        """Return both fall zones."""
        return self._zones.of(zone_made_of(model), lambda: find_fall_zone(model))


def made_of(model: Model) -> tuple[Any, ...]:
    """Return everything of a model that the raise and its forces are made of."""
    anchors = tuple(
        (side, one.eye.tobytes(), one.ground_height, one.capacity, one.as_built)
        for side, one in model.anchors.items()
    )
    limits = model.site.limits
    return Same(model.ground), model.rig, anchors, limits.trestle, limits.head_clearance


def zone_made_of(model: Model) -> tuple[Any, ...]:
    """Return everything of a model that its fall zones are made of."""
    return Same(model.ground), model.rig.mast, model.site.limits.fall_zone_times
