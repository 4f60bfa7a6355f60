"""GPX 1.1: base plate and anchors as way points for a handheld receiver.

Elevations are left out: a receiver takes them as above the sea in its own height system. They
stand in the descriptions.
"""

import datetime as dt
from pathlib import Path

import gpxpy.gpx
import numpy as np

from visual import __version__
from visual.exports.drawing import Drawing, Item, Value
from visual.exports.replacing import replacing
from visual.exports.texts import printable

LAYERS = ("base", "anchors")
DECIMALS = 9


def write_gpx(drawing: Drawing, path: Path) -> None:
    """Write the way points; ValueError if the site has no place on Earth."""
    document = gpxpy.gpx.GPX()
    document.creator = f"hillmast {__version__}"
    document.name = printable(drawing.site)
    document.description = printable(drawing.standing)
    if drawing.date:
        document.time = dt.datetime.fromisoformat(drawing.date).replace(tzinfo=dt.UTC)
    for key in LAYERS:
        document.waypoints += [_way_point(drawing, item) for item in drawing.layer(key).items]
    with replacing(path) as beside:
        beside.write_text(document.to_xml(version="1.1"), encoding="utf-8")


def _way_point(drawing: Drawing, item: Item) -> gpxpy.gpx.GPXWaypoint:
    assert item.at is not None  # base and anchors are places
    longitude, latitude = np.round(drawing.to_degrees(item.at[None])[0, :2], DECIMALS)
    return gpxpy.gpx.GPXWaypoint(
        latitude=float(latitude),
        longitude=float(longitude),
        name=printable(item.name),
        description=_description(item),
    )


def _description(item: Item) -> str:
    """Return what a person at the peg wants to know."""
    built = item.attributes.get("as_built")
    state = {True: "as built", False: "planned", None: ""}[built if built is None else bool(built)]
    parts = [
        state,
        _said("ground at height", item.attributes.get("ground_height_m"), "m"),
        _said("eye at height", item.attributes.get("eye_height_m"), "m"),
        _said("from the base", item.attributes.get("horizontal_distance_m"), "m"),
        _said("grid bearing", item.attributes.get("bearing_grid_deg"), "°"),
        _said("magnetic bearing", item.attributes.get("bearing_magnetic_deg"), "°"),
    ]
    return ", ".join(part for part in parts if part)


def _said(what: str, value: Value, unit: str) -> str:
    if not isinstance(value, float):
        return ""
    return f"{what} {value:.1f}°" if unit == "°" else f"{what} {value:.2f} {unit}"
