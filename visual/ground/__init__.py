"""Ground of a site: DEM, surveyed surface, height, profile."""

from visual.ground.dem import dem_height, read_dem
from visual.ground.patch import DemPatch
from visual.ground.profile import Profile
from visual.ground.surface import Surface
from visual.ground.tin import Tin, make_tin

__all__ = ["DemPatch", "Profile", "Surface", "Tin", "dem_height", "make_tin", "read_dem"]
