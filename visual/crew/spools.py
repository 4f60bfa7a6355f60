"""Which pieces of wire to cut from which spool, so that the least wire is bought or opened."""

import re
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, field

from visual.errors import InputError
from visual.units import parse_length

MOST_STEPS = 60_000
"""Steps of the search after which the best plan so far is returned, and said to be no more."""

_TINY = 1e-9  # [m] lengths nearer than this are equal


@dataclass(frozen=True)
class Spool:
    """A length in which a wire can be had.

    Parameters
    ----------
    length : float
        Wire on one spool. [m]
    count : int or None
        How many there are; None for as many as needed.
    wire : str or None
        Wire type; None for every type.
    """

    length: float
    count: int | None = None
    wire: str | None = None


@dataclass(frozen=True)
class Piece:
    """One piece to cut: the name of its wire, and its length [m]."""

    name: str
    length: float


@dataclass(frozen=True)
class OpenedSpool:
    """One spool and what is cut from it, longest first."""

    length: float
    pieces: tuple[Piece, ...]

    @property
    def left(self) -> float:
        """What stays on the spool. [m]"""
        return self.length - sum(piece.length for piece in self.pieces)


@dataclass(frozen=True)
class SpoolPlan:
    """How to cut one wire type.

    Parameters
    ----------
    wire : str
        The wire type.
    spools : tuple of OpenedSpool
        Every spool that is opened.
    exact : bool
        True if no other plan opens less wire, or as little on fewer spools; False if the search
        was given up before that was sure.
    """

    wire: str
    spools: tuple[OpenedSpool, ...]
    exact: bool

    @property
    def opened(self) -> float:
        """Wire on all opened spools together. [m]"""
        return sum(spool.length for spool in self.spools)

    @property
    def left(self) -> float:
        """What stays on the spools. [m]"""
        return sum(spool.left for spool in self.spools)


def parse_spool(text: str) -> Spool:
    """Return a spool from ``"100 m"``, ``"2 x 60 m"`` or ``"guy = 2 x 200 ft"``.

    Raises
    ------
    InputError
        If it cannot be read so.
    """
    match = re.fullmatch(r"\s*(?:([^=]+?)\s*=\s*)?(?:(\d+)\s*[x×]\s*)?(.+?)\s*", text)
    name, count, shown = match.groups() if match else (None, None, text)
    try:
        length = parse_length(float(shown) if re.fullmatch(r"[\d.]+", shown) else shown)
    except ValueError as error:
        rule, _, way_out = str(error).partition("; ")
        raise _refusal(text, rule, way_out) from None
    if length <= 0 or count == "0":
        raise _refusal(text, "a spool must have some wire on it", 'write it like "2 x 100 m"')
    return Spool(length=length, count=int(count) if count else None, wire=name)


def plan_spools(wire: str, pieces: Sequence[Piece], stock: Sequence[Spool]) -> SpoolPlan:
    """Return the plan that opens the least wire, and of those one with the fewest spools.

    Branch and bound: the pieces, longest first, each go on a spool that is open or on a new one;
    a branch is left when what is open and what is still needed cannot beat the best plan found.

    Raises
    ------
    InputError
        If the spools are too short or too few.
    """
    ordered = tuple(sorted(pieces, key=lambda piece: -piece.length))
    sizes = tuple(sorted((s for s in stock if s.wire in (None, wire)), key=lambda s: s.length))
    _check_stock(wire, ordered, sizes)
    search = _Search(ordered, sizes)
    search.run()
    if search.best is None:
        total = sum(piece.length for piece in ordered)
        given = " + ".join(f"{s.count} x {s.length:g} m" for s in sizes)
        rule = f"no way was found to cut {total:.2f} m of {wire} from these spools"
        raise _refusal(given, rule, "add a spool")
    spools = tuple(OpenedSpool(length, cut) for length, cut in search.best)
    return SpoolPlan(wire=wire, spools=spools, exact=search.finished)


