"""What a fall can reach, on the day of the raise and ever after, and what that means for people."""

import math
from collections.abc import Iterator

from visual.checks import Finding, Report
from visual.model import PlacedArea, installed_wires
from visual.page.answering import answer
from visual.page.finding_data import said_in_both
from visual.page.packing import Json
from visual.page.reader_sizes import at_least, at_most, listed, same, say

_FALLING = "falling mast to "


def can_it_fall(report: Report) -> Json:
    """Say what a fall in one piece reaches, and what this page does not know about falling."""
    things = list(_falls(report))
    edges = {one.name for one in report.model.surroundings.areas_of("boundary")}
    hit = [one["name"] for one in things if one["reached"] and one["name"] not in edges]
    near = [one["name"] for one in things if one["line"] and one["status"] == "stop"]
    over = [one["name"] for one in things if one["reached"] and one["name"] in edges]
    words = ["If it falls over in one piece it reaches {reach} from its foot."]
    words += ["It could hit {hit}."] if hit else []
    words += ["It would come too near an overhead line ({near})."] if near else []
    words += ["It could reach over the edge of {over}."] if over else []
    if not (hit or near or over):
        words.append("Of what was looked at (see below) nothing is in reach.")
    sizes = {"hit": listed(hit), "near": listed(near), "over": listed(over)}
    lead = say(" ".join(words), reach=at_most(report.fall_zone.total_height), **sizes)
    return answer("fall", "Can it fall on me?", lead=lead, more=_about_falling(), things=things)


def _about_falling() -> list[Json]:
    words = (
        "While it is raised: the checks here are about this day, in light wind.",
        "As long as it stands: a fall reaches as far, and what breaks off can fly farther; how "
        "far is not worked out here.",
        "Whether it stands through a storm is not checked here. A licensed engineer must check "
        "mast, wires, anchors and ground, with what the makers say.",
    )
    return [same(one) for one in words]


def _falls(report: Report) -> Iterator[Json]:
    """Yield what a fall may reach, that first, and then the nearest."""
    found = [
        (k, one)
        for k, one in enumerate(report.findings)
        if one.check == "fall zone" or one.subject.startswith(_FALLING)
    ]
    found.sort(key=lambda one: (one[1].status == "ok", one[1].value or 0.0))
    for number, finding in found:
        text, reached = _said(report, finding)
        yield {
            "name": finding.subject.removeprefix(_FALLING),
            "finding": number,
            "status": finding.status,
            "text": text,
            "reached": reached,
            "line": finding.check != "fall zone",
        }


def _said(report: Report, finding: Finding) -> tuple[Json, bool]:
    """Say what a fall does to one thing, and whether it can reach it."""
    if finding.value is None or finding.limit is None or finding.margin is None:
        return said_in_both(finding.message), False
    if finding.check != "fall zone":
        return _towards_a_line(finding)
    away, is_edge = at_least(_away(report, finding)), _is_edge(report, finding)
    where = "its edge is {away}" if is_edge else "{away}"
    if _touched(report, finding):
        what = "reach over it" if is_edge else "hit it"
        return say(f"{where} from the foot of the mast: a fall can {what}", away=away), True
    if finding.status == "ok":
        return say(f"{where} from the foot of the mast, out of reach of a fall", away=away), False
    words = f"{where} from the foot of the mast: a fall ends short of it, if only just"
    return say(words, away=away), False


def _towards_a_line(finding: Finding) -> tuple[Json, bool]:
    left, limit = finding.value or 0.0, finding.limit or 0.0
    words = "falling straight at it, it stays {left} off, measured through the air"
    if finding.status == "stop":
        words = f"{words}; {{limit}} are needed"
    return say(words, left=at_least(left), limit=at_most(limit)), left <= 0.0


