"""Where to look at what a finding is about, if it does not say so: an anchor, or the foot."""

from collections.abc import Mapping

from visual.checks import Finding
from visual.model import Model, installed_wires
from visual.rig import Side

_AT_THE_FOOT = frozenset({"hinge and base plate", "gin pole walked up by hand"})


def sides_of(model: Model) -> Mapping[str, Side]:
    """Return the side of each anchor and wire, by what findings on it are called."""
    anchors = {f"{side} anchor": side for side in model.anchors}
    return anchors | {wire.name: wire.side for wire in installed_wires(model)}


def place_of(finding: Finding, model: Model, sides: Mapping[str, Side]) -> list[float] | None:
    """Return the place of a finding; None if it has none that stays where it is. [m]"""
    if finding.where is not None:
        return [float(value) for value in finding.where]
    if finding.check == "gin pole" or finding.subject in _AT_THE_FOOT:
        return [0.0, 0.0, 0.0]
    side = sides.get(finding.subject)
    return None if side is None else [float(value) for value in model.anchors[side].eye]
