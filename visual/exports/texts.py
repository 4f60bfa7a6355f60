"""Texts that any file can hold, whatever is in the names of a site."""

import re
from collections.abc import Mapping

from visual.exports.drawing import Value

_CONTROL = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufffe\uffff]+")

_FORMULA = ("=", "+", "-", "@")


def one_line(text: str) -> str:
    """Return a text with a space for line breaks and for signs that files cannot hold.

    Every script stays as it is.
    """
    return _CONTROL.sub(" ", text)


def one_line_each(attributes: Mapping[str, Value]) -> dict[str, Value]:
    """Return attributes whose texts are `one_line`."""
    return {k: one_line(v) if isinstance(v, str) else v for k, v in attributes.items()}


def shortened(text: str, most: int) -> str:
    """Return a text of at most so many signs; a longer one ends in an ellipsis."""
    return text if len(text) <= most else f"{text[: most - 1]}…"


def no_formula(text: str) -> str:
    """Return a text that a spreadsheet shows and does not work out."""
    return f"'{text}" if text.lstrip().startswith(_FORMULA) else text
