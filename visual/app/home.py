"""Ground and surroundings of the live view: made around one base, and used while it stays near."""

import math
from dataclasses import dataclass, field, replace

from visual.app.answer import Json
from visual.model import Model
from visual.page.around import for_the_page, ground_data
from visual.page.both_units import around_data
from visual.page.data import ground_of, plain
from visual.page.layer_data import layers_data
from visual.page.sunlight import sun_data
from visual.page.thinning import thinned
from visual.scene.site_ground import site_ground_layers
from visual.scene.surroundings import surroundings_layers
from visual.scene.terrain import Terrain
from visual.site import DataState

NEAR_HOME = 20.0
"""How far the base may go before ground and surroundings are made anew around it. [m]"""


@dataclass(frozen=True, eq=False)
class Home:
    """Ground and surroundings around a base that may have been left since.

    Parameters
    ----------
    model : Model
        The model it was made for.
    terrain : Terrain
        The drawn ground.
    ground : dict
        The ground as data; its ``key`` names everything here.
    layers : list of dict
        What stands around, as data.
    sun : dict
        Where the sun stands through the day.
    data : tuple
        How the data files stood before they were read for it.
    """

    model: Model = field(repr=False)
    terrain: Terrain = field(repr=False)
    ground: Json = field(repr=False)
    layers: list[Json] = field(repr=False)
    sun: Json = field(repr=False)
    data: DataState

    def offset(self, model: Model) -> list[float]:
        """Return where this home's origin lies in the frame of another model. [m]"""
        own = self.model.frame
        x, y = model.frame.to_local(own.origin_easting, own.origin_northing)
        return [float(x), float(y), float(model.frame.local_height(own.origin_height))]

    def serves(self, model: Model, data: DataState) -> bool:
        """Return True if another model, its data files standing so, can be shown on this ground."""
        mine, other = self.model.site, model.site
        same = (mine.ground, mine.surroundings, mine.site) == (
            other.ground,
            other.surroundings,
            other.site,
        )
        if not same or data != self.data:
            return False
        x, y, _ = self.offset(model)
        return math.hypot(x, y) <= NEAR_HOME


_ALONE = " alone"
"""Ends the key of ground that nothing stands on yet."""


def bare_home(model: Model, terrain: Terrain, data: DataState) -> Home:
    """Return the ground alone, so that there is something to see while the rest is made."""
    layers = site_ground_layers(model, terrain)
    ground = plain(ground_data(terrain, ground_of(layers)))
    ground["key"] += _ALONE
    sun = plain(sun_data(model))
    drawn = around_data(model, terrain, [thinned(layer) for layer in for_the_page(layers)])
    return Home(model, terrain, ground, plain({"layers": drawn})["layers"], sun, data)


def with_surroundings(home: Home) -> Home:
    """Return a bare home with what stands around."""
    layers = surroundings_layers(home.model, home.terrain)
    drawn = layers_data([thinned(layer) for layer in for_the_page(layers)])
    around = plain({"layers": drawn})["layers"]
    ground = home.ground | {"key": home.ground["key"].removesuffix(_ALONE)}
    return replace(home, ground=ground, layers=[*home.layers, *around])
