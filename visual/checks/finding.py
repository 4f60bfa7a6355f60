"""A finding: one thing that was judged, and what came of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from visual.units import Rounding, Sentence, UnitSystem, format_quantity

Status = Literal["stop", "not checked", "caution", "ok"]

Bound = Literal["at least", "at most", ""]

STATUSES: tuple[Status, ...] = ("stop", "not checked", "caution", "ok")
"""Worst first. "Not checked" ranks right after "stop": what nobody looked at may be one."""

_NOTHING = Sentence()


@dataclass(frozen=True)
class Finding:
    """One judged thing.

    Parameters
    ----------
    check : str
        Which check, in plain words: ``"clearance"``, ``"setback"``, ``"wire angle"`` …
    subject : str
        What was judged, e.g. ``"mast to barn"``.
    status : {"stop", "not checked", "caution", "ok"}
        What came of it.
    value, limit : float or None
        What was found and what it was held against, in `unit`.
    bound : {"at least", "at most", ""}
        Which way the limit counts; empty without a limit.
    unit : str
        SI unit or ``"deg"``; empty for a pure number.
    margin : float or None
        Positive: how far inside the limit; negative: how far beyond it. Same unit.
    angle : float or None
        Raising angle at which the worst occurs. [deg]
    where : tuple of float or None
        Place in the local frame. [m]
    message : Sentence
        One sentence for a person; for "not checked" the reason, otherwise what to change.  It
        has no units until it is put into words.
    basis : str
        Where the limit comes from.
    missing : str
        Key of the site file that would let it be checked, where only that is missing; else empty.
    """

    check: str
    subject: str
    status: Status
    value: float | None = None
    limit: float | None = None
    bound: Bound = ""
    unit: str = ""
    margin: float | None = None
    angle: float | None = None
    where: tuple[float, float, float] | None = None
    message: Sentence = _NOTHING
    basis: str = ""
    missing: str = ""

    def value_text(self, units: UnitSystem) -> str:
        """Return the value for a person; empty if there is none."""
        return self._text(self.value, units)

    def limit_text(self, units: UnitSystem) -> str:
        """Return the limit for a person; empty if there is none."""
        return self._text(self.limit, units)

    def bound_text(self, units: UnitSystem) -> str:
        """Return the limit and which way it counts, for a person; empty if there is none."""
        return f"{self.bound} {self.limit_text(units)}".strip()

    def margin_text(self, units: UnitSystem) -> str:
        """Return the margin for a person, no larger than it is; empty if there is none."""
        return self._text(self.margin, units, "down")

    def _text(self, value: float | None, units: UnitSystem, rounding: Rounding = "nearest") -> str:
        if value is None:
            return ""
        return format_quantity(value, self.unit, units, rounding=rounding)


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings by status, then by margin over limit, so that metres and newtons compare."""
    return tuple(sorted(findings, key=lambda one: (STATUSES.index(one.status), _share_left(one))))


def _share_left(finding: Finding) -> float:
    """Return the margin as a share of the limit; the margin itself where there is no limit."""
    if finding.margin is None:
        return float("inf")
    return finding.margin / (abs(finding.limit or 0.0) or 1.0)
