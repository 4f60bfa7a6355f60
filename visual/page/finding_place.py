"""Where to look at what a finding is about, if it does not say so: an anchor, or the foot."""

from visual.checks import Finding, Report
from visual.model import installed_wires

_FOOT = [0.0, 0.0, 0.0]
_AT_THE_FOOT = frozenset({"hinge and base plate", "gin pole walked up by hand"})


def place_of(report: Report, finding: Finding) -> list[float] | None:
    """Return the place of a finding; None if it has none that stays where it is. [m]"""
    if finding.where is not None:
        return [float(value) for value in finding.where]
    if finding.check == "gin pole" or finding.subject in _AT_THE_FOOT:
        return _FOOT
    model = report.model
    sides = {f"{side} anchor": side for side in model.anchors}
    sides |= {wire.name: wire.side for wire in installed_wires(model)}
    side = sides.get(finding.subject)
    return None if side is None else [float(value) for value in model.anchors[side].eye]
