"""The stake-out as layers: what a crew with tape, level and compass reads off the plan."""

from collections.abc import Iterator

import numpy as np

from visual.crew.stake import StakedAnchor, StakeOut, TapeCheck, peg
from visual.model import Model
from visual.scene.layers import (
    AnyLayer,
    DimensionLayer,
    LabelLayer,
    LineLayer,
    Points,
    TableLayer,
)
from visual.units import UnitSystem, format_angle, format_length

STAKED = "only:stakeout"
"""Group of what the stake-out picture alone shows."""

_BESIDE = 4.2  # a dimension keeps this far off the wires that run along it [mm on the page]
_PAST = 8.4  # from anchor to anchor past the base: this far, clear of those to the base [mm]
_EDGE = 1.6  # and this far off the edge between two pegs [mm on the page]
_BEYOND = 1.14  # the hinge line is drawn this much longer than the radius of the side anchors


def stake_layers(model: Model, stake: StakeOut) -> Iterator[AnyLayer]:
    """Return hinge line, setting-out words and every tape of a stake-out."""
    units = model.site.site.units
    yield _hinge_line(model)
    for anchor in stake.anchors:
        at = model.anchors[anchor.side].eye
        yield LabelLayer(
            role="label",
            group=STAKED,
            name=f"{anchor.side} anchor",
            text=anchor_text(anchor, units),
            at=at,
            priority=12,
        )
        yield _radius(model, anchor, units)
    for tape in stake.tapes:
        yield _tape(model, tape, units)
    yield tape_table(stake, units)


def anchor_text(anchor: StakedAnchor, units: UnitSystem) -> str:
    """Return the words beside an anchor: name, bearings, distances and rise from the base peg.

    Short lines: beside an anchor to the left or right there is little room.
    """
    name = f"{anchor.side} anchor" + (" (as built)" if anchor.as_built else "")
    magnetic = anchor.bearing_magnetic
    compass = "magnetic unknown" if magnetic is None else f"{format_angle(magnetic)} magnetic"
    level, straight = (format_length(d, units) for d in (anchor.horizontal, anchor.straight))
    return (
        f"{name}\n{format_angle(anchor.bearing_grid)} grid\n{compass}\n"
        f"{level} level\n{straight} straight\nrise {rise_text(anchor.rise, units)}"
    )


def rise_text(rise: float, units: UnitSystem) -> str:
    """Return a height difference with its sign. [m]"""
    text = format_length(rise, units)
    if text == "unknown" or not any(digit in text for digit in "123456789"):
        return text.replace("-", "")
    return text.replace("-", "−") if rise < 0 else f"+{text}"


def tape_table(stake: StakeOut, units: UnitSystem) -> TableLayer:
    """Return every tape of the drawing as a table."""
    rows = [(f"base – {a.side}", format_length(a.straight, units)) for a in stake.anchors]
    rows += [(f"{t.start} – {t.end}", format_length(t.straight, units)) for t in stake.tapes]
    notes = ["Every line: tape held straight from peg to peg, the base peg plumb below the hinge."]
    if stake.north_note:
        notes.append(f"{stake.north_note[0].upper()}{stake.north_note[1:]}.")
    return TableLayer(
        role="label",
        group=STAKED,
        name="tapes",
        title="Tapes, peg to peg",
        rows=tuple(rows),
        note=" ".join(notes),
    )


def _hinge_line(model: Model) -> LineLayer:
    """Return the axis of the hinge, drawn out beyond both side anchors."""
    far = _BEYOND * max(model.anchors["left"].radius, model.anchors["right"].radius)
    ends = np.array([-far, far])[:, None] * model.rightward
    return LineLayer(role="hinge_line", group=STAKED, name="hinge line", paths=(ends,))


def _base(model: Model) -> Points:
    return np.array([0.0, 0.0, model.base_ground])


def _radius(model: Model, anchor: StakedAnchor, units: UnitSystem) -> DimensionLayer:
    return DimensionLayer(
        role="dimension",
        group=STAKED,
        name=f"base – {anchor.side}",
        start=_base(model),
        end=peg(model, anchor.side),
        text=format_length(anchor.straight, units),
        offset=_BESIDE,
        priority=10,
    )


def _tape(model: Model, tape: TapeCheck, units: UnitSystem) -> DimensionLayer:
    # clockwise pairs: the right-hand side of an edge is the inside, the left-hand side is free
    return DimensionLayer(
        role="dimension",
        group=STAKED,
        name=f"{tape.start} – {tape.end}",
        start=peg(model, tape.start),
        end=peg(model, tape.end),
        text=format_length(tape.straight, units),
        offset=_PAST if tape.opposite else _EDGE,
        priority=9 if tape.opposite else 11,
    )
