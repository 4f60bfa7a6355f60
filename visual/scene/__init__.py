"""What is drawn: layers as plain arrays, the look, named views, and the renderer.

::

    layers.py                      what there is to draw
    style.py                       how each role looks
    camera.py, views.py, framing.py where pictures are taken from
    terrain.py, cut.py, solids.py  shapes
    ground.py, site_ground.py, surroundings.py, power_line.py, rig.py, wires.py, tow.py,
    zones.py, section.py, attention.py, build.py     from a report to layers
    render.py, actors.py, dashes.py, shade.py, machine.py     the drawing, off screen
    labels.py, boxes.py, spotter.py, lettering.py, overlay.py lettering on the drawing
    sheet.py, legend.py, furniture.py, picture.py    the page around it
    pictures.py, window.py                           files, and the window with a slider

Importing this package is cheap; pyvista is loaded when something is drawn.
"""

from visual.scene.layers import Scene
from visual.scene.pictures import draw_pictures
from visual.scene.window import open_window

__all__ = ["Scene", "draw_pictures", "open_window"]
