"""What a neighbour asks first, answered in everyday words and round numbers."""

from collections.abc import Iterator

from visual.checks import Report
from visual.page.answering import answer
from visual.page.brief_around import how_far, whose_land
from visual.page.brief_fall import can_it_fall, if_a_wire_breaks, must_keep_away
from visual.page.brief_mast import how_high, what_is_it
from visual.page.brief_seen import what_is_seen
from visual.page.glossary import glossary_data
from visual.page.not_checked import NEVER, unknown_here
from visual.page.packing import Json
from visual.page.reader_sizes import same
from visual.page.tables import distances_to_keep
from visual.page.verdict_words import verdict_words

_SENDER = "whoever sent you this file"


def brief_data(report: Report) -> Json:
    """Return what the panel *In short*, and the first page on paper, are made of.

    Texts are in both systems of units. An answer has its question, a `lead`, and may have `more`
    sentences and a `list` of things around, each with the number of its finding or None.
    """
    return {
        "verdict": verdict_words(report),
        "answers": list(_answers(report)),
        "never": list(NEVER),
        "unknown": unknown_here(report),
        "words": glossary_data(),
    }


def _answers(report: Report) -> Iterator[Json]:
    yield what_is_it(report)
    yield how_high(report)
    yield how_far(report)
    yield can_it_fall(report)
    yield if_a_wire_breaks(report)
    yield what_is_seen(report)
    yield must_keep_away(report, when=_when(report))
    yield is_it_allowed(report)
    yield whose_land(report)
    yield answer("ask", "Whom can I ask?", lead=same(_sentence(_contact(report))))


def is_it_allowed(report: Report) -> Json:
    """Say that this is no permit, and how the rules of the file came out."""
    more = [
        _rules(report),
        "Whether these are all the rules, and the right ones, the permit office says; which office "
        "that is, this file does not know.",
    ]
    return answer(
        "allowed",
        "Is it allowed?",
        lead=same("This page is no permit, and cannot say."),
        more=[same(one) for one in more],
    )


def _rules(report: Report) -> str:
    """Say how many distances to keep, as in their table, are kept."""
    asked = [one for one in distances_to_keep(report) if one.value is not None]
    if not asked:
        return "This file holds no rule for distances that the plan was held against."
    broken = sum(one.status == "stop" for one in asked)
    held = f"{len(asked)} distances that it was held against, by the rules in this file and those "
    held += "for overhead lines"
    return f"The plan breaks {broken} of the {held}." if broken else f"The plan keeps all {held}."


def _when(report: Report) -> Json:
    when = report.model.site.site.when
    if when is None:
        return same(f"This file does not say; ask {_contact(report)}.")
    if report.stops:
        return same(f"Not as planned here. If all that is wrong is put right: {when}.")
    return same(_sentence(when))


def _contact(report: Report) -> str:
    return report.model.site.site.contact or _SENDER


def _sentence(words: str) -> str:
    """Return words of the site file with a capital and a full stop."""
    return f"{words[:1].upper()}{words[1:].rstrip('.')}."
