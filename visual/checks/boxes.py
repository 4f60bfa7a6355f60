"""The boxes that the clearance search cuts moving parts into.

A box is a stretch of a part over an interval of raising angles. The search halves it, in the angle
or along the part, until what can happen in it is known.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from visual.checks.sweep import Floats, Integers, MovingPart

_ROUND_OFF = 1e-9
"""By so much of itself, and in metres, a speed may seem broken through round-off alone."""


@dataclass(frozen=True, eq=False)
class Boxes:
    """Stretches of parts over intervals of raising angle.

    Parameters
    ----------
    part : ndarray of int, shape (k,)
        Number of the part.
    angles : ndarray, shape (3, k)
        First, middle and last angle. [rad]
    share : ndarray, shape (2, k)
        Where the stretch begins and ends along the part, 0 … 1.
    ends : ndarray, shape (3, k, 2, 3)
        Ends of the whole part at the three angles. [m]
    reach : ndarray, shape (2, k, 2)
        How far they move at most, up to the middle and from there on. [m]
    """

    part: Integers
    angles: Floats
    share: Floats
    ends: Floats
    reach: Floats

    def __len__(self) -> int:
        return len(self.part)

    @property
    def width(self) -> Floats:
        """Last angle less first, shape (k,) [rad]."""
        width: Floats = self.angles[2] - self.angles[0]
        return width

    @property
    def whole_reach(self) -> Floats:
        """How far both ends of the part move at most over the interval, shape (k, 2) [m]."""
        whole: Floats = self.reach[0] + self.reach[1]
        return whole

    @property
    def half_way(self) -> Floats:
        """Ends of the stretches at the middle angle, shape (k, 2, 3) [m]."""
        first, last = self.ends[1, :, 0], self.ends[1, :, 1]
        return np.stack([(1 - s) * first + s * last for s in self.share[..., np.newaxis]], axis=1)

    def take(self, which: Integers | NDArray[np.bool_]) -> "Boxes":
        """Pick some of the boxes."""
        return Boxes(
            self.part[which],
            self.angles[:, which],
            self.share[:, which],
            self.ends[:, which],
            self.reach[:, which],
        )


def first_boxes(
    parts: Sequence[MovingPart], spans: Sequence[tuple[float, float]], count: int
) -> Boxes:
    """Cut each arc into equal intervals, with its first and last angle as ones of no width.

    Parameters
    ----------
    parts : sequence of MovingPart
        What moves.
    spans : sequence of tuple of float
        First and last angle of each. [rad]
    count : int
        Intervals to the longest arc; as many fewer to a shorter one, at least one.
    """
    longest = max((end - start for start, end in spans), default=0.0) or 1.0
    counts = [max(1, math.ceil(count * (end - start) / longest)) for start, end in spans]
    parted = [_cut(*span, number) for span, number in zip(spans, counts, strict=True)]
    part = np.repeat(np.arange(len(parts)), [angles.shape[1] for angles in parted])
    angles = np.concatenate(parted, axis=1)
    share = np.repeat([[0.0], [1.0]], len(part), axis=1)
    return _boxes(parts, part, angles, share, [_ends(parts, part, a) for a in angles])


def joined(boxes: Sequence[Boxes]) -> Boxes:
    """Put boxes one after the other."""
    return Boxes(
        np.concatenate([one.part for one in boxes]),
        *(
            np.concatenate([getattr(one, name) for one in boxes], axis=1)
            for name in ("angles", "share", "ends", "reach")
        ),
    )


def halved_in_angle(parts: Sequence[MovingPart], boxes: Boxes) -> Boxes:
    """Halve intervals: the halves of box i are i and i + k."""
    low, middle, high = boxes.angles
    quarter, three = (low + middle) / 2, (middle + high) / 2
    part, share = np.tile(boxes.part, 2), np.tile(boxes.share, 2)
    angles = np.concatenate([[low, quarter, middle], [middle, three, high]], axis=1)
    at_low, at_middle, at_high = boxes.ends
    new = _ends(parts, part, angles[1])
    ends = [np.concatenate([at_low, at_middle]), new, np.concatenate([at_middle, at_high])]
    return _boxes(parts, part, angles, share, ends)


def halved_along(boxes: Boxes) -> Boxes:
    """Halve stretches: the halves of box i are i and i + k."""
    begin, stop = boxes.share
    middle = (begin + stop) / 2
    return Boxes(
        np.tile(boxes.part, 2),
        np.tile(boxes.angles, 2),
        np.concatenate([[begin, middle], [middle, stop]], axis=1),
        np.tile(boxes.ends, (1, 2, 1, 1)),
        np.tile(boxes.reach, (1, 2, 1)),
    )


def half_widths(parts: Sequence[MovingPart], boxes: Boxes) -> Floats:
    """Half the width squared, B², of each end's ellipsoid in each interval, shape (k, 2) [m²].

    Raises
    ------
    ValueError
        If an end moves farther than its speed allows.
    """
    reach = boxes.whole_reach
    chord = boxes.ends[2] - boxes.ends[0]
    chords = np.sqrt(dots(chord, chord))
    if (chords > reach * (1 + _ROUND_OFF) + _ROUND_OFF).any():
        worst = np.unravel_index(np.argmax(chords - reach), chords.shape)
        angle, name = np.degrees(boxes.angles[1, worst[0]]), parts[boxes.part[worst[0]]].name
        message = f"{name} moves faster than its bound {reach[worst]:g} m near {angle:.3f}°"
        raise ValueError(message)
    squared: Floats = np.maximum(reach**2 - chords**2, 0.0) / 4
    return squared


def _cut(start: float, end: float, count: int) -> Floats:
    """Return first, middle and last angle of equal intervals and of both ends, shape (3, k)."""
    nodes = np.linspace(start, end, 2 * count + 1)
    even = np.arange(0, 2 * count, 2)
    rows = np.stack([np.r_[even + shift, 0, 2 * count] for shift in range(3)])
    rows[:, -2:] = 0, 2 * count
    return np.asarray(nodes[rows])


def _boxes(
    parts: Sequence[MovingPart],
    part: Integers,
    angles: Floats,
    share: Floats,
    ends: Sequence[Floats],
) -> Boxes:
    """Make boxes of what is known, and how far their ends move."""
    reach = np.empty((2, len(part), 2))
    for number in np.flatnonzero(np.bincount(part)).tolist():
        of_this = part == number
        low, middle, high = angles[:, of_this]
        travel = parts[number].travel
        reach[:, of_this] = travel(low, middle), travel(middle, high)
    return Boxes(part, angles, share, np.stack(ends), reach)


def _ends(parts: Sequence[MovingPart], part: Integers, angles: Floats) -> Floats:
    """Return both ends of parts at angles, shape (k, 2, 3)."""
    ends = np.empty((len(part), 2, 3))
    for number in np.flatnonzero(np.bincount(part)).tolist():
        of_this = part == number
        ends[of_this] = _place(parts[number], angles[of_this])
    return ends


def _place(part: MovingPart, angles: Floats) -> Floats:
    places = np.asarray(part.ends(angles), dtype=np.float64)
    if places.shape != (len(angles), 2, 3) or not np.isfinite(places).all():
        message = f"{part.name}: its ends must be finite, shape ({len(angles)}, 2, 3)"
        raise ValueError(message)
    return places


def halved(
    parts: Sequence[MovingPart], boxes: Boxes, along: NDArray[np.bool_]
) -> tuple[Boxes, Integers]:
    """Halve boxes along the part or in the angle; and say where both halves of each are."""
    pieces, places, offset = [], np.empty((2, len(boxes)), dtype=np.int64), 0
    for mask in (along, ~along):
        some = np.flatnonzero(mask)
        taken = boxes.take(some)
        pieces.append(halved_along(taken) if mask is along else halved_in_angle(parts, taken))
        places[:, some] = offset + np.arange(2 * len(some)).reshape(2, -1)
        offset += 2 * len(some)
    return joined(pieces), places


def share_along(segments: Floats, points: Floats) -> Floats:
    """Return where points lie along their segments, 0 … 1."""
    along = segments[:, 1] - segments[:, 0]
    length = np.maximum(dots(along, along), np.finfo(np.float64).tiny)
    return np.asarray(np.clip(dots(points - segments[:, 0], along) / length, 0.0, 1.0))


def dots(first: Floats, second: Floats) -> Floats:
    """Return the scalar products of vectors, shape (..., 3)."""
    # Sums over three are quickest written out.
    products = first * second
    return np.asarray(products[..., 0] + products[..., 1] + products[..., 2])
