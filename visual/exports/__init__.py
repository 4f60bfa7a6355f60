"""Files for other machines and other programs.

::

    drawing.py     what is exported, before it is a file: layers of things with all their forms
    make.py        from a report to a drawing, with ground_layers.py, site_layers.py,
                   line_layers.py, zone_layers.py, rig_layers.py, raise_layers.py,
                   verdict_layers.py; draping.py lays plan geometry on the ground
    plan.py, look.py, texts.py, replacing.py     what several formats need
    dxf.py, geojson.py, geopackage.py, kml.py, gpx.py, gltf.py (gltf_block.py), tables.py
                   one format each; points.py: the pegs of a stake-out
    write.py       every format by name
"""

from visual.exports.drawing import Drawing, Item, Layer
from visual.exports.make import make_drawing
from visual.exports.points import write_points_csv, write_points_gpx
from visual.exports.write import (
    ALL,
    FORMATS,
    WrittenFile,
    known_names,
    possible,
    wanted_formats,
    write_exports,
)

__all__ = [
    "ALL",
    "FORMATS",
    "Drawing",
    "Item",
    "Layer",
    "WrittenFile",
    "known_names",
    "make_drawing",
    "possible",
    "wanted_formats",
    "write_exports",
    "write_points_csv",
    "write_points_gpx",
]
