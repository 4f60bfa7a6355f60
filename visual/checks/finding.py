"""A finding: one thing that was judged, and what came of it."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

Status = Literal["stop", "not checked", "caution", "ok"]

STATUSES: tuple[Status, ...] = ("stop", "not checked", "caution", "ok")
"""Worst first. "Not checked" ranks right after "stop": what nobody looked at may be one."""


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
    unit : str
        SI unit or ``"deg"``; empty for a pure number.
    margin : float or None
        Positive: how far inside the limit; negative: how far beyond it. Same unit.
    angle : float or None
        Raising angle at which the worst occurs. [deg]
    where : tuple of float or None
        Place in the local frame. [m]
    message : str
        One sentence for a person; for "not checked" the reason, otherwise what to change.
    basis : str
        Where the limit comes from.
    sense : {"", "at least", "at most"}
        Which way the limit counts, where the margin cannot tell: it may allow for a hair more.
    missing : str
        Key of the site file that would let it be checked, where only that is missing; else empty.
    """

    check: str
    subject: str
    status: Status
    value: float | None = None
    limit: float | None = None
    unit: str = ""
    margin: float | None = None
    angle: float | None = None
    where: tuple[float, float, float] | None = None
    message: str = ""
    basis: str = ""
    missing: str = ""
    sense: Literal["", "at least", "at most"] = ""

    @property
    def limit_word(self) -> str:
        """Which way the limit counts: "at least", "at most"; "limit" if that is not known."""
        if self.sense:
            return self.sense
        if self.value is None or self.limit is None or self.margin is None:
            return "limit"
        return limit_word(self.value, self.limit, self.margin)


def limit_word(value: float, limit: float, margin: float) -> str:
    """Return which way a limit counts, as the margin tells: "at least", "at most", or "limit"."""
    # a margin of certified distances is a hair off the difference, so the nearer one is meant
    least, most = abs(margin - (value - limit)), abs(margin - (limit - value))
    if least == most:
        return "limit"
    return "at least" if least < most else "at most"


def worst_first(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """Sort findings by status, then by margin over limit, so that metres and newtons compare."""
    return tuple(sorted(findings, key=lambda one: (STATUSES.index(one.status), _share_left(one))))


def _share_left(finding: Finding) -> float:
    """Return the margin as a share of the limit; the margin itself where there is no limit."""
    if finding.margin is None:
        return float("inf")
    return finding.margin / (abs(finding.limit or 0.0) or 1.0)
