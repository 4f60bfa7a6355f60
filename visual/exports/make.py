"""From a report to a drawing."""

from dataclasses import replace

from visual.checks import Report
from visual.exports.drawing import Drawing, Layer
from visual.exports.ground_layers import ground_layers
from visual.exports.line_layers import line_layers
from visual.exports.raise_layers import raise_layers
from visual.exports.rig_layers import rig_layers
from visual.exports.site_layers import site_layers
from visual.exports.texts import one_line, one_line_each
from visual.exports.verdict_layers import verdict_layers
from visual.exports.zone_layers import zone_layers
from visual.model import Model
from visual.units import format_length

NOT_A_DESIGN = (
    "Planning aid, not a stamped design. Keep everybody out of the fall zone during a raise; "
    "treat every overhead line as live."
)


def make_drawing(report: Report) -> Drawing:
    """Return everything that is exported of a report; empty layers are left out."""
    model = report.model
    site = model.site.site
    layers = (
        *ground_layers(model),
        *site_layers(model),
        *line_layers(model),
        *zone_layers(report),
        *rig_layers(model),
        *raise_layers(report),
        *verdict_layers(report),
    )
    return Drawing(
        site=one_line(site.name),
        crs=model.frame.crs,
        date=site.date.isoformat() if site.date else "",
        standing=f"{_standing(model)} {NOT_A_DESIGN}",
        frame=model.frame,
        layers=tuple(_on_one_line(layer) for layer in layers if layer.items),
    )


def _on_one_line(layer: Layer) -> Layer:
    """Return a layer whose texts any file can hold."""
    items = (
        replace(item, name=one_line(item.name), attributes=one_line_each(item.attributes))
        for item in layer.items
    )
    return replace(layer, items=tuple(items))


def _standing(model: Model) -> str:
    """Return how sure the positions are."""
    if not model.provisional:
        return "Final: anchors as built."
    sigma = format_length(float(model.ground.accuracy_at(0.0, 0.0)), model.site.site.units)
    return f"Provisional: anchors planned, ground heights ± {sigma}."
