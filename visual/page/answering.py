"""One answer of *In short*, as plain data."""

from collections.abc import Iterable, Sequence

from visual.page.packing import Json


def answer(
    key: str,
    question: str,
    *,
    lead: Json,
    more: Iterable[Json] = (),
    things: Sequence[Json] = (),
) -> Json:
    """Return an answer.

    Parameters
    ----------
    key : str
        Name of the answer, for the viewer and for tests.
    question : str
        As a neighbour asks.
    lead : mapping
        The answer in a sentence, in both systems of units.
    more : iterable of mapping
        What must be said besides.
    things : sequence of mapping
        Things around: `name`, `status`, `text` in both systems of units, and the number of the
        `finding` that leads there, or None.
    """
    return {
        "key": key,
        "question": question,
        "lead": lead,
        "more": list(more),
        "things": list(things),
    }