def _check_stock(wire: str, ordered: Sequence[Piece], sizes: Sequence[Spool]) -> None:
    longest = max((size.length for size in sizes), default=0.0)
    if ordered and ordered[0].length > longest + _TINY:
        rule = f"wire {ordered[0].name} is one piece of {ordered[0].length:.2f} m of {wire}"
        given = f"{longest:g} m"
        raise _refusal(given, rule, "give a spool at least as long")


@dataclass
class _Search:
    """The state of one search; the only thing here that changes while it works."""

    pieces: tuple[Piece, ...]
    sizes: tuple[Spool, ...]
    best: list[tuple[float, tuple[Piece, ...]]] | None = None
    best_cost: tuple[float, int] = (float("inf"), 10**9)
    steps: int = 0
    room: list[float] = field(default_factory=list)
    held: list[list[int]] = field(default_factory=list)
    kinds: list[int] = field(default_factory=list)

    def run(self) -> None:
        """Search all branches, or as many as the limit allows."""
        self.rest = [sum(p.length for p in self.pieces[i:]) for i in range(len(self.pieces) + 1)]
        self.sums = _sums([size.length for size in self.sizes], 4 * self.rest[0] + 1.0)
        self._place(0)

    @property
    def finished(self) -> bool:
        """True if no branch was left out."""
        return self.steps < MOST_STEPS

    def _cost(self) -> tuple[float, int]:
        return sum(self.sizes[kind].length for kind in self.kinds), len(self.kinds)

    def _place(self, index: int) -> None:
        self.steps += 1
        if not self.finished or not self._can_win(index):
            return
        if index == len(self.pieces):
            self._keep()
            return
        for spool in self._spools_to_try(index):
            self._put(index, spool)
        for kind in range(len(self.sizes)):
            if self._may_open(kind, index):
                self.kinds.append(kind)
                self.room.append(self.sizes[kind].length)
                self.held.append([])
                self._put(index, len(self.kinds) - 1)
                self.kinds.pop()
                self.room.pop()
                self.held.pop()

    def _put(self, index: int, spool: int) -> None:
        length = self.pieces[index].length
        self.room[spool] -= length
        self.held[spool].append(index)
        self._place(index + 1)
        self.held[spool].pop()
        self.room[spool] += length

    def _spools_to_try(self, index: int) -> list[int]:
        """Return open spools with room, fullest first, one of each fill."""
        length = self.pieces[index].length
        fits = [k for k, room in enumerate(self.room) if room >= length - _TINY]
        seen: dict[float, int] = {}
        for k in fits:
            seen.setdefault(round(self.room[k], 6), k)
        return [seen[room] for room in sorted(seen)]

    def _may_open(self, kind: int, index: int) -> bool:
        size = self.sizes[kind]
        enough = size.count is None or self.kinds.count(kind) < size.count
        return enough and size.length >= self.pieces[index].length - _TINY

    def _can_win(self, index: int) -> bool:
        """Return whether this branch can still beat the best plan."""
        opened, count = self._cost()
        need = self.rest[index] - sum(self.room)
        at_least, more = opened, 0
        if need > _TINY:
            at_least = self._reachable(opened + need)
            more = 1
        return (round(at_least, 6), count + more) < (round(self.best_cost[0], 6), self.best_cost[1])

    def _reachable(self, length: float) -> float:
        """Return the least sum of whole spools that is not below a length."""
        place = bisect_left(self.sums, length - _TINY)
        return self.sums[place] if place < len(self.sums) else length

    def _keep(self) -> None:
        self.best_cost = self._cost()
        self.best = [
            (self.sizes[kind].length, tuple(self.pieces[i] for i in held))
            for kind, held in zip(self.kinds, self.held, strict=True)
        ]


def _sums(lengths: Sequence[float], most: float) -> list[float]:
    """Return every length that whole spools can add up to, sorted; short lists only. [m]"""
    found = {0.0}
    frontier = {0.0}
    while frontier and len(found) < 20_000:
        frontier = {
            round(start + length, 6)
            for start in frontier
            for length in lengths
            if start + length <= most
        } - found
        found |= frontier
    return sorted(found) if len(found) < 20_000 else []


def _refusal(value: str, rule: str, way_out: str) -> InputError:
    return InputError.one(file="--spool", key="", value=value, rule=rule, way_out=way_out)
