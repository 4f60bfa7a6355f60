"""The ground of a site: heights from a DEM and from a survey, as one surface.

::

    raster.py     opening a raster: place, CRS, height unit, gaps
    dem.py        reading the part of a DEM around the base
    dem_place.py  a first place on a DEM
    lattice.py    a DEM as a lattice, read window by window
    raster_file.py    writing rasters
    smooth.py     map projection of many nodes at once
    patch.py      DEM nodes as triangles in the local frame
    tin.py        surveyed points as triangles
    seam.py       the step between the two
    surface.py    both as one surface: heights, slopes, triangles, profiles, contours
    profile.py    ground along a straight line
    triangle.py   plane triangles
    contour.py, shade.py, image.py    for drawing
"""

from visual.ground.contour import ContourLine, contour_interval, grid_contours
from visual.ground.dem import read_dem
from visual.ground.dem_place import DemPlace, dem_place
from visual.ground.image import GroundImage, read_image
from visual.ground.lattice import DemFile, HeightArray, Lattice, dem_lattice, survey_lattice
from visual.ground.patch import DemPatch
from visual.ground.profile import Profile
from visual.ground.raster_file import write_geotiff
from visual.ground.shade import hillshade, horn_gradient, lit
from visual.ground.surface import Surface
from visual.ground.tin import Tin, make_tin

__all__ = [
    "ContourLine",
    "DemFile",
    "DemPatch",
    "DemPlace",
    "GroundImage",
    "HeightArray",
    "Lattice",
    "Profile",
    "Surface",
    "Tin",
    "contour_interval",
    "dem_lattice",
    "dem_place",
    "grid_contours",
    "hillshade",
    "horn_gradient",
    "lit",
    "make_tin",
    "read_dem",
    "read_image",
    "survey_lattice",
    "write_geotiff",
]