def _away(report: Report, finding: Finding) -> float:
    """Return the level distance from the foot of the mast. [m]"""
    around = report.model.surroundings
    shapes = [one.footprint for one in around.buildings if one.name == finding.subject]
    base = report.fall_zone.circle.centroid
    away = [float(shape.distance(base)) for shape in shapes]
    return min([*away, finding.value or 0.0])


def _touched(report: Report, finding: Finding) -> bool:
    """Return whether a fall in one piece touches what a finding is about."""
    around = report.model.surroundings
    if any(one.name == finding.subject for one in around.buildings):
        return (finding.margin or 0.0) < 0
    lands = [one for one in around.areas if one.name == finding.subject]
    return any(_reaches(report, one) for one in lands)


def _is_edge(report: Report, finding: Finding) -> bool:
    """Return whether a finding is about the edge of a property."""
    edges = report.model.surroundings.areas_of("boundary")
    return any(one.name == finding.subject for one in edges)


def _reaches(report: Report, area: PlacedArea) -> bool:
    """Return whether a fall touches what of an area counts: the edge of a property, a road."""
    is_edge = area.kind == "boundary" and area.shape.area > 0
    shape = area.shape.boundary if is_edge else area.shape
    return bool(shape.intersects(report.fall_zone.contact))


def if_a_wire_breaks(report: Report) -> Json:
    """Say what a broken wire can do, as far as geometry tells."""
    far = _lash(report)
    more = [same("In a storm stay away from it, and from its wires, as from a tree that may fall.")]
    if far is not None:
        more.insert(
            0,
            say(
                "A broken wire lashes about. One that still holds at its anchor can come as far as "
                "{far} from the foot of the mast.",
                far=at_most(far),
            ),
        )
    lead = "Then the mast may fall, to any side: count on the same reach as above."
    return answer("wire", "What if a wire breaks in a gale?", lead=same(lead), more=more)


def _lash(report: Report) -> float | None:
    """Return how far from the foot a broken wire that holds at its anchor can come. [m]"""
    known = [
        report.model.anchors[wire.side].radius + wire.straight_length
        for wire in installed_wires(report.model)
        if math.isfinite(wire.straight_length)
    ]
    return max(known, default=None)


def must_keep_away(report: Report, *, when: Json) -> Json:
    """Say when it is raised, who must keep out of where, and which roads that closes."""
    zone = report.fall_zone
    reach = max(zone.circle_radius, zone.total_height)
    out = say(
        "Meanwhile nobody may be within {reach} of its foot: no child and no dog either.",
        reach=at_most(reach),
    )
    more = [out, *_in_line(report, reach), *_roads(report, reach)]
    return answer("when", "When is it raised, and must I keep away?", lead=when, more=more)


def _in_line(report: Report, reach: float) -> Iterator[Json]:
    """Say where a broken wire can still come to, outside of what is kept free for a fall."""
    far = _lash(report)
    if far is not None and far > reach:
        yield say(
            "Farther out, stay clear of the lines of wires and of the tow line: a wire that breaks "
            "can lash out to {far}.",
            far=at_most(far),
        )


def _roads(report: Report, reach: float) -> Iterator[Json]:
    roads = report.model.surroundings.areas_of("road")
    base = report.fall_zone.circle.centroid
    near = [one.name for one in roads if one.shape.distance(base) <= reach]
    far = [one.name for one in roads if one.shape.distance(base) > reach]
    if near:
        yield same(f"For the time this closes: {listed(near)}.")
    if far:
        yield same(f"Roads outside of it: {listed(far)}.")
    if report.model.rig.tow.by == "vehicle":
        yield from _vehicle(report)


def _vehicle(report: Report) -> Iterator[Json]:
    places = [float(one) for one in report.raised.hitch_distances if math.isfinite(one)]
    if places:
        yield say(
            "Keep off the way of the vehicle too: its rear goes from {near} to {far} in front of "
            "the foot.",
            near=at_least(min(places)),
            far=at_most(max(places)),
        )
