"""GPX 1.1 for a handheld receiver: base and anchors as way points, the fall zone as tracks.

Elevations are left out: a receiver takes them as above the sea in its own height system. They
stand in the descriptions.
"""

import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

import gpxpy.gpx

from visual import __version__
from visual.exports.drawing import Drawing, Item, Points, Value
from visual.exports.texts import one_line

WAY_POINTS = ("base", "anchors")
"""Layers whose things are way points."""

TRACKS = ("fall_zone_circle", "fall_zone_contact")
"""Layers whose outlines are tracks: to walk along with a receiver before a raise."""

DECIMALS = 9
"""Of all coordinates: 0.1 mm in degrees."""


@dataclass(frozen=True)
class WayPoint:
    """A place with a short name for a small screen.

    Parameters
    ----------
    name : str
        Short name.
    longitude, latitude : float
        On WGS 84. [deg]
    text : str
        What a person there wants to know.
    """

    name: str
    longitude: float
    latitude: float
    text: str


def write_gpx(drawing: Drawing, path: Path) -> None:
    """Write way points and tracks; ValueError if the site has no place on Earth."""
    write_document(
        path,
        site=drawing.site,
        note=drawing.standing,
        date=drawing.date,
        way_points=[_way_point(drawing, item) for item in drawing.items_of(*WAY_POINTS)],
        tracks=[
            (item.name, drawing.to_degrees(path)[:, :2])
            for item in drawing.items_of(*TRACKS)
            for path in item.paths
        ],
    )


def write_document(
    path: Path,
    *,
    site: str,
    note: str = "",
    date: str = "",
    way_points: Iterable[WayPoint],
    tracks: Iterable[tuple[str, Points]] = (),
) -> None:
    """Write a GPX file.

    Parameters
    ----------
    path : Path
        The file.
    site, note, date : str
        Name of the site, what else to say, and a day such as ``"2026-06-01"`` or nothing.
    way_points : iterable of WayPoint
        The places.
    tracks : iterable of (str, ndarray of shape (n, 2))
        Names, and longitude and latitude on WGS 84. [deg]
    """
    document = gpxpy.gpx.GPX()
    document.creator = f"hillmast {__version__}"
    document.name = one_line(site)
    document.description = note or None
    if date:
        document.time = dt.datetime.fromisoformat(date).replace(tzinfo=dt.UTC)
    document.waypoints += [
        gpxpy.gpx.GPXWaypoint(
            latitude=round(one.latitude, DECIMALS),
            longitude=round(one.longitude, DECIMALS),
            name=one_line(one.name),
            description=one.text,
        )
        for one in way_points
    ]
    document.tracks += [_track(name, line) for name, line in tracks]
    path.write_text(document.to_xml(version="1.1"), encoding="utf-8", newline="\n")


def _track(name: str, line: Points) -> gpxpy.gpx.GPXTrack:
    track = gpxpy.gpx.GPXTrack(name=name)
    points = [
        gpxpy.gpx.GPXTrackPoint(latitude=round(lat, DECIMALS), longitude=round(lon, DECIMALS))
        for lon, lat in line.tolist()
    ]
    track.segments.append(gpxpy.gpx.GPXTrackSegment(points))
    return track


def _way_point(drawing: Drawing, item: Item) -> WayPoint:
    assert item.at is not None  # base and anchors are places
    longitude, latitude, _ = drawing.to_degrees(item.at[None])[0].tolist()
    side = item.attributes.get("side")
    return WayPoint(str(side or "base"), longitude, latitude, ", ".join(_said(item)))


def _said(item: Item) -> Iterator[str]:
    """Yield what a person at the peg wants to know."""
    known = item.attributes
    yield item.name
    if (built := known.get("as_built")) is not None:
        yield "as built" if built else "planned"
    for what, key, unit in (
        ("ground at height", "ground_height_m", " m"),
        ("eye at height", "eye_height_m", " m"),
        ("from the base", "horizontal_distance_m", " m"),
        ("grid bearing", "bearing_grid_deg", "°"),
        ("magnetic bearing", "bearing_magnetic_deg", "°"),
    ):
        yield from _quantity(what, known.get(key), unit)


def _quantity(what: str, value: Value, unit: str) -> Iterator[str]:
    if isinstance(value, float):
        yield f"{what} {value:.{1 if unit == '°' else 2}f}{unit}"
