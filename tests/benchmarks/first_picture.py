"""The first picture of a site on a large DEM, against a raw PyVista script of the same mesh.

Each in a cold process of its own. The raw script draws a structured grid of all heights, smoothly
shaded, and takes one screenshot of 1600 × 1000. Ours is the finished picture of the program, with
title, legend and scale, of a mast with its wires on the same ground: sampled at every height,
thinned, the shading of every height laid on it.

Memory is the most a process ever held, less what it held once everything was imported.
"""

from timing import in_own_process, line

START = """
import os, resource, sys; sys.path.insert(0, '.')
os.environ.setdefault('VTK_DEFAULT_OPENGL_WINDOW', 'vtkEGLRenderWindow')
import numpy as np
"""

GROUND = """
n, rough = {n}, {rough}
held_before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
x, y = np.meshgrid(np.arange(n) * 1.0, np.arange(n) * 1.0)
z = 12 * np.sin(x / n * 9) * np.cos(y / n * 7)
z += rough * np.random.default_rng(1).standard_normal(z.shape)
eye, target = (n * 1.5, -n * 0.8, n * 0.9), (n / 2, n / 2, 0.0)
"""

RAW_IMPORTS = "import pyvista as pv"

RAW = """
plotter = pv.Plotter(off_screen=True, window_size=[1600, 1000])
plotter.add_mesh(pv.StructuredGrid(x, y, z), color='tan', smooth_shading=True)
plotter.camera_position = [eye, target, (0, 0, 1)]
plotter.screenshot(return_img=True)
"""

OURS_IMPORTS = """
import PIL.Image
from visual.ground import DemPatch, Surface
from visual.scene.camera import View
from visual.scene.ground import block_sides
from visual.scene.layers import Caption, LineLayer, MeshLayer, Scene
from visual.scene.picture import make_picture
from visual.scene.solids import tube
from visual.scene.thin_terrain import (
    MOST_TRIANGLES, QUARTER_PIXEL, ThinTerrain, sampled_ground, thin_ground_layer,
)
"""

OURS = """
surface = Surface(DemPatch(x=x, y=y, z=z, file='made up'), None, 0.1)
whole = sampled_ground(surface, surface.bounds)
allowed = np.full(whole.heights.shape, QUARTER_PIXEL * n)
terrain = ThinTerrain.thinned(whole, allowed=allowed, most=MOST_TRIANGLES)
foot = terrain.on(n / 2, n / 2)
axis = foot + np.array([[0.0, 0.0, 0.0], [0.0, 0.0, 18.0]])
ends = [terrain.on(n / 2 + a, n / 2 + b) for a, b in ((11, 0), (-11, 0), (0, 11), (0, -11))]
vertices, triangles = tube(axis, 0.06)
layers = (
    thin_ground_layer(terrain),
    block_sides(terrain, depth=0.03 * n),
    MeshLayer(role='mast', group='mast', name='mast', vertices=vertices, triangles=triangles),
    LineLayer(role='wire', group='rig', name='wires',
              paths=tuple(np.array([end, axis[1]]) for end in ends)),
)
view = View(name='v', title='Overview', projection='perspective', eye=np.array(eye),
            target=np.array(target), up=np.array([0.0, 0.0, 1.0]))
make_picture(Scene(layers, Caption(site='Made up')), view, width=1600, height=1000)
"""


def run() -> list[str]:
    """Return the lines of the report."""
    lines = []
    for nodes, wanted, repeats in ((500, "at most 1.1", 3), (2000, "at most 0.5", 2)):
        for rough in (0.0, 0.05):
            lines += _compared(nodes, rough, wanted, repeats)
    return lines


def _compared(nodes: int, rough: float, wanted: str, repeats: int) -> list[str]:
    ground = GROUND.format(n=nodes, rough=rough)
    _, ours, memory = in_own_process(START + OURS_IMPORTS + ground + OURS, repeats)
    _, raw, raw_memory = in_own_process(START + RAW_IMPORTS + ground + RAW, repeats)
    words = "smooth" if rough == 0 else f"rough by {rough} m"
    return [
        f"first picture of {nodes} × {nodes} ground, {words}: {ours:.1f} s of CPU",
        line(f"  a raw PyVista script takes {raw:.1f} s; we take", ours / raw, wanted),
        line(
            f"  memory {memory:.0f} MB, of the raw script {raw_memory:.0f} MB",
            memory / raw_memory,
            "at most 0.5 at 2000 × 2000",
        ),
    ]
