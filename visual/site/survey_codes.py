"""Codes of surveyed points: what a point was taken on.

A code is a word, or a word and a name: ``ground``, ``building house``, ``ohl: 11 kV line``.
Points of the same word and name make one feature, in the order of the rows.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from visual.site.kinds import KINDS, Kind
from visual.site.problems import nearest

_WORDS: Mapping[Literal["ground", "skip"] | Kind, str] = {
    "ground": "ground gnd gr g spot sp level topo break breakline bank top toe",
    "skip": "skip ignore station stn benchmark bm control",
    "building": "building bldg bld",
    "tree": "tree tr",
    "overhead_line": "overhead_line ohl pole",
    "boundary": "boundary bdy bnd",
    "road": "road rd track",
    "keep_out": "keep_out",
    "viewpoint": "viewpoint view",
    "water": "water wtr",
}

CODE_WORDS: Mapping[str, tuple[str, ...]] = {
    use: tuple(words.split()) for use, words in _WORDS.items()
}
"""Words a code may begin with, by what the point is used for."""

_KIND_OF: Mapping[str, Kind] = {word: kind for kind in KINDS for word in CODE_WORDS[kind]}


@dataclass(frozen=True)
class Code:
    """A code as understood.

    Parameters
    ----------
    kind : str or None
        Kind of the feature the point belongs to; None if it belongs to none.
    name : str
        Name of the feature.
    on_ground : bool
        True if the height of the point is a height of the ground.
    """

    kind: Kind | None = None
    name: str = ""
    on_ground: bool = True


GROUND = Code()
"""A point of the ground and nothing else."""

SKIP = Code(on_ground=False)
"""A point that is not used."""


def parse_code(text: str) -> Code:
    """Return what a code means; no code means ground.

    Raises
    ------
    ValueError
        If its first word is not known; the text is ``"<rule>; <way out>"``.
    """
    plain = re.sub(r"\b(overhead|keep)[\s-](line|out)\b", r"\1_\2", text.strip(), flags=re.I)
    if not plain:
        return GROUND
    word, _, name = re.sub(r"\s*:\s*|\s+", " ", plain).partition(" ")
    word = word.lower().replace("-", "_")
    if word in CODE_WORDS["ground"]:
        return GROUND
    if word in CODE_WORDS["skip"]:
        return SKIP
    if word not in _KIND_OF:
        near = nearest(word, [known for words in CODE_WORDS.values() for known in words])
        hint = f'did you mean "{near}"? Otherwise ' if near else ""
        message = (
            f"the code {word!r} is not known; {hint}write ground for a point on the ground, "
            f"skip for one that is not, or one of {', '.join(KINDS)} with a name"
        )
        raise ValueError(message)
    return Code(_KIND_OF[word], name.strip())
