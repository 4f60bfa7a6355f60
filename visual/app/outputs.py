"""What is made of an answer: the scene of the viewer, pictures, the page, the sheets."""

import pickle
import subprocess
import sys
from dataclasses import dataclass

from visual.app.answer import Answer
from visual.errors import DrawingError, InputError

_SHELL = """<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta name="viewport" content="width=device-width, initial-scale=1,
 interactive-widget=resizes-content">
<title>Hillmast</title>
<link rel="icon" href="data:,">
<style>{style}</style>
</head>
<body>
<div id="hillmast"></div>
<noscript>The live view draws with a script of its own; allow it.</noscript>
<script>{script}</script>
</body>
</html>
"""

PROGRAM = "visual.app.draw"
DRAW_TIME = 180.0
"""A picture that takes longer is given up. [s]"""


@dataclass(frozen=True)
class Camera:
    """Where a picture is taken from, in the local frame.

    Parameters
    ----------
    eye, target, up : tuple of float
        The eye, what it looks at, and a direction that points up in the picture. [m]
    field_of_view : float
        Vertical, of a perspective; 0 for an orthographic picture. [deg]
    span : float
        Height that an orthographic picture covers. [m]
    angle : float or None
        Raising angle; None for the mast standing on all its wires. [deg]
    width, height : int
        Size of the picture. [px]
    """

    eye: tuple[float, float, float]
    target: tuple[float, float, float]
    up: tuple[float, float, float]
    field_of_view: float
    span: float
    angle: float | None
    width: int
    height: int

    def __post_init__(self) -> None:
        if not (300 <= self.width <= 4000 and 200 <= self.height <= 4000):
            size = f"{self.width}x{self.height}"
            rule, way_out = "a picture is 300x200 to 4000x4000 pixels", "take another size"
            raise InputError.one(file="picture", key="size", value=size, rule=rule, way_out=way_out)


def picture_of(answer: Answer, camera: Camera) -> bytes:
    """Return a picture as PNG; raises as `made_by`."""
    return made_by("picture", answer, camera)


def page_of(answer: Answer) -> bytes:
    """Return the page to send, one HTML file; raises as `made_by`."""
    return made_by("page", answer)


def sheets_of(answer: Answer) -> bytes:
    """Return the sheets as PDF, with the date of today; raises as `made_by`."""
    return made_by("sheets", answer)


def made_by(what: str, answer: Answer, camera: Camera | None = None) -> bytes:
    """Return what a program of its own makes: its end nobody else would feel, nor its haste.

    Raises
    ------
    DrawingError
        If the machine lacks what it needs, or it fails.
    """
    command = [sys.executable, "-m", PROGRAM, what]
    try:
        done = subprocess.run(
            command,
            input=pickle.dumps((answer.report, camera)),
            capture_output=True,
            timeout=DRAW_TIME,
            check=False,
        )
    except subprocess.TimeoutExpired:
        message = f"the {what} took too long"
        raise DrawingError(message) from None
    if done.returncode or not done.stdout:
        said = done.stderr.decode("utf-8", "replace").strip().splitlines()
        message = said[-1] if said else f"the {what} could not be made"
        raise DrawingError(message)
    return done.stdout


def shell() -> tuple[str, str]:
    """Return the empty viewer and what it may do.

    Raises
    ------
    DrawingError
        If the viewer has not been built.
    """
    from visual.page.bundle import read_bundle
    from visual.page.page import closed, policy

    bundle = read_bundle(script="live.js", style="live.css")
    script, style = closed(bundle.script), closed(bundle.style)
    may = policy(script, style) + "; connect-src 'self'; frame-ancestors 'none'"
    return _SHELL.format(style=style, script=script), may
