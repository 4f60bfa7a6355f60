"""All pictures of a site, written as PNG files."""

import difflib
import math
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from visual.errors import InputError

if TYPE_CHECKING:
    from visual.checks import Report
    from visual.scene.views import Shot

Progress = Callable[[Path, int, int], None]


def draw_pictures(
    report: "Report",
    *,
    views: Sequence[str] = (),
    size: tuple[int, int] = (1600, 1000),
    angle: float | None = None,
    out: Path,
    progress: Progress | None = None,
) -> list[Path]:
    """Draw named views of a site as PNG files.

    Parameters
    ----------
    report : Report
        The judged model.
    views : sequence of str
        Names of the views; all of them if empty.
    size : tuple of int
        Width and height. [px]
    angle : float or None
        Raising angle of every view that can show another than its own; None: each view's
        own. [deg]
    out : Path
        Folder for the files, made if it is missing.
    progress : callable or None
        Called with path, number and total after each file.

    Returns
    -------
    list of Path
        The files, in the order drawn.

    Raises
    ------
    InputError
        If a view has no such name, or the mast is never at that angle.
    DrawingError
        If the machine lacks what drawing needs.
    """
    from visual.scene.build import SceneMaker
    from visual.scene.machine import prepare_off_screen
    from visual.scene.picture import make_picture, write_picture
    from visual.scene.views import at_angle, named_shots

    _check_angle(report, angle)
    prepare_off_screen()
    maker = SceneMaker(report)
    shots = choose(named_shots(report, maker.terrain), views)
    out.mkdir(parents=True, exist_ok=True)
    paths: list[Path] = []
    for number, shot in enumerate(shots, start=1):
        shot = at_angle(shot, None if angle is None else math.radians(angle))
        path = out / f"{shot.view.name}.png"
        image = make_picture(maker.at(shot.angle), shot.view, width=size[0], height=size[1])
        write_picture(path, image)
        paths.append(path)
        if progress is not None:
            progress(path, number, len(shots))
    return paths


def _check_angle(report: "Report", angle: float | None) -> None:
    start = math.degrees(report.raised.first_angle)
    if angle is not None and not start - 1e-6 <= angle <= 90.0:
        raise InputError.one(
            file="--angle",
            key="",
            value=f"{angle:g}",
            rule=f"the mast of this site turns from {start:.2f} to 90 degrees",
            way_out="give an angle in that range, or none",
        )


def choose(shots: Sequence["Shot"], names: Sequence[str]) -> list["Shot"]:
    """Return the shots of the given names in that order, or all of them for no names."""
    by_name = {shot.view.name: shot for shot in shots}
    for name in names:
        if name not in by_name:
            near = difflib.get_close_matches(name, by_name, n=1)
            hint = f"did you mean {near[0]!r}? " if near else ""
            raise InputError.one(
                file="--view",
                key="",
                value=name,
                rule="there is no such view of this site",
                way_out=f"{hint}take one of: {', '.join(by_name)}",
            )
    return [by_name[name] for name in names] if names else list(shots)
