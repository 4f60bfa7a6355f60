"""Words of the trade that stand on the page, explained to somebody who has never heard them."""

from visual.page.packing import Json

WORDS = {
    "anchor": "what holds a wire in the ground; its eye is the ring that the wire goes to",
    "back": "the side on which the mast lies before it is raised; the front is opposite",
    "base plate": "the plate under the foot of the mast; it carries the hinge",
    "bearing": "direction, in degrees clockwise from north",
    "buckling": "a pole bending out sideways because it is pushed along too hard",
    "collar": "ring on the mast where its wires begin",
    "fall zone": "the ground that the mast can hit if it falls in one stiff piece",
    "gin pole": "short pole square to the mast at its foot: the lever that it is pulled up by",
    "head": "what the mast carries at its top: here turbine and rotor, if there are any",
    "hinge": "the pin at the foot that the mast turns on while it is raised",
    "hitch": "where the tow line meets the vehicle",
    "in plan, level": "measured as on a map, not along the slope and not through the air",
    "laydown": "the ground that the mast lies over before it is raised",
    "lift wire": "front wire that is on the gin pole while the mast is raised; then it is moved",
    "provisional": "the anchors are planned and not measured, so that lengths may still change",
    "raising angle": "0° is level, 90° is upright",
    "rotor": "the turning blades; its axis is the hub",
    "setback": "distance that a rule asks for",
    "shackle": "steel link with a bolt, between line and pole or vehicle",
    "stamped design": "drawings that a licensed engineer answers for; this page is none",
    "stay, side stay": "rope that keeps the gin pole from falling sideways",
    "thrust": "force that pushes along a pole",
    "tow lane": "the way the vehicle takes while it pulls; no road is meant",
    "tow line": "the line from the gin pole to the vehicle or winch",
    "turnbuckle": "screw that a wire is made tight with",
}


def glossary_data() -> list[Json]:
    """Return the words with what they mean, in alphabetical order."""
    return [{"word": word, "means": means} for word, means in sorted(WORDS.items())]
