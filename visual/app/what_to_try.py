"""What could be tried where something stops: turn the front, move the base, or change the rig.

What was looked at already, and still holds, is not advised again.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal

from visual.checks import Finding

Json = dict[str, Any]
Lead = Literal["place", "bearing", "rig", "findings", ""]
"""What an advice leads to; empty where nothing stops."""

RIG = ("loads", "tow line", "mast buckling", "gin pole", "balance", "tow lever", "side stay")
"""Checks that hardly depend on where the mast stands, or on its bearing."""

WHATEVER_THE_BEARING = (("setback", "base to "), ("fall zone", ""), ("overhead line", "falling "))
"""Checks, with the beginning of what they are about, that turning the front does not change."""


@dataclass(frozen=True)
class Known:
    """What search and rose have found for the state of the site that is judged.

    Parameters
    ----------
    bearings : tuple of int or None
        How many bearings work at this very spot, and how many were looked at; None without a rose
        of it.
    places : tuple of int or None
        How many places of the list pass the full check, and how many are on it; None without a
        search that holds.
    everywhere : bool
        True if that search looked at all of the land, to its end.
    """

    bearings: tuple[int, int] | None = None
    places: tuple[int, int] | None = None
    everywhere: bool = False


NOTHING_KNOWN = Known()


def known_of(search: Json | None, rose: Json | None, *, whole: bool) -> Known:
    """Return what is known from a search and a rose that hold; None where there is none.

    `whole` tells whether the search was to look at all of the land.
    """
    places = bearings = None
    if search is not None:
        passing = sum(place["stops"] == 0 for place in search["places"])
        places = passing, len(search["places"])
    if rose is not None:
        works = 0 if rose["place"] else sum(one["works"] for one in rose["bearings"])
        bearings = works, len(rose["bearings"])
    everywhere = whole and search is not None and search["complete"] and not search["works"]
    return Known(bearings=bearings, places=places, everywhere=everywhere)


def what_to_try(findings: Sequence[Finding], known: Known = NOTHING_KNOWN) -> Json:
    """Return a hint in words, and what it leads to.

    Parameters
    ----------
    findings : sequence of Finding
        All that was found.
    known : Known
        What was looked at already.

    Returns
    -------
    dict
        ``text``; ``first``: a `Lead`; ``ways``: what can be done, each with its ``lead`` and
        ``word``, the first one first.
    """
    stops = [one for one in findings if one.status == "stop"]
    if not stops:
        look = any(one.status in ("caution", "not checked") for one in findings)
        ways = [_way("findings", "See what to look at")] if look else []
        return {"text": _where_nothing_stops(findings), "first": "", "ways": ways}
    text, first = _advice(stops, known)
    return {"text": text, "first": first, "ways": _ways(first, known)}


def _advice(stops: Sequence[Finding], known: Known) -> tuple[str, Lead]:
    rig = sum(one.check in RIG for one in stops)
    if rig == len(stops):
        return "This hangs on the rig itself, not on where it stands.", "rig"
    fixed = sum(map(_whatever_the_bearing, stops))
    if known.bearings is not None and known.bearings[0] == 0:
        why = f"No bearing works here: {known.bearings[1]} were looked at."
    elif fixed:
        why = f"Turning it would not help: {_so_many(fixed, len(stops))}."
    else:
        return _turn(known) + (f" {_on_the_rig(rig, len(stops))}" if rig else ""), "bearing"
    return _move(why, known)


def _turn(known: Known) -> str:
    if known.bearings is None:
        return "Another bearing may do: look which ones work here."
    works, looked = known.bearings
    return f"Another bearing may do: {works} of the {looked} that were looked at work here."


def _move(why: str, known: Known) -> tuple[str, Lead]:
    """Return what to do where turning does not help."""
    if known.places is None:
        return why, "place"
    passing, listed = known.places
    if passing:
        found = "1 place was" if passing == 1 else f"{passing} places were"
        return f"{why} {found} found where nothing stops.", "place"
    if listed:
        return f"{why} Something stops the best other places too: it may be the rig.", "rig"
    if known.everywhere:
        return f"{why} Nowhere on this land does any bearing work: it takes another rig.", "rig"
    return f"{why} Nothing was found where it was searched: look farther.", "place"


def _ways(first: Lead, known: Known) -> list[Json]:
    """Return what to offer: the first one, and the others that are not known to be in vain."""
    offered = [
        _way("rig", "Change the rig") if first == "rig" else None,
        _place_way(known),
        _bearing_way(known),
        _way("findings", "See what stops it"),
    ]
    ways = [one for one in offered if one is not None]
    return sorted(ways, key=lambda one: one["lead"] != first)


def _place_way(known: Known) -> Json | None:
    if known.places is None:
        return _way("place", "Look for another place")
    if known.places[1]:
        return _way("place", "See the places found")
    return None if known.everywhere else _way("place", "Look farther")


def _bearing_way(known: Known) -> Json | None:
    if known.bearings is None:
        return _way("bearing", "Try the bearings here")
    return _way("bearing", "See the bearings that work") if known.bearings[0] else None


def _way(lead: Lead, word: str) -> Json:
    return {"lead": lead, "word": word}


def _whatever_the_bearing(finding: Finding) -> bool:
    return any(
        finding.check == check and finding.subject.startswith(subject)
        for check, subject in WHATEVER_THE_BEARING
    )


def _so_many(fixed: int, count: int) -> str:
    if fixed < count:
        return f"{fixed} of these {count} hold whatever the bearing"
    return f"{'it holds' if count == 1 else 'all of it holds'} whatever the bearing"


def _on_the_rig(rig: int, count: int) -> str:
    return f"{rig} of these {count} {'hangs' if rig == 1 else 'hang'} on the rig itself."


def _where_nothing_stops(findings: Sequence[Finding]) -> str:
    if any(one.status == "not checked" for one in findings):
        return "Nothing that could be checked stops it; look at what was not checked."
    return "Look at what needs care before you save it."
