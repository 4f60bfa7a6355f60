"""Heights along the contours of a plan."""

import math
from collections.abc import Iterator, Sequence

import numpy as np

from visual.scene.build import SceneMaker
from visual.scene.cut import inside
from visual.scene.layers import LineLayer
from visual.scene.overlay import upright
from visual.scene.site_ground import drawn_interval, height_unit
from visual.scene.style import ROLES
from visual.sheets.drawing import Drawing, ring_flat
from visual.sheets.labelling import Label
from visual.sheets.window import Flat

_SIZE = 5.4  # of type [pt]
_SHORTEST = 22.0  # a shorter piece of a contour bears no number [mm]
_EDGE = 6.0  # numbers stay this far from the frame [mm]
_SHARES = (0.5, 0.28, 0.72, 0.14, 0.86)


def contour_labels(drawing: Drawing, maker: SceneMaker) -> list[Label]:
    """Offer places for the height of every contour that is seen for long enough."""
    found: list[Label] = []
    roofs = [
        ring
        for building in maker.report.model.surroundings.buildings
        for ring in ring_flat(building.footprint, drawing.window)
    ]
    for layer in maker.drawn:
        if isinstance(layer, LineLayer) and layer.role in ("contour", "contour_index"):
            for number, path in enumerate(layer.paths):
                text = _height(maker, float(np.mean(path[:, 2])))
                pieces = drawing.window.cut_lines([drawing.window.flat(path)])
                for part, piece in enumerate(pieces):
                    choice = f"{layer.role} {number} {part}"
                    offers = _offers(drawing, layer.role, piece, text, choice)
                    found += [one for one in offers if not _is_in(one, roofs)]
    return found


def _is_in(label: Label, rings: Sequence[Flat]) -> bool:
    """Return whether a number would stand on a roof, where its contour is hidden."""
    return bool(inside(rings, label.at[:1], label.at[1:]).any())


def _height(maker: SceneMaker, z: float) -> str:
    """Return the height of a contour as it is written, from its z. [m]"""
    model = maker.report.model
    unit, _ = height_unit(model)
    step = drawn_interval(model, maker.terrain) / unit
    decimals = max(0, -math.floor(math.log10(step) + 1e-9))
    level = round((z + model.frame.origin_height) / unit / step) * step
    return f"{level:.{decimals}f}"


def _offers(drawing: Drawing, role: str, piece: Flat, text: str, choice: str) -> Iterator[Label]:
    run = np.r_[0.0, np.cumsum(np.linalg.norm(np.diff(piece, axis=0), axis=1))]
    if run[-1] < _SHORTEST:
        return
    half = drawing.sheet.text_width(text, size=_SIZE) / 2 + 0.5
    for rank, share in enumerate(_SHARES):
        where = share * run[-1] + np.array([-half, 0.0, half])
        a, at, b = (np.array([np.interp(w, run, piece[:, k]) for k in (0, 1)]) for w in where)
        if not drawing.window.holds(at[None], edge=_EDGE)[0]:
            continue
        yield Label(
            text=text,
            at=(a + b) / 2,
            size=_SIZE,
            priority=(0.6 if role == "contour_index" else 0.3) - 0.01 * rank,
            choice=choice,
            turn=upright(math.atan2(b[1] - a[1], b[0] - a[0])),
            color=ROLES["contour_index"].color,
            counted=False,
        )
