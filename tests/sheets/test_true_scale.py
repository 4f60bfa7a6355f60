"""The drawings of the set measured as PDF: what is on paper, times the scale, is the model."""

import io
import math
import re

import numpy as np
import pytest
from pypdf import PdfReader

from visual.scene.style import ROLES
from visual.sheets.plan_window import plan_window
from visual.sheets.scales import parse_scale

CLOSE = 0.1  # as much may anything be off on paper [mm]
MARK = 0.8 * ROLES["anchor"].width * 0.85  # side of the sign of an anchor [mm]


def metres_in(scale):
    """Return the metres in a millimetre of paper, as the title block states them."""
    return parse_scale(re.search(r"1:[\d\u2009\u202f ]*\d", scale)[0].replace("\u202f", "")) / 1000


def is_ink(color, role="anchor"):
    return np.allclose(color, np.array(ROLES[role].color) / 255, atol=0.01)


def squares(paths):
    """Return the middles of the signs of anchors."""
    return [
        path.middle
        for path in paths
        if path.closed and len(path.points) == 4 and np.allclose(path.size, MARK, atol=0.02)
        and is_ink(path.fill)
    ]  # fmt: skip


def base_of(paths):
    """Return where the ring of the base plate is; the legend has one too, to the right."""
    size = 0.8 * ROLES["base"].width
    rings = [p.middle for p in paths if p.closed and np.allclose(p.size, size, atol=0.02)]
    return min(rings, key=lambda at: at[0])


def bar_of(paths):
    """Return the length of the scale bar: upright boxes 1.6 mm high that touch. [mm]"""
    boxes = [p for p in paths if p.closed and len(p.points) == 4 and abs(p.size[1] - 1.6) < 0.01]
    boxes = [p for p in boxes if np.allclose(p.points[:, 1].min(), boxes[0].points[:, 1].min())]
    return max(p.points[:, 0].max() for p in boxes) - min(p.points[:, 0].min() for p in boxes)


@pytest.mark.parametrize(("paper", "units"), [("A3", "metric"), ("letter", "imperial")])
def test_every_anchor_of_the_site_plan_stands_where_it_is(paper, units, judge, drawn, paths_of):
    content, scale = drawn("plan", paper, units)
    paths, metres = paths_of(content, 0), metres_in(scale)
    # the legend has such a sign too, in the panel to the right
    found = sorted(squares(paths), key=lambda at: at[0])[:4]
    base = base_of(paths)
    for anchor in judge(units).model.anchors.values():
        east, north = anchor.eye[:2] / metres
        off = [math.hypot(at[0] - base[0] - east, at[1] - base[1] + north) for at in found]
        assert min(off) < CLOSE


@pytest.mark.parametrize(
    ("paper", "units", "unit"), [("A3", "metric", 1.0), ("letter", "imperial", 0.3048)]
)
def test_the_scale_bar_is_as_long_as_it_says(paper, units, unit, drawn, paths_of, text_of):
    content, scale = drawn("plan", paper, units)
    length = bar_of(paths_of(content, 0)) * metres_in(scale)
    said = re.search(r"0(?: \d+)* (\d+) (m|ft)\b", text_of(content, 0))
    assert length / unit == pytest.approx(float(said[1]), abs=CLOSE * metres_in(scale) / unit)


def test_the_circle_of_the_rules_has_its_radius_on_paper(judge, drawn, paths_of):
    content, scale = drawn("plan", "A3", "metric")
    edge = judge("metric").fall_zone.circle_radius / metres_in(scale)
    round_ones = [
        path
        for path in paths_of(content, 0)
        if np.allclose(path.size, 2 * edge, atol=2 * CLOSE) and path.operator == "S"
    ]
    assert round_ones
    for path in round_ones:
        away = np.hypot(*(path.points - path.middle).T)
        assert away == pytest.approx(edge, abs=CLOSE)


def test_grid_crosses_stand_at_round_coordinates(drawn, paths_of):
    content, scale = drawn("plan", "A3", "metric")
    paths, metres = paths_of(content, 0), metres_in(scale)
    level = [p for p in paths if len(p.points) == 2 and np.allclose(p.size, [3.2, 0], atol=0.01)]
    assert len(level) > 5
    for path in level:
        east, north = (path.middle - base_of(paths)) * metres * [1, -1]
        assert east == pytest.approx(round(east / 10) * 10, abs=CLOSE * metres)
        assert north == pytest.approx(round(north / 10) * 10, abs=CLOSE * metres)


def test_heights_and_lengths_of_an_elevation_have_one_scale(judge, drawn, paths_of):
    content, scale = drawn("elevations", "A3", "metric")
    model, metres = judge("metric").model, metres_in(scale)
    count = len(PdfReader(io.BytesIO(content)).pages)
    pages = [paths_of(content, number) for number in range(count)]
    masts = [
        p for paths in pages for p in paths
        if len(p.points) == 2 and is_ink(p.stroke, "mast")
        and p.size == pytest.approx([0, model.rig.mast.length / metres], abs=CLOSE)
    ]  # fmt: skip
    assert len(masts) == 2  # one in each elevation
    signs = [at for paths in pages for at in squares(paths)]
    hinge = masts[0].points[np.argmax(masts[0].points[:, 1])]
    for side in ("front", "back"):
        eye = model.anchors[side].eye
        out, up = float(eye @ model.forward) / metres, float(eye[2]) / metres
        at = [(abs(sign[0] - hinge[0]), hinge[1] - sign[1]) for sign in signs]
        assert min(math.hypot(x - abs(out), z - up) for x, z in at) < CLOSE


def test_a_scale_that_is_asked_for_is_drawn(judge, new_document):
    box = new_document("A3").body
    window = plan_window(judge("metric"), box, units="metric", denominator=333.0)
    assert window.scale == pytest.approx(1000 / 333)
    ends = window.flat(np.array([[0.0, 0.0, 0.0], [10.0, 0.0, 5.0], [0.0, 10.0, -5.0]]))
    assert ends[1] - ends[0] == pytest.approx([10 * window.scale, 0])
    assert ends[2] - ends[0] == pytest.approx([0, -10 * window.scale])
