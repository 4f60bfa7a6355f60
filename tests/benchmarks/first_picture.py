"""The first picture of the ground, against a raw PyVista script that draws the whole mesh.

Each in a process of its own, start-up included. Ours draws what the program draws of the ground:
at most 400 cells a side, the shading laid on them as a picture, at twice the size and averaged.
"""

from timing import in_own_process, line

GROUND = """
import sys; sys.path.insert(0, '.')
import numpy as np
n = {n}
x, y = np.meshgrid(np.arange(n) * 1.0, np.arange(n) * 1.0)
z = 12 * np.sin(x / n * 9) * np.cos(y / n * 7)
eye, target = (n * 1.5, -n * 0.8, n * 0.9), (n / 2, n / 2, 0.0)
"""

RAW = """
import os; os.environ.setdefault('VTK_DEFAULT_OPENGL_WINDOW', 'vtkEGLRenderWindow')
import pyvista as pv
node = np.arange(n * n).reshape(n, n)
a, b, c, d = (s.ravel() for s in (node[:-1, :-1], node[:-1, 1:], node[1:, :-1], node[1:, 1:]))
t = np.concatenate([np.stack([a, b, d], 1), np.stack([a, d, c], 1)])
faces = np.column_stack([np.full(len(t), 3), t]).ravel()
mesh = pv.PolyData(np.column_stack([x.ravel(), y.ravel(), z.ravel()]), faces)
plotter = pv.Plotter(off_screen=True, window_size=[1600, 1000])
plotter.add_mesh(mesh, color='tan', smooth_shading=True)
plotter.camera_position = [eye, target, (0, 0, 1)]
plotter.screenshot(return_img=True)
"""

OURS = """
from visual.ground import DemPatch, Surface
from visual.scene.camera import View
from visual.scene.ground import ground_layer
from visual.scene.layers import Scene
from visual.scene.render import draw
from visual.scene.terrain import Terrain
surface = Surface(DemPatch(x=x, y=y, z=z, file='made up'), None, 0.1)
terrain = Terrain.sample(surface.height, bounds=surface.bounds, cells=400)
view = View(name='v', title='v', projection='perspective', eye=np.array(eye),
            target=np.array(target), up=np.array([0.0, 0.0, 1.0]))
draw(Scene((ground_layer(terrain),), None), view, width=1600, height=1000, page=(1600, 1000))
"""


def run() -> list[str]:
    """Return the lines of the report."""
    lines = []
    for nodes, wanted, repeats in ((500, "at most 1.1", 2), (2000, "at most 0.5", 1)):
        start = GROUND.format(n=nodes)
        _, ours, our_memory = in_own_process(start + OURS, repeats)
        _, raw, raw_memory = in_own_process(start + RAW, repeats)
        lines += [
            f"first picture of {nodes} × {nodes} ground: {ours:.1f} s of CPU",
            line(f"  a raw PyVista script takes {raw:.1f} s; we take", ours / raw, wanted),
            f"  memory {our_memory:.0f} MB, of the raw script {raw_memory:.0f} MB",
        ]
    return lines
