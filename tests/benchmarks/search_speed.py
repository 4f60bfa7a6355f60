"""How fast the search is, against plain numpy and against a kernel that only adds up heights.

Run from the top folder: ``python tests/benchmarks/search_speed.py [places a side] [again]``. All in
one process, on the hill of the sample site laid out on a larger lattice, without surroundings.
"""

import sys
import time
from pathlib import Path

import numpy as np
from numba import njit
from search_plain import plain_search
from shapely.geometry import box

from visual.ground import HeightArray, Lattice
from visual.model import load_model
from visual.search.job import make_job
from visual.search.kernel_args import Rig, ground_of
from visual.search.scan import scan
from visual.search.window import _steepness, sample

CELL = 2.0
PLAIN = 1500  # places that plain numpy is timed on


@njit(nogil=True)
def add_heights(heights, at, width, rows, columns, offsets, weights, total):
    """Add up blends of four nodes: what a search cannot do without."""
    for r in range(rows):
        for left in range(0, columns, 128):
            size = min(128, columns - left)
            for k in range(offsets.size):
                p = at + r * width + left + offsets[k]
                a, b, c, d = weights[k, 0], weights[k, 1], weights[k, 2], weights[k, 3]
                for i in range(size):
                    total[r, left + i] += (
                        a * heights[p + i]
                        + b * heights[p + i + 1]
                        + c * heights[p + i + width]
                        + d * heights[p + i + width + 1]
                    )


def hill(side):
    """Return heights of rolling ground, metres: slopes of a few degrees, some of twenty."""
    x, y = np.meshgrid(CELL * np.arange(side), CELL * np.arange(side))
    rng = np.random.default_rng(5)
    z = np.zeros(x.shape)
    for length, high in ((900, 14.0), (420, 7.0), (170, 2.0), (80, 0.6), (35, 0.12)):
        for _ in range(3):
            t, phase = rng.uniform(0, 2 * np.pi, 2)
            z += high * np.sin(2 * np.pi * (x * np.cos(t) + y * np.sin(t)) / length + phase)
    return z


def again(side):
    """Return the ground of 256 places a side, laid out again and again, each time mirrored."""
    small = hill(256)
    return np.pad(small, (0, side - len(small)), mode="symmetric") if side > 256 else hill(side)


def best_of(run, times=3):
    """Return the shortest processor time of several runs: others may use the machine too. [s]"""
    took = []
    for _ in range(times):
        start = time.thread_time()
        result = run()
        took.append(time.thread_time() - start)
    return min(took), result


def main(side: int = 256, ground: str = "whole") -> None:
    """Time all three and print rates and ratios.

    With the ground "again" a larger land has the very ground of the smaller one many times, so that
    only its size is different.
    """
    model = load_model(Path("sample_sites/hill_paddock"))
    lattice = Lattice(
        origin=np.zeros(2),
        down=np.array([0.0, CELL]),
        right=np.array([CELL, 0.0]),
        shape=(side + 200, side + 200),
        dem=HeightArray((again if ground == "again" else hill)(side + 200)),
        survey=None,
    )
    land = box(0, 0, CELL * (side - 1), CELL * (side - 1))
    job = make_job(model, lattice, land, step=CELL, bearings=72, tile=side)
    heights = lattice.heights(0, 0, (job.width, job.width))
    steep = _steepness(lattice, heights, reach=job.numbers.gin + 1.0)
    start = job.margin * (job.width + 1)
    rows, columns = np.indices((side, side))
    nodes = start + rows * job.width + columns
    fields = np.full((4, job.width**2), np.float32(1e4))
    ground = ground_of(heights, fields, np.zeros(4, dtype=bool))
    rig = Rig(job.tables[0], job.cover[0], job.numbers, job.level, job.curves)
    hinges = sample(heights, rig.tables.base, nodes, job.width) + job.numbers.hinge
    share = np.zeros((side, side), np.float32)
    cause = np.zeros((side, side), np.uint8)
    bearing = np.full((side, side), -1, np.int16)

    def search():
        bearing[:], share[:] = -1, 0
        return scan(
            ground, rig, start, 1, np.ones((side, side), dtype=bool),
            np.empty((side, 0, 0), dtype=bool), steep.ravel()[nodes], hinges, share, cause, bearing,
        )  # fmt: skip

    search()  # compiled, or loaded
    took, looks = best_of(search)
    pairs = 72 * side * side
    tables = job.tables[0]
    close = 4 + tables.back.number.mean() + tables.ahead.number.mean() + tables.under.back.size
    samples = 2 * pairs + looks * close
    per_pair = max(1, round(samples / pairs))
    print(f"{side * side} places x 72 bearings, open land")
    print(f"search: {took:.2f} s, {pairs / took / 1e6:.1f} million pairs a second, one thread")
    print(
        f"works at {np.mean(bearing >= 0):.0%}; {looks / pairs:.1%} of the pairs looked at closely"
    )

    some = np.random.default_rng(1).choice(nodes.size, PLAIN, replace=False)
    spots = nodes.ravel()[some]
    plain, (best, which) = best_of(
        lambda: plain_search(job, heights.ravel(), spots, steep.ravel()[spots]), 1
    )
    agree = np.abs(np.where(which >= 0, best, 0) - np.maximum(share.ravel()[some], 0))
    rate = PLAIN * 72 / plain
    print(f"plain numpy: {rate / 1e6:.3f} million pairs a second; differs by {agree.max():.1e}")
    print(f"search / plain numpy: {pairs / took / rate:.0f}")

    for number in (per_pair, round(close)):
        offsets = np.resize(tables.ahead.samples.offset[:, 1:20].ravel(), 72 * number)
        weights = np.resize(tables.ahead.samples.first[:, 1:20].reshape(-1, 4), (72 * number, 4))
        total = np.zeros((side, side), np.float32)
        add = lambda o=offsets, w=weights, t=total: add_heights(  # noqa: E731
            ground.heights, start, job.width, side, side, o, w, t
        )
        add()
        summed, _ = best_of(add)
        print(f"adding {number} heights a pair: {pairs / summed / 1e6:.1f} million pairs a second")
        print(f"search / adding {number} heights: {summed / took:.2f}")


if __name__ == "__main__":
    main(*[int(value) for value in sys.argv[1:2]], *sys.argv[2:])
