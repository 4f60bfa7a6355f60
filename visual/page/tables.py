"""Tables of the page: distances and rules for the permit office, wires and anchors for the crew.

Numbers are in full, as in the findings.
"""

from visual.checks import Finding, Report
from visual.page.crew_tables import anchors_table, watch_table, wires_table
from visual.page.finding_data import both_units, said_in_both
from visual.page.packing import Json
from visual.page.plain_table import Cell, table
from visual.page.reader_sizes import listed

KIND_WORDS = {
    "boundary": "edge of the property",
    "overhead_line": "overhead line",
    "keep_out": "place to keep out of",
    "viewpoint": "place somebody looks from",
}
"""Kinds of surroundings that are not called what they are."""

_FROM = {
    "base": "foot of the mast (base), level",
    "anchors": "nearest anchor, level",
    "nearest part": "nearest wire to an anchor, or the rotor; level, mast standing",
    "falling mast": "a mast falling straight at it, through the air",
}
_MOVING = "{}, the nearest while it is raised; through the air"


def distances_to_keep(report: Report) -> list[Finding]:
    """Return the findings on distances that a rule or a table asks for."""
    return [one for one in report.findings if one.check in ("setback", "overhead line")]


def distances_table(report: Report) -> Json:
    """Return every distance that a rule or a table asks for: needs, is, from where, rule."""
    head = ("from what", "needs", "is", "measured from", "verdict", "rule")
    rows = [_distance(report, one) for one in distances_to_keep(report)]
    rows.sort(key=lambda row: str(row[0]))
    note = "" if rows else "This file holds no rule for distances, and no overhead line."
    return table("Distances to keep", head, rows, note)


def _distance(report: Report, finding: Finding) -> list[Cell]:
    origin, to, name = finding.subject.partition(" to ")
    if not to:  # a rule that met nothing of its kind
        kind = KIND_WORDS.get(origin, origin.replace("_", " "))
        return [f"any {kind}", "–", "none known", "–", finding.status, finding.basis]
    where = _FROM.get(origin, _MOVING.format(origin))
    needs, found = both_units(finding.limit, finding.unit), both_units(finding.value, finding.unit)
    kind = _kind_of(report, name, finding)
    what = name if kind in name else f"{name} ({kind})"
    return [what, needs or "unknown", found or "unknown", where, finding.status, finding.basis]


def _kind_of(report: Report, name: str, finding: Finding) -> str:
    if finding.check == "overhead line":
        return KIND_WORDS["overhead_line"]
    kinds = [one.to for one in report.setbacks if one.name == name and one.basis == finding.basis]
    return KIND_WORDS.get(kinds[0], kinds[0].replace("_", " ")) if kinds else "land"


def rules_table(report: Report) -> Json:
    """Return each source that a limit comes from, once, with the checks that used it."""
    used: dict[str, list[Finding]] = {}
    for one in report.findings:
        if one.basis:
            used.setdefault(one.basis, []).append(one)
    rows = sorted(
        [basis, listed(sorted({one.check for one in those})), str(len(those))]
        for basis, those in used.items()
    )
    head = ("rule, and where it comes from", "used for", "findings")
    return table("Rules used, with their sources", head, rows)


def unchecked_table(report: Report) -> Json:
    """Return what could have been checked and was not, with the reason."""
    rows: list[list[Cell]] = [
        [one.subject, said_in_both(one.message)]
        for one in report.findings
        if one.status == "not checked"
    ]
    return table("Could not be checked here", ("of what", "why"), rows)


def tables_data(report: Report) -> Json:
    """Return the tables by name."""
    made = {
        "distances": distances_table(report),
        "rules": rules_table(report),
        "unchecked": unchecked_table(report),
        "wires": wires_table(report),
        "anchors": anchors_table(report),
        "watch": watch_table(report),
    }
    return {name: one for name, one in made.items() if one["rows"] or one["note"]}
