"""How far it is to the buildings, and to the edge of a property: nearest first."""

import math

from visual.checks import Report
from visual.model import PlacedArea, PlacedBuilding
from visual.page.answering import answer
from visual.page.packing import Json
from visual.page.reader_sizes import at_least, at_most, listed, same, say

_MOST = 8
"""So many buildings are listed; more would bury what is near."""

_WINDS = (
    "north",
    "north-east",
    "east",
    "south-east",
    "south",
    "south-west",
    "west",
    "north-west",
)


def how_far(report: Report) -> Json:
    """Say how far the buildings are from the foot of the mast, measured level."""
    question = "How far is it from my house?"
    base = report.fall_zone.circle.centroid
    buildings = report.model.surroundings.buildings
    every = sorted(((float(b.footprint.distance(base)), b) for b in buildings), key=lambda x: x[0])
    if not every:
        words = "This file knows no building, so it cannot say."
        return answer("far", question, lead=same(words))
    things = [thing_near(report, b.name, _away(b, away)) for away, b in every[:_MOST]]
    rest = len(every) - len(things)
    more = [same(f"{rest} more in this file are farther away.")] if rest > 0 else []
    lead = "To the nearest wall, level. A house that is not in this file was not looked at."
    return answer("far", question, lead=same(lead), more=more, things=things)


def _away(building: PlacedBuilding, away: float) -> Json:
    words = "{away} from the foot of the mast, {way} of it"
    return say(words, away=at_least(away), way=_wind(building))


def _wind(building: PlacedBuilding) -> str:
    middle = building.footprint.centroid
    turn = math.atan2(middle.x, middle.y) / (math.pi / 4)
    return _WINDS[round(turn) % 8]


def thing_near(report: Report, name: str, text: Json) -> Json:
    """Return something around, with the worst of its findings on a fall and on distances.

    Findings come worst first.
    """
    about = [
        (k, one.status)
        for k, one in enumerate(report.findings)
        if (one.check == "fall zone" and one.subject == name)
        or (one.check == "setback" and one.subject.partition(" to ")[2] == name)
    ]
    number, status = about[0] if about else (None, None)
    return {"name": name, "finding": number, "status": status, "text": text}


def whose_land(report: Report) -> Json:
    """Say where the edges of the property are, and whether a fall reaches over them."""
    question = "Is it my land, or my fence?"
    edges = report.model.surroundings.areas_of("boundary")
    if not edges:
        words = "This file knows no edge of the property: nothing was held against one."
        return answer("land", question, lead=same(words))
    things = [thing_near(report, area.name, _edge(report, area)) for area in edges]
    lead = "The file has these edges of property that the mast may stand on (dashes and dots):"
    return answer("land", question, lead=same(lead), more=_anchors(report), things=things)


def _edge(report: Report, area: PlacedArea) -> Json:
    """Say where the mast stands, how near the edge is, and whether a fall crosses it."""
    base, is_area = report.fall_zone.circle.centroid, area.shape.area > 0
    line = area.shape.boundary if is_area else area.shape
    reached = bool(line.intersects(report.fall_zone.contact))
    inside = "in" if area.shape.contains(base) else "outside of"
    words = f"the mast stands {inside} it; " if is_area else ""
    words += "its edge is {away} from the foot of the mast, "
    words += "and a fall can reach over it" if reached else "out of reach of a fall in one piece"
    broken = [s for s in report.setbacks if s.name == area.name and s.margin < 0]
    needs = at_most(max((one.required for one in broken), default=0.0))
    words += "; a rule of this file asks for {needs}" if broken else ""
    return say(words, away=at_least(float(line.distance(base))), needs=needs)


def _anchors(report: Report) -> list[Json]:
    """Say which anchors stand outside of the property."""
    beyond = [
        one.subject.removesuffix(" and boundary")
        for one in report.findings
        if one.check == "anchor place"
        and one.status == "stop"
        and one.subject.endswith(" and boundary")
    ]
    return [same(f"Outside of it: {listed(beyond)}.")] if beyond else []
