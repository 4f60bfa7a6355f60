"""What goes on paper besides the answers: pictures in plan, place, and tables."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np

from visual.checks import Report
from visual.page.packing import Json
from visual.page.tables import tables_data
from visual.page.view_data import shots_data
from visual.scene.camera import View, fit_orthographic
from visual.scene.framing import level_ring
from visual.scene.layers import Points
from visual.scene.near import wide_plan
from visual.scene.surroundings import rings_of
from visual.scene.terrain import circle
from visual.scene.views import Shot, plan

_FARTHEST = 9.0
"""What is farther away than so many total heights does not belong to the plan of everything."""

_WIDER = 1.35
"""A plan of everything must show so much more than the one near the mast, or one is enough."""


def paper_data(report: Report) -> Json:
    """Return the plans of the first pages, what tells the place, and the tables."""
    return {
        "views": shots_data([Shot(view, None) for view in _plans(report)], report),
        "place": list(_place(report)),
        "tables": tables_data(report),
    }


def _plans(report: Report) -> Iterator[View]:
    near = wide_plan(report)
    whole = _whole_plan(report)
    if max(whole.span) > _WIDER * max(near.span):
        yield replace(whole, name="paper-whole", title="Everything around, north up")
    yield replace(near, name="paper-near", title="Around the mast, north up")


def _whole_plan(report: Report) -> View:
    reach = max(report.fall_zone.circle_radius, report.fall_zone.total_height)
    rings = [level_ring(circle(radius=1.1 * reach)), *_rings(report, reach)]
    start = replace(plan(report), target=np.zeros(3), eye=np.array([0.0, 0.0, 100.0]))
    return fit_orthographic(start, np.concatenate(rings), margin=0.05)


def _rings(report: Report, reach: float) -> Iterator[Points]:
    """Yield what people know the place by: buildings, edges of property, as far as is sensible."""
    around = report.model.surroundings
    rings = [rings_of(one.footprint)[0][:, :2] for one in around.buildings]
    rings += [np.array([one.nearest[1]], float) for one in report.setbacks]
    rings += [one.eye[None, :2] for one in around.viewpoints]
    for ring in rings:
        if np.hypot(*ring.T).min() <= _FARTHEST * reach:
            yield level_ring(ring)


def _place(report: Report) -> Iterator[str]:
    """Yield where the base is: in the grid of the site, and on Earth where that is known."""
    frame, crs = report.model.frame, report.model.site.site.crs
    east, north = frame.origin_easting, frame.origin_northing
    if frame.is_local:
        yield f"base at {east:.2f}, {north:.2f} (metres, grid of this site alone)"
        return
    degrees = frame.scale is None
    yield (
        f"base at {east:.6f}, {north:.6f} ({crs})"
        if degrees
        else (f"base at {east:.2f} E {north:.2f} N ({crs})")
    )
    try:
        longitude, latitude = frame.geographic(0.0, 0.0)
    except ValueError:  # no shift to that datum is known: better none than a wrong one
        return
    yield _on_earth(float(latitude), float(longitude))


def _on_earth(latitude: float, longitude: float) -> str:
    if not (math.isfinite(latitude) and math.isfinite(longitude)):
        return "its place on Earth is not known"
    south, west = "S" if latitude < 0 else "N", "W" if longitude < 0 else "E"
    return f"{abs(latitude):.5f}° {south}, {abs(longitude):.5f}° {west} (WGS 84)"
