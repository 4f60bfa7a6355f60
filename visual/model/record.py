"""The model: ground, surroundings and rig, placed in one local frame and frozen."""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from visual.frame import Frame
from visual.ground import Surface
from visual.model.installed import InstalledWire, install_wires
from visual.model.placed import PlacedAnchor, Surroundings, Vector
from visual.rig import Rig, Side
from visual.site import SiteFile
from visual.units import UnitSystem


@dataclass(frozen=True)
class Model:
    """One mast on one site, at rest.

    The hinge is the origin of the local frame, so the ground at the base lies
    `Mast.hinge_height` below zero.

    Parameters
    ----------
    site : SiteFile
        What the user wrote, in SI.
    frame : Frame
        Door between the site's grid and the local frame.
    ground : Surface
        The ground in the local frame.
    rig : Rig
        The rig at rest.
    anchors : mapping of side to PlacedAnchor
        The four anchors on the ground.
    surroundings : Surroundings
        What stands around.
    provisional : bool
        True as long as any anchor is only planned.
    """

    site: SiteFile
    frame: Frame
    ground: Surface
    rig: Rig
    anchors: Mapping[Side, PlacedAnchor]
    surroundings: Surroundings
    provisional: bool

    @property
    def forward(self) -> Vector:
        """Horizontal unit vector to the front, e_f."""
        return np.array([math.sin(self.rig.front), math.cos(self.rig.front), 0.0])

    @property
    def rightward(self) -> Vector:
        """Horizontal unit vector along the hinge axis, to the right when looking to the front."""
        return np.array([math.cos(self.rig.front), -math.sin(self.rig.front), 0.0])

    @property
    def upward(self) -> Vector:
        """Vertical unit vector, e_z."""
        return np.array([0.0, 0.0, 1.0])

    @cached_property
    def installed(self) -> tuple[InstalledWire, ...]:
        """Every wire of the upright mast, as `visual.model.installed_wires` gives them."""
        return install_wires(self.site, self.rig, self.anchors, self.ground)

    def in_units(self, units: UnitSystem) -> "Model":
        """Return the same model with results in the units asked for."""
        section = self.site.site.model_copy(update={"units": units})
        return replace(self, site=self.site.model_copy(update={"site": section}))

    @property
    def base_ground(self) -> float:
        """Ground at the base, z. [m]"""
        return -self.rig.mast.hinge_height
