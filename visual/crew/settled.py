"""Whether readings settle every point, and what to read where they do not."""

from collections.abc import Iterator

import numpy as np

from visual.crew.adjustment import Adjustment
from visual.errors import InputError, Problem


def check_settled(found: Adjustment, file: str) -> None:
    """Make sure that every point is settled, and ask for what is missing."""
    if not len(found.loose):
        return
    problems = list(_open_points(found, file))
    if not problems:
        rule = "the readings leave the layout free to turn about the base"
        way_out = "add a compass or grid bearing from the hinge to an anchor, or GPS readings"
        problems = [Problem(file, "", None, rule, way_out)]
    raise InputError(problems)


def _open_points(found: Adjustment, file: str) -> Iterator[Problem]:
    size = 3 * len(found.network.points)
    sizes = np.sqrt((found.loose[:, :size] ** 2).sum(axis=0)).reshape(-1, 3)
    plan = sizes[:, :2].max(axis=1) > 1e-3
    turns = plan.all() and len(found.loose) == 1 and len(plan) > 1
    for point, (x, y, z), loose in zip(found.network.points, sizes, plan, strict=True):
        if loose and not turns:
            rule = "the readings do not settle where this point is in plan"
            way_out = f"add a tape, a bearing or a GPS reading to {point}"
            yield Problem(file, "point", point, rule, way_out)
        elif z > 1e-3 and max(x, y) <= 1e-3:
            rule = "the readings do not settle the height of this point"
            way_out = f"add a level or clinometer reading to {point}"
            yield Problem(file, "point", point, rule, way_out)
