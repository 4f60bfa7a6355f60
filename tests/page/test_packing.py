import base64

import numpy as np
import pytest

from visual.page.packing import pack_coarse, pack_exact, pack_whole
from visual.page.thinning import TOLERANCE, thin_line, thin_lines


def unpacked(packed):
    """Read a packed array as the viewer does."""
    raw = base64.b64decode(packed["data"])
    kinds = {"f4": "<f4", "u2": "<u2", "u4": "<u4", "q2": "<u2"}
    values = np.frombuffer(raw, kinds[packed["as"]]).reshape(packed["shape"])
    if packed["as"] != "q2":
        return values
    spread = np.array(packed["from"]) + values * np.array(packed["step"])
    return np.where(values == 65535, np.nan, spread)


def test_exact_numbers_come_back_as_32_bit_floats():
    values = np.array([[1.25, -3.5, np.nan], [1e-3, 1e6, 0.0]])
    np.testing.assert_array_equal(unpacked(pack_exact(values)), values.astype("f4"))


@pytest.mark.parametrize(("most", "kind"), [(65_000, "u2"), (70_000, "u4")])
def test_whole_numbers_take_the_bytes_they_need(most, kind):
    packed = pack_whole(np.array([0, 3, most]))
    assert packed["as"] == kind
    assert unpacked(packed).tolist() == [0, 3, most]


def test_coarse_numbers_are_within_half_a_step_and_keep_their_gaps():
    rng = np.random.default_rng(1)
    values = rng.uniform(-40, 40, (50, 7, 3))
    values[3, 2] = np.nan
    packed = pack_coarse(values)
    back = unpacked(packed)
    assert np.isnan(back[3, 2]).all()
    assert np.isnan(back).sum() == 3
    assert (np.abs(back - values)[np.isfinite(back)]).max() <= 0.51 * max(packed["step"])
    assert max(packed["step"]) < 0.0013  # 80 m in 65534 steps


def test_coarse_numbers_that_are_all_alike_or_unknown():
    values = np.column_stack([np.full(4, 2.5), np.full(4, np.nan)])
    back = unpacked(pack_coarse(values))
    np.testing.assert_allclose(back[:, 0], 2.5)
    assert np.isnan(back[:, 1]).all()


def test_a_thinned_line_keeps_its_ends_and_lies_near_every_point_left_out():
    s = np.linspace(0, 30, 3000)
    path = np.column_stack([s, np.sin(s / 3), 0.05 * s])
    thin = thin_line(path)
    assert len(thin) < 120
    np.testing.assert_array_equal(thin[[0, -1]], path[[0, -1]])
    near = np.interp(path[:, 0], thin[:, 0], thin[:, 1])
    assert np.abs(near - path[:, 1]).max() <= 1.1 * TOLERANCE  # measured along y, not square on


def test_a_closed_line_stays_closed():
    turn = np.linspace(0, 2 * np.pi, 400)
    ring = np.column_stack([np.cos(turn), np.sin(turn), 0 * turn])
    thin = thin_line(ring)
    np.testing.assert_allclose(thin[0], thin[-1], atol=1e-12)
    assert 10 < len(thin) < 80


def test_lines_thinned_together_are_those_thinned_alone():
    random = np.random.default_rng(4)
    lines = [random.normal(size=(n, 3)).cumsum(axis=0) for n in (3, 40, 2, 200, 7)]
    together = thin_lines(lines, 0.8)
    for line, thin in zip(lines, together, strict=True):
        np.testing.assert_array_equal(thin, thin_line(line, 0.8))
    assert sum(map(len, together)) < 200
    assert thin_lines([]) == []
