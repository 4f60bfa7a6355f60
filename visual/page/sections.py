"""What a view from the side leaves out: things farther from its cut than the rig reaches."""

from visual.checks import Report
from visual.checks.from_base import behind
from visual.page.packing import Json
from visual.scene.layers import Points

_STANDING = ("building", "overhead_line")
_FARTHEST = 10.0  # total heights: what is farther nobody misses in a cut
_FOOT = 0.3048


def depth_of(report: Report) -> float:
    """Return how far from a cut through the mast something still is drawn. [m]

    The rig, and a mast that falls, reach no farther.
    """
    return float(max(report.fall_zone.total_height, report.fall_zone.circle_radius))


def left_out(report: Report, *, at: Points, normal: Points) -> list[Json]:
    """Return what stands behind a cut but is too far from it to be drawn, nearest first.

    Parameters
    ----------
    report : Report
        The judged model.
    at, normal : ndarray, shape (3,)
        A point of the cut and the unit vector away from the eye. [m]
    """
    least, most = depth_of(report), _FARTHEST * report.fall_zone.total_height
    found = sorted(
        (depth, name)
        for depth, _, name in behind(report.model, _STANDING, at=at[:2], normal=normal[:2])
        if least < depth < most
    )
    return [
        {"name": name, "text": {units: f"{name} {away}" for units, away in _behind(depth).items()}}
        for depth, name in found
    ]


def _behind(metres: float) -> dict[str, str]:
    return {"metric": f"{metres:.0f} m behind", "imperial": f"{metres / _FOOT:.0f} ft behind"}
