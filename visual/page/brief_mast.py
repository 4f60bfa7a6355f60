"""What it is, and how high: compared with what stands around."""

from collections.abc import Iterator

from visual.checks import Report
from visual.model import Model
from visual.page.answering import answer
from visual.page.nearby import building_height
from visual.page.packing import Json
from visual.page.reader_sizes import at_most, exactly, same, say

_RAISING = {"vehicle": "a vehicle", "winch": "a winch"}


def what_is_it(report: Report) -> Json:
    """Say what is planned here, for somebody who has never seen one."""
    model = report.model
    anchors, levels = len(model.anchors), len(model.rig.mast.collars)
    by = _RAISING.get(model.rig.tow.by, "a line")
    held = f"that {anchors * levels} wires to {anchors} anchors in the ground hold up."
    more = (
        "It is put together lying on the ground. A hinge at its foot lets it turn upright: a short "
        f"pole at the foot, the gin pole, gives {by} the lever to pull it up. The wires stay."
    )
    return answer("what", "What is it?", lead=same(f"{_what(model)} {held}"), more=[same(more)])


def _what(model: Model) -> str:
    head = model.rig.mast.head
    if head is None:
        return "A bare mast, with nothing at its top yet,"
    if head.rotor_radius > 0:
        return "A small wind turbine on a slim mast"
    return "A slim mast with equipment at its top,"


def how_high(report: Report) -> Json:
    """Say how high it is, of what that is made up, and how high other things here are."""
    model = report.model
    mast = model.rig.mast
    total, alone = exactly(mast.total_height), exactly(mast.mast_height)
    if mast.head is not None and mast.head.rotor_radius > 0 and mast.reach > mast.length:
        lead = say("{total} from the ground to the tip of a blade at its highest.", total=total)
        more = [say("The mast alone reaches {alone}; the blades reach above it.", alone=alone)]
    else:
        lead, more = say("{total} from the ground to its top.", total=total), []
    made = say(
        "That counts the {hinge} from the ground to the hinge that its foot turns on; the tube is "
        "{tube} long.",
        hinge=exactly(mast.hinge_height),
        tube=exactly(mast.length),
    )
    return answer("high", "How high is it?", lead=lead, more=[*more, made, *_compared(model)])


def _compared(model: Model) -> Iterator[Json]:
    """Compare with the highest tree and building: what a reader there knows."""
    known = [*_trees(model), *_buildings(model)]
    total = model.rig.mast.total_height
    for kind in ("tree", "building"):
        high = max((one for one in known if one[0] == kind), key=lambda one: one[2], default=None)
        if high is not None and high[2] > 0:
            yield say(
                "The highest {kind} in this file, {name}, is about {size} high: this is "
                "{times} times as high.",
                kind=kind,
                name=high[1],
                size=at_most(high[2]),
                times=f"{total / high[2]:.1f}",
            )


def _trees(model: Model) -> Iterator[tuple[str, str, float]]:
    for tree in model.surroundings.trees:
        yield "tree", tree.name, tree.height


def _buildings(model: Model) -> Iterator[tuple[str, str, float]]:
    for one in model.surroundings.buildings:
        yield "building", one.name, building_height(model, one)
