"""The native window: the same layers, with a slider for the raising angle."""

import math
import os
import sys
from dataclasses import replace
from typing import TYPE_CHECKING, Any

import numpy as np

from visual.errors import DrawingError

if TYPE_CHECKING:
    from visual.checks import Report

_SIZE = (1400, 900)
_GHOSTS = ("mast_ghost", "mast_laid", "gin_pole_ghost", "tow_line_ghost", "vehicle_ghost")
"""Not drawn here: the slider shows the mast at its other angles."""


def open_window(report: "Report") -> None:
    """Open a window in which the mast can be raised and looked at from all sides.

    Raises
    ------
    DrawingError
        If there is no screen.
    """
    _need_screen()
    import pyvista

    from visual.scene.actors import add_layers
    from visual.scene.build import SceneMaker
    from visual.scene.force_key import per_length_in_words
    from visual.scene.force_view import FORCES
    from visual.scene.furniture import NOT_A_DESIGN
    from visual.scene.layers import Scene
    from visual.scene.render import set_camera, visible
    from visual.scene.style import page_scale
    from visual.scene.views import overview

    maker = SceneMaker(report)
    view = overview(report, maker.terrain)
    view = replace(view, only=view.only | {FORCES})
    plotter = pyvista.Plotter(window_size=list(_SIZE), lighting="none", title=maker.caption.site)
    plotter.renderer.SetUseOIT(False)
    scale = page_scale(*_SIZE)
    shown = [x for x in visible(Scene(maker.drawn, maker.caption), view) if x.role not in _GHOSTS]
    add_layers(plotter.renderer, shown, view, size=_SIZE, scale=scale)
    set_camera(plotter.camera, view, shown, _SIZE)
    moving: list[Any] = []

    def turn_to(degrees: float) -> None:
        for actor in moving:
            plotter.renderer.RemoveActor(actor)
        scene = maker.at(math.radians(degrees))
        rig = visible(Scene(scene.layers[len(maker.drawn) :], scene.caption), view)
        moving[:] = add_layers(plotter.renderer, rig, view, size=_SIZE, scale=scale)
        plotter.render()

    low = float(np.degrees(report.raised.first_angle))
    add_slider: Any = plotter.add_slider_widget
    add_slider(
        turn_to,
        [low, 90.0],
        value=low,
        title="raising angle, degrees",
        pointa=(0.03, 0.11),
        pointb=(0.33, 0.11),
        title_height=0.018,
        color="black",
        fmt="%.1f",
        style="modern",
        slider_width=0.02,
        tube_width=0.004,
    )
    arrows = per_length_in_words(maker.caption.force_scale, maker.caption.units)
    words = f"{maker.caption.site}. {NOT_A_DESIGN}.{arrows}\n{maker.caption.caution}"
    plotter.add_text(words, position=(10, 10), font_size=7, color="black")
    plotter.show()


def _need_screen() -> None:
    if sys.platform.startswith("linux") and not (
        os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")
    ):
        message = "there is no screen here to open a window on; draw files with: hillmast picture"
        raise DrawingError(message)
