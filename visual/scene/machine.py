"""Can this machine draw? If in doubt asked in a process of its own: VTK dies when it cannot."""

import functools
import os
import subprocess
import sys

from visual.errors import DrawingError
from visual.scene.egl import egl_draws

_PROBE = """
from vtkmodules.vtkRenderingCore import vtkRenderer, vtkRenderWindow
import vtkmodules.vtkRenderingOpenGL2
window = vtkRenderWindow()
window.SetOffScreenRendering(1)
window.SetSize(8, 8)
window.AddRenderer(vtkRenderer())
window.Render()
raise SystemExit(0 if window.SupportsOpenGL() else 3)
"""

_WAY_OUT = (
    "pictures cannot be drawn on this machine: VTK finds no software OpenGL; on Debian or Ubuntu "
    "install it with: apt-get install libegl1 libgl1-mesa-dri"
)


def prepare_off_screen() -> None:
    """Choose drawing without a screen; must run before VTK is imported.

    Raises
    ------
    DrawingError
        If the machine lacks the system libraries; names the packages.
    """
    if sys.platform.startswith("linux"):
        os.environ.setdefault("VTK_DEFAULT_OPENGL_WINDOW", "vtkEGLRenderWindow")
    if not _can_draw():
        raise DrawingError(_WAY_OUT)


@functools.cache
def _can_draw() -> bool:
    """Ask the system; if it does not say yes, draw 8 × 8 empty pixels in a child process."""
    if os.environ.get("VTK_DEFAULT_OPENGL_WINDOW") == "vtkEGLRenderWindow" and egl_draws():
        return True
    try:
        done = subprocess.run(
            [sys.executable, "-c", _PROBE], capture_output=True, timeout=60, check=False
        )
    except subprocess.TimeoutExpired:
        return False
    return done.returncode == 0
