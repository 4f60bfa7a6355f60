"""What a request asks for: plain values with the types they must have."""

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, cast

from visual.app.placing import Drag, What
from visual.errors import HillmastError
from visual.rig import SIDES, Side


class AskedError(HillmastError):
    """A request does not hold what it must; our own pages never send such a one."""


@dataclass(frozen=True)
class Asked:
    """The body of a request.

    Parameters
    ----------
    values : mapping of str to value
        As JSON gives them.
    """

    values: Mapping[str, Any]

    @classmethod
    def of(cls, body: bytes) -> "Asked":
        """Read a body; raises AskedError if it is no JSON object."""
        try:
            values = json.loads(body or b"{}")
        except (ValueError, RecursionError):
            values = None
        if not isinstance(values, dict):
            message = "the body is no JSON object"
            raise AskedError(message)
        return cls(values)

    def whole(self, name: str) -> int:
        """Return an integer."""
        value = self.values.get(name)
        if not isinstance(value, int) or isinstance(value, bool):
            raise _wrong(name)
        return value

    def number(self, name: str) -> float:
        """Return a finite number no larger than a million."""
        value = self.values.get(name)
        if not isinstance(value, int | float) or isinstance(value, bool):
            raise _wrong(name)
        if not math.isfinite(value) or abs(value) > 1e6:
            raise _wrong(name)
        return float(value)

    def text(self, name: str, default: str = "") -> str:
        """Return a text of at most 500 characters."""
        value = self.values.get(name, default)
        if not isinstance(value, str) or len(value) > 500:
            raise _wrong(name)
        return value

    def switch(self, name: str) -> bool:
        """Return true or false; false if left out."""
        value = self.values.get(name, False)
        if not isinstance(value, bool):
            raise _wrong(name)
        return value

    def vector(self, name: str) -> tuple[float, float, float]:
        """Return three numbers."""
        parts = self.values.get(name)
        if not isinstance(parts, list) or len(parts) != 3:
            raise _wrong(name)
        x, y, z = (Asked({name: part}).number(name) for part in parts)
        return x, y, z

    def texts(self, name: str) -> dict[str, str]:
        """Return texts by name, at most 100."""
        return {key: Asked({key: text}).text(key) for key, text in self._mapping(name).items()}

    def tables(self, name: str) -> dict[str, Any]:
        """Return entries by key: each a table of plain values, or None to take one out."""
        found = self._mapping(name)
        for value in found.values():
            if value is not None and not isinstance(value, dict):
                raise _wrong(name)
            for part in (value or {}).values():
                if not isinstance(part, str | int | float | bool):
                    raise _wrong(name)
        return found

    def drag(self) -> Drag:
        """Return what was dragged where."""
        what, side = self.text("what"), self.values.get("side")
        if what not in ("base", "front", "anchor") or (what == "anchor" and side not in SIDES):
            raise _wrong(what or "drag")
        return Drag(
            what=cast("What", what),
            side=cast("Side", side) if what == "anchor" else None,
            x=self.number("x"),
            y=self.number("y"),
            level=self.switch("level"),
        )

    def _mapping(self, name: str) -> dict[str, Any]:
        found = self.values.get(name)
        if not isinstance(found, dict) or len(found) > 100:
            raise _wrong(name)
        return found


def _wrong(name: str) -> AskedError:
    return AskedError(f"{name[:40]!r} is missing or not of the right kind")
