"""Names as they may be shown: without signs that nobody sees and that turn round what follows."""

import unicodedata

_TURNING = frozenset("\u061c\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
"""Marks, embeddings, overrides and isolates of writing direction (Unicode Standard Annex 9). An
override in a name shows the numbers behind it backwards: 12.5 m as m 5.21."""


def plain_text(text: str) -> str:
    """Return a text in one line, without control signs and signs of writing direction.

    Letters of every script stay as they are.
    """
    kept = (one for one in text if one not in _TURNING)
    shown = (" " if unicodedata.category(one) in ("Cc", "Zl", "Zp") else one for one in kept)
    return "".join(shown).strip()
