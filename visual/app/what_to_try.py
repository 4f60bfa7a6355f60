"""What could be tried where something stops: turn the front, move the base, or change the rig."""

from collections.abc import Sequence
from typing import Any

from visual.checks import Finding

Json = dict[str, Any]

RIG = ("loads", "tow line", "mast buckling", "gin pole", "balance", "tow lever", "side stay")
"""Checks that hardly depend on where the mast stands, or on its bearing."""

WHATEVER_THE_BEARING = (("setback", "base to "), ("fall zone", ""), ("overhead line", "falling "))
"""Checks, with the beginning of what they are about, that turning the front does not change."""


def what_to_try(findings: Sequence[Finding]) -> Json:
    """Return a hint in words, and what it leads to.

    Parameters
    ----------
    findings : sequence of Finding
        All that was found.

    Returns
    -------
    dict
        ``text``, and ``first``: ``place``, ``bearing``, ``rig`` or, where nothing stops, empty.
    """
    stops = [one for one in findings if one.status == "stop"]
    if not stops:
        return {"text": _where_nothing_stops(findings), "first": ""}
    fixed = sum(map(_whatever_the_bearing, stops))
    if fixed:
        return {
            "text": f"Turning it would not help: {_so_many(fixed, len(stops))}.",
            "first": "place",
        }
    if all(one.check in RIG for one in stops):
        return {"text": "This hangs on the rig itself, not on where it stands.", "first": "rig"}
    return {"text": "Another bearing may do: look which ones work here.", "first": "bearing"}


def _whatever_the_bearing(finding: Finding) -> bool:
    return any(
        finding.check == check and finding.subject.startswith(subject)
        for check, subject in WHATEVER_THE_BEARING
    )


def _so_many(fixed: int, count: int) -> str:
    if fixed < count:
        return f"{fixed} of these {count} hold whatever the bearing"
    return f"{'it holds' if count == 1 else 'all of it holds'} whatever the bearing"


def _where_nothing_stops(findings: Sequence[Finding]) -> str:
    if any(one.status == "not checked" for one in findings):
        return "Nothing that could be checked stops it; look at what was not checked."
    return "Look at what needs care before you save it."
