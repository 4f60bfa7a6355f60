"""Views: where a picture is taken from, and which pixel a point lands on.

The projection is written out in numpy so that labels can be laid out without a renderer; the
tests hold it against VTK's own.
"""

import math
from dataclasses import dataclass, field, replace
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from visual.scene.layers import Points

ASPECT = 1.385
"""Width over height of the drawing beside a legend; perspective views are fitted to it."""

Projection = Literal["orthographic", "perspective"]
Panel = Literal["right", "bottom"]


@dataclass(frozen=True, eq=False, kw_only=True)
class View:
    """One way to look at a scene.

    Parameters
    ----------
    name : str
        Name of the view and of its file, e.g. ``"plan"``.
    title : str
        What the title strip says.
    projection : {"orthographic", "perspective"}
        Kind of projection.
    eye : ndarray, shape (3,)
        Where the picture is taken from. [m]
    target : ndarray, shape (3,)
        What lands in the middle. [m]
    up : ndarray, shape (3,)
        Direction that points up on the picture.
    span : tuple of float
        Width and height at the target that must be seen (orthographic). [m]
    field_of_view : float
        Vertical angle of view (perspective). [rad]
    rise : float
        How far the picture is moved up in a perspective whose line of sight stays level, as a
        share of half its height: uprights then stay upright.
    eye_level : bool
        True if the picture is what a person sees from a place; its field of view is then stated.
    line_share : float
        Width of the lines of the rig, as a share of their usual width.
    subject : ndarray, shape (n, 3), or None
        What the picture is about; if none of it can be seen the picture says so. [m]
    panel : {"right", "bottom"}
        Where the legend stands.
    hidden : frozenset of str
        Groups left out.
    only : frozenset of str
        Groups that are drawn in this view alone, such as a cut ground.
    on_top : tuple of str
        Groups drawn over everything, as a plan shows a wire under a tree; later ones over
        earlier ones.
    wash : float
        How strongly everything that is not `on_top` shows, 1 full … 0 not at all.
    clip : tuple of ndarray or None
        Point and normal of a plane; the clipped groups are drawn, labels and all, only on the
        side the normal points to.
    clipped : frozenset of str
        Groups that `clip` cuts.
    """

    name: str
    title: str
    projection: Projection
    eye: Points = field(repr=False)
    target: Points = field(repr=False)
    up: Points = field(repr=False)
    span: tuple[float, float] = (0.0, 0.0)
    field_of_view: float = math.radians(30.0)
    rise: float = 0.0
    eye_level: bool = False
    line_share: float = 1.0
    subject: Points | None = field(default=None, repr=False)
    panel: Panel = "right"
    hidden: frozenset[str] = frozenset()
    only: frozenset[str] = frozenset()
    on_top: tuple[str, ...] = ()
    wash: float = 1.0
    clip: tuple[Points, Points] | None = field(default=None, repr=False)
    clipped: frozenset[str] = frozenset({"ground", "surroundings", "clearance", "line_names"})

    @property
    def axes(self) -> NDArray[np.float64]:
        """Return right, up and backward (to the eye) as rows, shape (3, 3)."""
        back = np.asarray(self.eye, float) - np.asarray(self.target, float)
        back = back / np.linalg.norm(back)
        right = np.cross(self.up, back)
        right = right / np.linalg.norm(right)
        return np.array([right, np.cross(back, right), back])

    @property
    def distance(self) -> float:
        """Eye to target. [m]"""
        return float(np.linalg.norm(np.asarray(self.eye) - np.asarray(self.target)))

    def metres_per_pixel(self, width: int, height: int) -> float:
        """Return the length that one pixel covers at the target. [m]"""
        if self.projection == "orthographic":
            return max(self.span[0] / width, self.span[1] / height)
        return 2 * self.distance * math.tan(self.field_of_view / 2) / height

    def with_span(self, width: float, height: float) -> "View":
        """Return the same view covering another width and height. [m]"""
        return replace(self, span=(width, height))


def project(
    view: View, points: Points, *, width: int, height: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return pixel positions and depths of points.

    Parameters
    ----------
    view : View
        The view.
    points : ndarray, shape (n, 3)
        Points in the local frame. [m]
    width, height : int
        Size of the picture. [px]

    Returns
    -------
    pixels : ndarray, shape (n, 2)
        Position from the upper left corner of the picture, x right, y down; the middle of the
        first pixel is (0.5, 0.5). Points behind the eye of a perspective are NaN.
    depth : ndarray, shape (n,)
        Distance in front of the eye, along the line of sight. [m]
    """
    offset = np.asarray(points, float).reshape(-1, 3) - np.asarray(view.eye, float)
    right, up, back = view.axes
    across, along, depth = offset @ right, offset @ up, -(offset @ back)
    middle = height / 2
    if view.projection == "orthographic":
        scale = np.full(len(offset), 1 / view.metres_per_pixel(width, height))
    else:
        focal = height / 2 / math.tan(view.field_of_view / 2)
        scale = np.where(depth > 1e-6, focal / np.where(depth > 1e-6, depth, 1.0), np.nan)
        middle += view.rise * height / 2
    pixels = np.column_stack([width / 2 + across * scale, middle - along * scale])
    return pixels, depth


def fit_orthographic(view: View, points: Points, *, margin: float = 0.06) -> View:
    """Return the view moved and sized so that all points are seen.

    Parameters
    ----------
    view : View
        Orthographic view whose direction stays as it is.
    points : ndarray, shape (n, 3)
        What must be seen. [m]
    margin : float
        Share of the size left free on each side.
    """
    right, up, back = view.axes
    offset = np.asarray(points, float).reshape(-1, 3) - np.asarray(view.target, float)
    across, along, toward = offset @ right, offset @ up, offset @ back
    shift = (across.min() + across.max()) / 2 * right + (along.min() + along.max()) / 2 * up
    grown = 1 + 2 * margin
    depth = float(np.ptp(toward)) + 50.0
    target = np.asarray(view.target, float) + shift
    return replace(
        view,
        target=target,
        eye=target + back * (float(toward.max()) + depth),
        span=(float(np.ptp(across)) * grown, float(np.ptp(along)) * grown),
    )


def fit_perspective(view: View, points: Points, *, aspect: float, margin: float = 0.06) -> View:
    """Return the view moved along and across its line of sight so that all points are seen.

    The direction of sight and the angle of view stay; eye and target move together.

    Parameters
    ----------
    view : View
        Perspective view.
    points : ndarray, shape (n, 3)
        What must be seen. [m]
    aspect : float
        Width of the picture over its height.
    margin : float
        Share of the size left free on each side.
    """
    right, up, back = view.axes
    pts = np.asarray(points, float).reshape(-1, 3)
    half = math.tan(view.field_of_view / 2) * (1 - 2 * margin)
    x, y = _tightest(pts @ right, pts @ back, half * aspect), _tightest(pts @ up, pts @ back, half)
    away = max(x[1], y[1])
    eye = x[0] * right + y[0] * up + away * back
    target = eye - back * max(away - float(np.median(pts @ back)), 1.0)
    return replace(view, eye=eye, target=target)


def _tightest(
    side: NDArray[np.float64], back: NDArray[np.float64], half: float
) -> tuple[float, float]:
    """Return where the eye stands sideways and backward so that all points just fit."""
    high, low = float((side + half * back).max()), float((side - half * back).min())
    return (high + low) / 2, (high - low) / (2 * half)


def pixel_axes(view: View) -> NDArray[np.float64]:
    """Return how east, north and up lie on the picture, shape (3, 2), x right, y down."""
    right, up, _ = view.axes
    return np.column_stack([right, -up])
