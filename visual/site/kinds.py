"""Kinds of surroundings, and what a feature of each kind may say about itself."""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal, get_args

Kind = Literal[
    "building", "tree", "overhead_line", "boundary", "road", "keep_out", "viewpoint", "water"
]

KINDS: tuple[Kind, ...] = get_args(Kind)
"""Every kind of feature."""

Shape = Literal["point", "line", "area"]


@dataclass(frozen=True)
class KindRule:
    """What a feature of one kind is.

    Parameters
    ----------
    shapes : tuple of {"point", "line", "area"}
        Geometries it may have.
    meaning : str
        What it stands for, one sentence.
    needs, may : tuple of str
        Properties that it must have and may have, besides ``kind`` and ``name``.
    """

    shapes: tuple[Shape, ...]
    meaning: str
    needs: tuple[str, ...] = ()
    may: tuple[str, ...] = ()


KIND_RULES: Mapping[Kind, KindRule] = MappingProxyType(
    {
        "building": KindRule(
            shapes=("area",),
            meaning="A building, taken as an upright prism on its outline.",
            needs=("height",),
        ),
        "tree": KindRule(
            shapes=("point",),
            meaning="A tree, taken as an upright cylinder as wide as its crown.",
            needs=("height", "crown_radius"),
        ),
        "overhead_line": KindRule(
            shapes=("line",),
            meaning=(
                "An overhead line; each vertex is a support, and the height is that of its lowest "
                "conductor above the ground there."
            ),
            needs=("conductor_heights or height",),
            may=("voltage_kv", "sag", "spread"),
        ),
        "boundary": KindRule(
            shapes=("area", "line"), meaning="The edge of the land the mast may stand on."
        ),
        "road": KindRule(shapes=("area", "line"), meaning="A road or track that others use."),
        "keep_out": KindRule(
            shapes=("area",), meaning="Ground on which no anchor may stand and nothing may be laid."
        ),
        "viewpoint": KindRule(
            shapes=("point",), meaning="A place somebody looks from.", may=("eye_height",)
        ),
        "water": KindRule(shapes=("area", "line"), meaning="A pond, ditch or stream."),
    }
)
"""What each kind is."""

PROPERTIES: Mapping[str, str] = MappingProxyType(
    {
        "kind": "What the feature is; one of the kinds.",
        "name": "Name for pictures and findings.",
        "height": (
            "Height above the ground; of an overhead line that of the lowest conductor at "
            "every support."
        ),
        "crown_radius": "Radius of the crown of a tree.",
        "voltage_kv": "Nominal voltage in kilovolts; left out if unknown.",
        "conductor_heights": (
            "Height of the lowest conductor above the ground at each support: a list, or text "
            'with commas such as "9.5, 9.2, 9.5".'
        ),
        "sag": "How far each span hangs below the straight line between its supports, at mid span.",
        "spread": "Width between the outer conductors, square to the line; 0 if left out.",
        "eye_height": "Eye above the ground; 1.6 m if left out.",
    }
)
"""Every property that is read; others are passed over."""
