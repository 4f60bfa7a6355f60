"""What a neighbour asks first: how high, what if it falls, what is seen, when, and whom to ask."""

from collections.abc import Set

from visual.checks import Finding, Report
from visual.page.finding_data import both_units, said_in_both
from visual.page.packing import Json

_FALLING = "falling mast to "


def brief_data(report: Report) -> Json:
    """Return the answers that the panel *In short* is made of.

    `falls` are the findings that say what a falling mast can reach, each by its number and in
    words: what it may reach first, and then the nearest.
    """
    mast, site = report.model.rig.mast, report.model.site.site
    lands = {one.name for one in report.model.surroundings.areas_of("boundary")}
    falls = [k for k, finding in enumerate(report.findings) if _is_of_a_fall(finding)]
    falls.sort(key=lambda k: report.findings[k].value or 0.0)
    falls.sort(key=lambda k: report.findings[k].status == "ok")
    return {
        "total": both_units(mast.total_height, "m"),
        "mast": both_units(mast.mast_height, "m"),
        "reach": both_units(report.fall_zone.circle_radius, "m"),
        "falls": [{"finding": k, "text": _words(report.findings[k], lands=lands)} for k in falls],
        "when": site.when,
        "contact": site.contact,
    }


def _words(finding: Finding, *, lands: Set[str]) -> Json:
    """Say in everyday words what is out of reach; anything else as the finding says it."""
    away = both_units(finding.value, finding.unit)
    if finding.status != "ok" or away is None:
        return said_in_both(finding.message)
    words = "{} from its foot, out of its reach"
    if finding.subject in lands:
        words = f"its edge is {words}"  # the mast may well stand in the middle of it
    if finding.check != "fall zone":
        words = "a fall towards it ends {} short of it"
    return {units: words.format(text) for units, text in away.items()}


def _is_of_a_fall(finding: Finding) -> bool:
    return finding.check == "fall zone" or finding.subject.startswith(_FALLING)
