"""Compiled loops over many points: the same heights as the plain way, NaN and edges too."""

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from visual.ground import batch, make_tin
from visual.ground import patch as patch_module
from visual.ground import tin as tin_module

LAYOUTS = {
    "north up": {"right": (2.0, 0.0), "down": (0.0, -2.0)},
    "south up": {"right": (2.0, 0.0), "down": (0.0, 2.0)},
    "turned": {"right": (1.6, 1.2), "down": (1.2, -1.6)},
    "mirrored": {"right": (-2.0, 0.0), "down": (0.0, -2.0)},
}


@pytest.fixture
def compiled(monkeypatch):
    """Take the compiled loops for however few points."""
    for module in (patch_module, tin_module):
        monkeypatch.setattr(module, "worth_compiling", lambda points: True)


def holed(x, y):
    z = 0.1 * x + np.sin(0.7 * x) * np.cos(0.9 * y)
    return np.where(np.hypot(x - 4, y - 6) < 5, np.nan, z)


def bent(patch):
    """The patch as it is after a map projection: rows and columns no longer straight."""
    x = patch.x + 1e-3 * patch.y**2 / 20
    y = patch.y - 2e-3 * patch.x**2 / 20
    return patch_module.DemPatch(x=x, y=y, z=patch.z, file="bent")


def places(patch, seed, count=300):
    """Points in and around a patch, some on nodes and edges, some no places at all."""
    rng = np.random.default_rng(seed)
    xmin, ymin, xmax, ymax = patch.bounds
    x, y = rng.uniform(xmin - 5, xmax + 5, count), rng.uniform(ymin - 5, ymax + 5, count)
    node = rng.integers(0, patch.x.size, 60)
    x[:60], y[:60] = patch.x.ravel()[node], patch.y.ravel()[node]
    beside = np.minimum(node + 1, patch.x.size - 1)
    x[:30] = (x[:30] + patch.x.ravel()[beside[:30]]) / 2
    y[:30] = (y[:30] + patch.y.ravel()[beside[:30]]) / 2
    x[60], y[61] = np.nan, np.inf
    return x, y


def assert_as_plain(surface, x, y):
    plain, fast = surface._height(x, y), surface.height(x, y)
    np.testing.assert_array_equal(np.isnan(fast), np.isnan(plain))
    np.testing.assert_allclose(fast, plain, atol=1e-9)


@pytest.mark.parametrize("layout", LAYOUTS.values(), ids=LAYOUTS)
@settings(
    max_examples=8, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(seed=st.integers(0, 9999))
def test_heights_on_a_lattice(compiled, patch_of, layout, seed):
    patch = patch_of(holed, **layout)
    with np.errstate(invalid="ignore"):
        for one in (patch, bent(patch)):
            assert_as_plain(one, *places(one, seed))


def test_a_lattice_that_bends_smoothly_needs_no_nodes(compiled, patch_of):
    patch = patch_of(holed)
    mild = patch_module.DemPatch(
        x=patch.x + 1e-11 * patch.y**2, y=patch.y - 1e-11 * patch.x**2, z=patch.z, file="mild"
    )
    assert patch.cells._bend is not None
    assert mild.cells._bend is not None
    assert bent(patch).cells._bend is None
    with np.errstate(invalid="ignore"):
        assert_as_plain(mild, *places(mild, 7))


def survey(seed, count, *, fence):
    rng = np.random.default_rng(seed)
    plan = rng.uniform(-20, 20, (count, 2))
    if fence:  # points nearly in line at the rim: slivers that are no ground
        line = np.column_stack([np.linspace(-20, 20, 9), np.full(9, 21.0)])
        plan = np.concatenate([plan, line + rng.normal(0, 1e-3, line.shape)])
    return make_tin(np.column_stack([plan, rng.normal(0, 1, len(plan))]), file="survey.csv")


@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(seed=st.integers(0, 9999), count=st.integers(3, 60), fence=st.booleans())
def test_heights_on_a_surveyed_surface(compiled, seed, count, fence):
    tin = survey(seed, count, fence=fence)
    rng = np.random.default_rng(seed + 1)
    x, y = rng.uniform(-25, 25, (2, 200))
    # on points, on edges, and beside the rim by hardly more than rounding
    corners = tin.corners[rng.integers(0, len(tin.corners), 60), :, :2]
    if not fence:  # which triangle a corner of a sliver falls to depends on the points before it
        x[:60], y[:60] = corners[:, 0].T
    x[60:120], y[60:120] = ((corners[:, 0] + corners[:, 1]) / 2).T
    x[120:180], y[120:180] = (corners[:, 0] * 1.3 - corners[:, 1] * 0.3).T
    assert_as_plain(tin, x, y)


def test_no_point_at_all(compiled, patch_of):
    none = np.empty(0)
    assert patch_of(holed).height(none, none).shape == (0,)
    assert survey(1, 9, fence=False).height(none, none).shape == (0,)


def test_small_batches_do_not_load_the_compiler(monkeypatch):
    monkeypatch.setattr(batch.sys, "modules", {})
    assert not batch.worth_compiling(100_000)
    assert batch.worth_compiling(1_000_000)


def test_large_batches_are_compiled(patch_of, monkeypatch):
    monkeypatch.setattr(batch, "LOADED_FROM", 100)
    monkeypatch.setitem(batch.sys.modules, "numba", batch.sys.modules.get("numba", batch))
    looked = []
    patch = patch_of(holed)
    plain = type(patch.cells).compiled_heights
    monkeypatch.setattr(
        type(patch.cells),
        "compiled_heights",
        lambda self, x, y: looked.append(len(x)) or plain(self, x, y),
    )
    rng = np.random.default_rng(3)
    patch.height(*rng.uniform(-20, 20, (2, 50)))
    patch.height(*rng.uniform(-20, 20, (2, 500)))
    assert looked == [500]
