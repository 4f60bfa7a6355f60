"""Texts that any file can hold."""

import re

_CONTROL = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\ud800-\udfff\ufffe\uffff]")


def printable(text: str) -> str:
    """Return a text without the signs that XML forbids; every script stays as it is."""
    return _CONTROL.sub(" ", text)
