"""Making one picture, page or sheet set: a program of its own, fed by `visual.app.outputs`."""

import datetime as dt
import importlib
import math
import pickle
import sys

import numpy as np

from visual.app.outputs import Camera
from visual.checks import Report
from visual.errors import DrawingError, HillmastError
from visual.scene.camera import View


def view_of(camera: Camera) -> View:
    """Return the view of a camera."""
    up = np.asarray(camera.up, float)
    sight = np.asarray(camera.target, float) - np.asarray(camera.eye, float)
    if np.linalg.norm(np.cross(up, sight)) < 1e-6 * np.linalg.norm(sight):
        up = np.array([0.0, 1.0, 0.0])  # straight down
    return View(
        name="camera",
        title="As seen in the live view",
        projection="perspective" if camera.field_of_view else "orthographic",
        eye=np.asarray(camera.eye, float),
        target=np.asarray(camera.target, float),
        up=up,
        span=(camera.span * camera.width / camera.height, camera.span),
        field_of_view=math.radians(camera.field_of_view or 30.0),
        hidden=frozenset({"ghosts"}),
    )


def draw_picture(report: Report, camera: Camera) -> bytes:
    """Return the picture as PNG."""
    from visual.scene.build import SceneMaker
    from visual.scene.machine import prepare_off_screen
    from visual.scene.picture import make_picture, png_bytes

    prepare_off_screen()
    angle = None
    if camera.angle is not None:
        angle = min(max(math.radians(camera.angle), report.raised.first_angle), math.pi / 2)
    scene = SceneMaker(report).at(angle)
    image = make_picture(scene, view_of(camera), width=camera.width, height=camera.height)
    return png_bytes(image)


def make_page(report: Report) -> bytes:
    """Return the page to send."""
    from visual.page.bundle import read_bundle
    from visual.page.data import PageMaker
    from visual.page.page import page_text

    return page_text(PageMaker(report).data(), read_bundle()).encode("utf-8")


def make_sheets(report: Report) -> bytes:
    """Return the sheets as PDF."""
    try:
        sheets = importlib.import_module("visual.sheets.sheet_set")
    except ModuleNotFoundError:
        message = "this copy of the program makes no sheets"
        raise DrawingError(message) from None
    return bytes(sheets.sheet_set(report, date=dt.date.today()))


def main() -> None:
    """Read report and camera from standard input and write what is asked for to standard output."""
    report, camera = pickle.load(sys.stdin.buffer)
    output = sys.stdout.buffer
    sys.stdout = sys.stderr  # what a library prints must not get between the bytes
    try:
        match sys.argv[1]:
            case "picture":
                output.write(draw_picture(report, camera))
            case "page":
                output.write(make_page(report))
            case "sheets":
                output.write(make_sheets(report))
    except HillmastError as error:
        sys.stderr.write(f"{error}\n")
        sys.exit(2)


if __name__ == "__main__":
    main()
