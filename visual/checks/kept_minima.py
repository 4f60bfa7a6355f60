"""Certified minima that are kept: of what does not change from one model to the next.

What is kept is found by content, never by name: a part by the numbers that it is made of, an
obstacle by its surface. So what comes out is what a search would find.
"""

import hashlib
from collections import OrderedDict
from collections.abc import Hashable, Sequence
from typing import Protocol

from visual.checks.clearance import Closest, certified_minima_of_all
from visual.checks.shapes import Shape
from visual.checks.sweep import MovingPart

Minima = tuple[tuple[Closest, ...], ...]
"""The smallest distance of each part to each obstacle."""

MOST = 30
"""Searches that are kept: three or so for each of the last models."""


class MinimaOf(Protocol):
    """What finds the certified minima of parts to shapes; see `certified_minima_of_all`."""

    def __call__(
        self,
        parts: Sequence[MovingPart],
        shapes: Sequence[Shape],
        *,
        spans: Sequence[tuple[float, float]],
        only: Sequence[int] | None = None,
    ) -> Minima:
        """Return the minima."""


class KeptMinima:
    """A `MinimaOf` that searches again only where a part or an obstacle is another.

    A search is kept as a whole: on its way it compares all its parts and obstacles, so that part
    of it would not find the same to the last bit.
    """

    def __init__(self) -> None:
        self._kept: OrderedDict[Hashable, Minima] = OrderedDict()

    def __call__(
        self,
        parts: Sequence[MovingPart],
        shapes: Sequence[Shape],
        *,
        spans: Sequence[tuple[float, float]],
        only: Sequence[int] | None = None,
    ) -> Minima:
        """Return the minima of `certified_minima_of_all`."""
        if not all(part.made_of for part in parts):
            return certified_minima_of_all(parts, shapes, spans=spans, only=only)
        made_of = tuple((part.name, part.radius, part.made_of) for part in parts)
        held = None if only is None else tuple(only)
        key = (made_of, tuple(spans), held, _surface(shapes))
        if key not in self._kept:
            self._kept[key] = certified_minima_of_all(parts, shapes, spans=spans, only=only)
            if len(self._kept) > MOST:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        return self._kept[key]


def _surface(shapes: Sequence[Shape]) -> bytes:
    """Return a digest of the surfaces of shapes, in their order."""
    digest = hashlib.blake2b(digest_size=16)
    for shape in shapes:
        arrays = (shape.triangles, shape.segments, shape.outline)
        sizes = [array.shape for array in arrays]
        digest.update(repr((shape.radius, shape.bottom, shape.top, sizes)).encode())
        for array in arrays:
            digest.update(array.tobytes())
    return digest.digest()
