"""What is drawn of a site in both systems of units: the reader of the page chooses."""

from collections.abc import Iterable
from dataclasses import replace

from visual.checks import Report
from visual.model import Model
from visual.page.around import for_the_page
from visual.page.layer_data import layers_data
from visual.page.packing import Json
from visual.page.thinning import thinned
from visual.scene.build import caption_of
from visual.scene.layers import AnyLayer, Caption, LabelLayer
from visual.scene.setbacks import setback_words
from visual.scene.site_ground import contour_note, site_contours
from visual.scene.terrain import Terrain


def other_units(model: Model) -> Model:
    """Return the same model with results in the other system of units."""
    return model.in_units("imperial" if model.site.site.units == "metric" else "metric")


def around_data(model: Model, terrain: Terrain, layers: Iterable[AnyLayer]) -> list[Json]:
    """Return what stands around, with a second set of contours: round in the other units.

    Parameters
    ----------
    model : Model
        The mast on its site.
    terrain : Terrain
        The drawn ground.
    layers : iterable of layers
        What stands around, as the page draws it, contours in the units of the site among it.
    """
    other = other_units(model)
    second = [thinned(layer) for layer in for_the_page(site_contours(other, terrain))]
    own = [
        one | {"units": model.site.site.units} if one["group"] == "contours" else one
        for one in layers_data(list(layers))
    ]
    return [*own, *(one | {"units": other.site.site.units} for one in layers_data(second))]


def setback_texts(report: Report, layers: Iterable[AnyLayer]) -> list[AnyLayer]:
    """Return layers with the words of setbacks in the other units, all else as it is."""
    model, other = report.model, other_units(report.model)
    own, others = (setback_words(one, report.setbacks) for one in (model, other))
    said = {text: others[rule] for rule, text in own.items()}
    return [
        replace(layer, text=said.get(layer.text, layer.text))
        if isinstance(layer, LabelLayer) and layer.group == "setbacks"
        else layer
        for layer in layers
    ]


def other_caption(model: Model, terrain: Terrain) -> Caption:
    """Return what is written around every picture, in the other units."""
    other = other_units(model)
    return replace(caption_of(other), notes=(contour_note(other, terrain),))
