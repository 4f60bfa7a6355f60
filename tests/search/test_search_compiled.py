"""Kernels: compiled once for all that calls them, and anew when any of them has changed."""

import math
import os
import shutil
from pathlib import Path

from visual.search import compiled, kernel, kernel_raise, rings, scan
from visual.search.exact import look_at
from visual.search.rose import rose_at
from visual.search.run import search

KERNELS = {
    f"{module.__name__}.{name}": one
    for module in (kernel, kernel_raise, rings, scan)
    for name, one in vars(module).items()
    if hasattr(one, "nopython_signatures")
}


ENTERED = (
    *("_scan", "look_closely", "fill_curve", "ray_heights", "tube_angle"),
    *("balls_angle", "gin_margin", "pull_margin"),
)
INSIDE = ("_segment", "_ring_pass", "look")


def test_each_kernel_is_compiled_for_one_signature(make_land, make_waves):
    land = make_land(make_waves(3, 0.1))
    options = {"step": 4.0, "turn": math.radians(45), "top": 0, "lattice": land.lattice}
    found = search(land.model, radius=16.0, **options)
    rows, columns = found.works.nonzero()
    look_at(found.job, rows[:1], columns[:1], found.bearing[rows, columns][:1].astype(int))
    rose_at(land.model, turn=math.radians(45), lattice=land.lattice)
    counts = {name.rpartition(".")[2]: len(one.signatures) for name, one in KERNELS.items()}
    assert {name: counts[name] for name in ENTERED} == dict.fromkeys(ENTERED, 1)
    # those inside of kept ones are not even loaded
    assert all(counts[name] <= 1 for name in INSIDE)


def test_a_change_of_any_kernel_file_changes_the_stamp_that_all_are_kept_with(tmp_path):
    source = Path(compiled.__file__).parent
    folder = tmp_path / "search"
    shutil.copytree(source, folder, ignore=shutil.ignore_patterns("__pycache__"))
    kept = {one._cache._cache_file._source_stamp for one in KERNELS.values()}
    assert kept == {compiled.stamp_of(source)}
    before = compiled.stamp_of(folder)
    os.utime(folder / "rings.py", (1.0, 1.0))
    assert compiled.stamp_of(folder) != before
