"""The pegs of a stake-out as way points and as a CSV table."""

import csv
import io
import math
from collections.abc import Iterator
from pathlib import Path

from visual.crew.stake import StakedAnchor, StakeOut
from visual.errors import InputError
from visual.exports.gpx import WayPoint, write_document
from visual.exports.replacing import replacing

COLUMNS = (
    "point",
    "easting",
    "northing",
    "height",
    "code",
    "longitude_wgs84",
    "latitude_wgs84",
    "bearing_magnetic",
    "bearing_true",
    "bearing_grid",
    "horizontal_distance",
    "straight_distance",
    "along_ground",
    "rise",
)
"""Columns of the CSV; the first five are those of a survey file."""

CODE = "skip"
"""Heights of pegs are taken from the ground data: read again as a survey they must not count."""


def write_points_gpx(stake: StakeOut, path: Path) -> None:
    """Write base and anchors as GPX way points, WGS 84.

    Heights are left out: a receiver takes them as above the sea in its own height system.

    Raises
    ------
    InputError
        If the site has no place on Earth, or the file cannot be written.
    """
    if stake.base_geographic is None:
        raise InputError.one(
            file=str(path),
            key="",
            value=None,
            rule='a GPX file needs longitude and latitude, and site.crs is "local"',
            way_out="write a CSV of the local grid, or give the site a real CRS",
        )
    pegs = [WayPoint("base", *stake.base_geographic, "base peg"), *_anchor_pegs(stake)]
    with replacing(path) as beside:
        write_document(beside, site=stake.site, way_points=pegs)


def _anchor_pegs(stake: StakeOut) -> Iterator[WayPoint]:
    for anchor in stake.anchors:
        if anchor.longitude is not None and anchor.latitude is not None:
            text = f"{anchor.side} anchor, {'as built' if anchor.as_built else 'planned'}"
            yield WayPoint(anchor.side, anchor.longitude, anchor.latitude, text)


def write_points_csv(stake: StakeOut, path: Path) -> None:
    """Write base and anchors as a table: lengths in metres, angles in degrees, unknown empty.

    Easting and northing are in the unit of the site's grid.

    Raises
    ------
    InputError
        If the file cannot be written.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(COLUMNS)
    writer.writerows(_rows(stake))
    with replacing(path) as beside:
        beside.write_text(text.getvalue(), encoding="utf-8", newline="\n")


def _rows(stake: StakeOut) -> Iterator[list[str]]:
    longitude, latitude = stake.base_geographic or (None, None)
    # enough digits for a millimetre in degrees too
    yield [
        "base",
        *(f"{value:.8f}" for value in stake.base[:2]),
        f"{stake.base[2]:.3f}",
        CODE,
        *(_number(value, 8) for value in (longitude, latitude)),
        *[""] * 7,
    ]
    for anchor in stake.anchors:
        yield _row(anchor)


def _row(anchor: StakedAnchor) -> list[str]:
    bearings = (anchor.bearing_magnetic, anchor.bearing_true, anchor.bearing_grid)
    lengths = (anchor.horizontal, anchor.straight, anchor.along_ground, anchor.rise)
    return [
        anchor.side,
        f"{anchor.easting:.8f}",
        f"{anchor.northing:.8f}",
        _number(anchor.height, 3),
        CODE,
        _number(anchor.longitude, 8),
        _number(anchor.latitude, 8),
        *(_number(None if angle is None else math.degrees(angle), 2) for angle in bearings),
        *(_number(length, 3) for length in lengths),
    ]


def _number(value: float | None, decimals: int) -> str:
    """Write a number; empty where it does not exist (NaN is not equal to itself)."""
    return "" if value is None or value != value else f"{value:.{decimals}f}"
