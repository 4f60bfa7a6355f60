"""What a neighbour asks first: how high, what if it falls, what is seen, when, and whom to ask."""

from visual.checks import Finding, Report
from visual.page.finding_data import both_units
from visual.page.packing import Json

_FALLING = "falling mast to "


def brief_data(report: Report) -> Json:
    """Return the answers that the panel *In short* is made of.

    `falls` are numbers of findings: those that say what a falling mast can reach, what stops first
    and then the nearest.
    """
    mast, site = report.model.rig.mast, report.model.site.site
    falls = [k for k, finding in enumerate(report.findings) if _is_of_a_fall(finding)]
    falls.sort(key=lambda k: report.findings[k].value or 0.0)
    falls.sort(key=lambda k: report.findings[k].status == "ok")
    return {
        "total": both_units(mast.total_height, "m"),
        "mast": both_units(mast.mast_height, "m"),
        "reach": both_units(report.fall_zone.circle_radius, "m"),
        "falls": falls,
        "when": site.when,
        "contact": site.contact,
    }


def _is_of_a_fall(finding: Finding) -> bool:
    return finding.check == "fall zone" or finding.subject.startswith(_FALLING)
