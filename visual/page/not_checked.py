"""What the page says was never looked at: what no check is there for, and what the file lacks."""

from collections.abc import Iterator

from visual.checks import Report

NEVER = (
    "whether the standing mast, its wires and its anchors hold in a storm, and what lightning does",
    "ice and snow: their weight, and ice that is thrown or falls",
    "the foundation, and what the soil under it and at the anchors can hold",
    "cables, pipes and drains in the ground, unless they are drawn here",
    "how far parts fly that break off",
    "noise, moving shadows, birds and other wildlife, aircraft, radio",
    "the turbine itself: its brake, its wiring, its behaviour in a high wind",
    "wear, rust and damage after it stands",
    "permits, rights of way, insurance and anything else that the law asks for",
    "anything that is not drawn here, such as a new building, a parked car or a growing tree",
)
"""What no check of this program is about, for somebody who knows nothing of it. Own list."""


def missing_kinds(report: Report) -> tuple[str, ...]:
    """Return what the site file knows none of, though the checks would hold the mast against it."""
    return tuple(_missing_kinds(report))


def _missing_kinds(report: Report) -> Iterator[str]:
    around = report.model.surroundings
    if not around.areas_of("boundary"):
        yield "edge of the property"
    if not around.areas_of("road"):
        yield "road or path"
    if not around.lines:
        yield "overhead line"
    if not around.buildings:
        yield "building"


def unknown_here(report: Report) -> list[str]:
    """Return what the site file does not know, in sentences."""
    missing = missing_kinds(report)
    found = [
        f"This file knows no {kind}: nothing was held against one, wherever it may be."
        for kind in missing
    ]
    if not report.model.surroundings.trees:
        found.append("This file knows no tree.")
    if not report.model.site.limits.setbacks:
        found.append("This file holds no rule for distances (setback): none was checked.")
    if not report.fall_zone.complete:
        found.append("The ground is not known everywhere that a fall could reach.")
    return found
