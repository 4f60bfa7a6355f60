"""What is wrong, in everyday words: one clause for findings of a kind, with what they are about."""

from collections.abc import Callable, Iterable

from visual.checks import Finding
from visual.page.reader_sizes import listed

_Wording = Callable[[list[str]], str]


def _fixed(words: str) -> _Wording:
    return lambda _names: words


_HARD = "a wire or an anchor would be pulled harder than it may be"
_TOUCHES = "a part would touch the ground, or nearly, on its way up"
_STEEL = "mast or gin pole would be loaded more than they may be"
_NO_ROOM = "the way of the vehicle, or the room to lie down, is not free"

_WORDINGS: tuple[tuple[tuple[str, ...], _Wording], ...] = (
    (("overhead line",), lambda names: f"it comes too near an overhead line ({listed(names)})"),
    (("fall zone",), lambda names: f"a fall could hit {listed(names)}"),
    (("clearance",), lambda names: f"on its way up it comes too near {listed(names)}"),
    (("setback",), lambda names: f"it stands nearer than a rule allows to {listed(names)}"),
    (("anchor place",), _fixed("an anchor would stand where it may not")),
    (("tow lane", "laydown"), _fixed(_NO_ROOM)),
    (
        ("anchor load", "side wire load", "wire goes tight", "wire load", "side load", "balance"),
        _fixed(_HARD),
    ),
    (("off the ground", "gin tip", "tow line"), _fixed(_TOUCHES)),
    (("mast stress", "mast buckling"), _fixed(_STEEL)),
    (("vehicle pull",), _fixed("the vehicle cannot pull hard enough")),
)
"""By check, those first that touch people who have nothing to do with the work."""


def what_is_wrong(findings: Iterable[Finding]) -> list[str]:
    """Return what stops the raise, one clause for each kind, worst for those around first."""
    stops = [one for one in findings if one.status == "stop"]
    said: list[str] = []
    for checks, wording in _WORDINGS:
        those = [one for one in stops if one.check in checks]
        if those:
            said.append(wording([thing_of(one) for one in those]))
    known = {check for checks, _ in _WORDINGS for check in checks}
    others = [f"{one.check}: {one.subject}" for one in stops if one.check not in known]
    return [*said, *dict.fromkeys(others)]


def thing_of(finding: Finding) -> str:
    """Return what a part comes near to, or stands on, by the subject of its finding."""
    part, to, thing = finding.subject.partition(" to ")
    return thing if to else part
