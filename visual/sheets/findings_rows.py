"""The rows of the findings sheet: what was judged, how sure it is, and what nobody looked at."""

import re
from collections.abc import Iterator
from dataclasses import dataclass

from visual.checks import Finding, Report
from visual.checks.finding import STATUSES, Status
from visual.crew.wire_schedule import wire_schedule
from visual.errors import HeightUnknownError
from visual.model import Model, wire_name
from visual.model.wires import is_measured
from visual.rig import SIDES
from visual.scene.style import BLUE, GREEN, RGB, VERMILION
from visual.sheets.field_rows import opened
from visual.units import UnitSystem, format_quantity

_HYPHEN = re.compile(r"(?<![\w.)])-(?=\d)")

FINAL, PROVISIONAL = "final", "provisional"

SIGNS: dict[Status, tuple[str, RGB]] = {
    "stop": ("STOP", VERMILION),
    "not checked": ("NOT CHECKED", BLUE),
    "caution": ("caution", (150, 96, 0)),
    "ok": ("ok", GREEN),
}
"""Word and ink of each status; the word alone says it."""

NEVER_CHECKED = (
    "Whether the ground holds the anchors and the base: soil, rock, frost, fill.",
    "Strength of foundation, base plate, hinge, joints, collars, anchors and shackles.",
    "Wind and ice on the standing mast; gusts along the raise; jerks of the line.",
    "What lies in the ground: cables, pipes, drains.",
    "Soft ground, mud and cross slope on the lane.",
    "Anything that is not in the data: fences, new buildings, lines put up since, grown trees.",
    "Which rules apply here, and whether a permit is needed. Ask the authority.",
)
"""What the program never looks at; one line each."""


@dataclass(frozen=True)
class FindingRow:
    """One finding as it is printed.

    Parameters
    ----------
    status : {"stop", "not checked", "caution", "ok"}
        What came of it.
    check, subject : str
        What was judged.
    found, limit, margin, angle : str
        Numbers with their units; empty where there are none.
    standing : {"final", "provisional", ""}
        How sure it is; empty where nobody looked.
    message, basis : str
        What to do, and where the limit comes from.
    """

    status: Status
    check: str
    subject: str
    found: str
    limit: str
    margin: str
    angle: str
    standing: str
    message: str
    basis: str


def finding_rows(report: Report, *, units: UnitSystem) -> tuple[FindingRow, ...]:
    """Return every finding, worst first."""
    return tuple(_row(report.model, finding, units) for finding in report.findings)


def _row(model: Model, finding: Finding, units: UnitSystem) -> FindingRow:
    angle = "" if finding.angle is None else f"{finding.angle:z.1f}°"
    return FindingRow(
        status=finding.status,
        check=finding.check,
        subject=finding.subject,
        found=minus(finding.value_text(units)),
        limit=minus(finding.limit_text(units)),
        margin=minus(finding.margin_text(units)),
        angle=minus(angle),
        standing="" if finding.status == "not checked" else standing_of(model, finding),
        message=minus(finding.message.in_units(units)),
        basis=finding.basis,
    )


def minus(text: str) -> str:
    """Return a text with proper minus signs before its numbers."""
    return _HYPHEN.sub("−", text)


def standing_of(model: Model, finding: Finding) -> str:
    """Return whether a finding is final: all it rests on was measured.

    A finding on one anchor or its wires needs that anchor only; every other one needs them all.
    """
    if not model.provisional:
        return FINAL
    named = [side for side in SIDES if _is_about(model, finding.subject, side)]
    return FINAL if named and all(is_measured(model, side) for side in named) else PROVISIONAL


def _is_about(model: Model, subject: str, side: str) -> bool:
    levels = range(len(model.rig.mast.collars))
    wires = [f"wire {wire_name(model, one, k)}" for one in SIDES if one == side for k in levels]
    return subject in (*wires, f"{side} anchor", f"{side} side stay")


def counts(report: Report) -> dict[Status, int]:
    """Return how many findings there are of each status, worst first."""
    return {
        status: sum(finding.status == status for finding in report.findings) for status in STATUSES
    }


def verdict(report: Report) -> str:
    """Return what the findings come to, in one sentence."""
    found = counts(report)
    if found["stop"]:
        return "Do not raise like this."
    if found["not checked"]:
        return "Nothing found that stops the raise; but not everything was checked."
    if found["caution"]:
        return "Nothing found that stops the raise; look at the cautions first."
    return "Nothing found that stops the raise."


def standing_words(report: Report, *, units: UnitSystem) -> str:
    """Say what the numbers rest on, and how far off they may be."""
    model = report.model
    sigma = format_quantity(float(model.ground.accuracy_at(0.0, 0.0)), "m", units)
    if not model.provisional:
        return (
            f"Final: all anchors are measured. Ground heights ± {sigma} (one standard deviation)."
        )
    planned = [side for side in SIDES if not is_measured(model, side)]
    which = "all anchors are" if len(planned) == len(SIDES) else f"{' and '.join(planned)} still"
    return (
        f"Provisional: {which} planned, not measured. Ground heights ± {sigma} (one standard "
        "deviation). Check again with the anchors as built."
    )


def not_checked_lines(report: Report, *, units: UnitSystem) -> tuple[str, ...]:
    """Return what was not checked on this site, and why, one sentence each."""
    return tuple(_unlooked(report, units))


def _unlooked(report: Report, units: UnitSystem) -> Iterator[str]:
    for finding in report.findings:
        if finding.status == "not checked":
            yield f"{opened(finding.subject)}: {minus(finding.message.in_units(units))}."
    yield from _loose_wires(report)


def _loose_wires(report: Report) -> Iterator[str]:
    """Yield a line where turnbuckles may not take up what the survey leaves open."""
    try:
        rows = wire_schedule(report.model).rows
    except HeightUnknownError:
        return
    short = [row.wire.name for row in rows if row.take_up != "enough"]
    if short:
        yield f"Wires {', '.join(short)}: the turnbuckle may not take up the ± of the ground."
