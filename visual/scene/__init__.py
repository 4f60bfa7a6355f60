"""What is drawn: layers as plain arrays, the look, named views, and the renderer.

::

    layers.py, style.py            what there is to draw, and how each role looks
    camera.py, views.py, framing.py, sight.py      where pictures are taken from
    terrain.py, thin_terrain.py, right_triangles.py, drawn_ground.py, cut.py, solids.py
                                   shapes, and the ground that is drawn
    ground.py, site_ground.py, surroundings.py, area_names.py, power_line.py,
    rig.py, turning.py, wires.py, tow.py, ghosts.py, zones.py, setbacks.py, section.py,
    attention.py, forces.py, force_arrows.py, force_view.py, force_scale.py, force_key.py,
    build.py                       from a report to layers
    render.py, pixels.py, actors.py, vtk_actors.py, dashes.py, shade.py
                                   the drawing, off screen
    machine.py, egl.py             whether this machine can draw
    labels.py, label_places.py, boxes.py, spotter.py, lettering.py, overlay.py
                                   lettering on the drawing
    sheet.py, legend.py, furniture.py, picture.py    the page around it
    pictures.py, window.py         files, and the window with a slider
    curves.py                      from a report to charts of the raise
    chart_ink.py, chart_panel.py, chart_words.py, charts.py     the drawing of charts

Importing this package is cheap; VTK and matplotlib are loaded when something is drawn.
"""

from visual.scene.layers import Scene
from visual.scene.pictures import draw_pictures
from visual.scene.window import open_window

__all__ = ["Scene", "draw_pictures", "open_window"]
