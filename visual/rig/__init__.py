"""The rig at rest: mast, wires, anchors, gin pole and tow, before any of it moves.

Everything here is SI: metres, kilograms, newtons, radians.
"""

from visual.rig.anchor import SIDES, AnchorPlan, Side
from visual.rig.gin_pole import GinPole
from visual.rig.mast import HEAD_RADIUS, Collar, Head, Mast
from visual.rig.rig import Rig, Turnbuckle
from visual.rig.tow import Tow
from visual.rig.tube import Tube
from visual.rig.wire import WireType

__all__ = [
    "HEAD_RADIUS",
    "SIDES",
    "AnchorPlan",
    "Collar",
    "GinPole",
    "Head",
    "Mast",
    "Rig",
    "Side",
    "Tow",
    "Tube",
    "Turnbuckle",
    "WireType",
]
