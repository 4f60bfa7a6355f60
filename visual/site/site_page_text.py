"""The sentences of docs/site_file.md that no record holds."""

INTRODUCTION = """\
# The site file

This page is written by the program from the records that read the file
(`visual.site.document`); do not edit it.

A site is a folder with a `site.toml` and the files it names. The format is
[TOML](https://toml.io), version 1.0. File names are relative to the site file and may not leave
its folder. Keys that are not known are errors. All errors of a file are reported at once; each
names file, key, value, rule and way out. Tables that stand several times (`[[mast.section]]`) are
counted from 1.

`hillmast new` writes a starter site; `hillmast schema` prints the JSON Schema for editors.

Lengths, masses, forces and stresses are plain numbers in SI or texts with a unit. Angles are
degrees. Bearings run clockwise from grid north. `site.units` chooses the units of results only.
"""

SURROUNDINGS_NOTE = """\
Any vector format that the vector library (GDAL) opens, such as GeoJSON, GeoPackage or shapefile;
all layers are read. Each feature needs a property `kind`; in a layer that is called like a kind it
may be left out. Names of properties may be in capitals, and shapefiles may keep only their first
ten letters. Lengths are numbers in metres or texts with a unit. Heights of vertices are not used:
everything stands on the ground.

Coordinates are in the CRS that the file names. `surroundings.crs` wins over it. A file that names
none is read in `site.crs`, but GeoJSON that names none is in WGS 84, longitude first, in degrees
(RFC 7946). A site whose CRS is `"local"` needs `surroundings.crs = "local"` and a file in its
metre grid.

A feature of several parts is split if it stands up (building, tree, overhead line, viewpoint);
an area keeps its parts together.
"""

SURVEY_NOTE = """\
A table with a header; commas, semicolons or tabs between cells; any order of columns. With
semicolons or tabs a decimal comma may stand for the point. Blank lines and lines that begin with
`#` are passed over. A title may state a unit: `easting (ft)`, `height [m]`. Coordinates without
one are in the unit of `site.crs`, heights without one in `ground.height_unit`. x is easting and y
is northing.

A code is a word, or a word and a name: `ground`, `building house`, `ohl: 11 kV line`. No code
means ground. Points of the same word and name make one feature, in the order of the rows; each
tree and viewpoint is one point. Corners close by themselves; a road is surveyed along its middle.
`feature_height` is the height of the building or tree above the ground, in any of its rows, or the
height of the lowest conductor above the ground in each row of an overhead line.

The height of a coded point is a height of the ground beside it, so it counts as ground; leave the
height empty if it is not, or use `skip` for a point that is not to be used at all. A code that
is not known is an error.
"""
