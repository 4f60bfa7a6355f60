"""The model: the only place where ground, site and rig meet."""

from visual.model.build import build_model
from visual.model.installed import InstalledWire
from visual.model.kept import Kept, Same
from visual.model.level_line import level_bearings, level_fronts, level_line
from visual.model.load import ModelLoader, ground_lattice, load_model, model_of_site
from visual.model.placed import (
    PlacedAnchor,
    PlacedArea,
    PlacedBuilding,
    PlacedLine,
    PlacedTree,
    PlacedViewpoint,
    Surroundings,
    Vector,
)
from visual.model.record import Model
from visual.model.starter import start_site
from visual.model.wires import (
    installed_wire,
    installed_wires,
    is_measured,
    straight_length,
    wire_name,
)

__all__ = [
    "InstalledWire",
    "Kept",
    "Model",
    "ModelLoader",
    "PlacedAnchor",
    "PlacedArea",
    "PlacedBuilding",
    "PlacedLine",
    "PlacedTree",
    "PlacedViewpoint",
    "Same",
    "Surroundings",
    "Vector",
    "build_model",
    "ground_lattice",
    "installed_wire",
    "installed_wires",
    "is_measured",
    "level_bearings",
    "level_fronts",
    "level_line",
    "load_model",
    "model_of_site",
    "start_site",
    "straight_length",
    "wire_name",
]
