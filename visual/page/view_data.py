"""The named views as plain data: cameras of the pictures, for the viewer to stand at."""

import math
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace

import numpy as np

from visual.checks import Report
from visual.page.nearby import Nearby, all_around
from visual.page.packing import Json
from visual.page.sections import depth_of, left_out
from visual.scene.camera import View, fit_orthographic
from visual.scene.framing import slanted, vehicle_places, whole_site
from visual.scene.layers import Points
from visual.scene.near import wide_plan
from visual.scene.terrain import Terrain
from visual.scene.views import Shot, named_shots

_LEFT_OUT = ("stakeout", "wires")
"""Views for numbers on paper."""

_WORDS = {
    "overview": "Overview",
    "around": "All around",
    "plan": "Plan",
    "rig-plan": "Rig plan",
    "raising": "Side",
    "forces": "Forces",
    "front": "Front",
    "closest": "Closest while raised",
}
_SHOWN = {
    "around": ["distances"],
    "plan": ["distances"],
    "raising": ["cut", "along"],
    "forces": ["cut", "forces"],
    "front": ["across"],
}
_FLAT = ("contours", "land", "zones", "setbacks", "lane", "viewpoints")
"""Groups that a cut leaves out: they lie on ground that is cut away."""

_IN_THE_WAY = ("buildings", "lines", "setbacks", "path", "approach")
"""Groups that the view of the forces leaves out too."""

_HUSHED = ("mast", "wires")
"""Groups whose names would stand among those of the forces."""

_NOT_SEEN = (*_FLAT, "clearance", "path", "approach", "forces")
"""Groups that a person who stands there would not see either."""


_STEEPER = math.radians(38.0)
"""Height of the eye over the level in the look at everything near: what is far shows too."""

_WIDER = 1.35
"""A plan of everything shows so much more than one of the rig, or one of them is enough."""

_ONE_SIDED = 0.6
"""What is near stands to one side if its middle is so many total heights from the mast."""

_NEAR_VEHICLE = 2.4
"""A vehicle within so many total heights of the base is shown whole in the overview."""


def views_data(report: Report, terrain: Terrain, near: Sequence[Nearby]) -> list[Json]:
    """Return every view that the page offers, in the order of its buttons."""
    shots = [s for s in named_shots(report, terrain) if s.view.name not in _LEFT_OUT]
    around = all_around(report, near)
    ordered = [one for shot in shots for one in _with_all_around(shot, report, around, near)]
    return shots_data(ordered, report, fits={"around": around})


def _with_all_around(
    shot: Shot, report: Report, around: Points, near: Sequence[Nearby]
) -> Iterator[Shot]:
    """Yield a shot and, beside it, how it looks with everything near."""
    view = shot.view
    if view.name == "plan":
        whole = fit_orthographic(view, around, margin=0.06)
        yield replace(shot, view=whole)
        rig = wide_plan(report)
        if max(whole.span) > _WIDER * max(rig.span):
            yield replace(shot, view=replace(rig, name="rig-plan"))
        return
    yield shot
    if view.name == "overview":
        yield replace(shot, view=_from_behind_the_mast(view, report, near))


def _from_behind_the_mast(view: View, report: Report, near: Sequence[Nearby]) -> View:
    """Return a look from where the mast stands in front of most that is near.

    Where what is near stands all around it is the bearing of the overview.
    """
    eye, target = np.asarray(view.eye, float), np.asarray(view.target, float)
    back = eye - target
    middle = np.mean([one.ends[1, :2] for one in near], axis=0) if near else np.zeros(2)
    if np.hypot(*middle) > _ONE_SIDED * report.fall_zone.total_height:
        back = np.array([*-middle, 0.0])
    way = slanted(math.atan2(back[0], back[1]), _STEEPER)
    eye = target + float(np.linalg.norm(eye - target)) * way
    return replace(view, name="around", title="All around", eye=eye)


def shots_data(
    shots: Iterable[Shot], report: Report, *, fits: Mapping[str, Points] | None = None
) -> list[Json]:
    """Return views as plain data.

    Parameters
    ----------
    shots : iterable of Shot
        The views.
    report : Report
        The judged model.
    fits : mapping or None
        What views must fit in, by name; the overview always fits in the whole site.
    """
    whole = np.concatenate([whole_site(report), _vehicle_at_the_end(report)])
    known = {"overview": whole, **(fits or {})}
    return [_view(shot, report, known.get(shot.view.name)) for shot in shots]


def _vehicle_at_the_end(report: Report) -> Points:
    """Return where the vehicle is with the mast upright, if that belongs to the site."""
    places = vehicle_places(report)
    reach = _NEAR_VEHICLE * report.fall_zone.total_height
    return places[np.hypot(places[:, 0], places[:, 1]) < reach]


def _view(shot: Shot, report: Report, fits: Points | None) -> Json:
    view = shot.view
    word = _WORDS.get(view.name, view.title.replace("Seen from: ", "From "))
    data: Json = {
        "name": view.name,
        "word": word,
        "projection": view.projection,
        "eye": _three(view.eye),
        "target": _three(view.target),
        "up": _three(view.up),
        "span": list(view.span),
        "fieldOfView": math.degrees(view.field_of_view),
        "rise": view.rise,
        "eyeLevel": view.eye_level,
        "angle": None if shot.angle is None else math.degrees(shot.angle),
        "shows": _SHOWN.get(view.name, []),
        "hides": list(_hidden(view)),
        "hushes": list(_HUSHED) if view.name == "forces" else [],
        "fits": [_three(point) for point in fits] if fits is not None else None,
    }
    if view.clip is not None:
        at, normal = view.clip
        data["clip"] = {"at": _three(at), "normal": _three(normal), "depth": depth_of(report)}
        if view.name != "forces":  # which shows nothing that stands around
            at, normal = np.asarray(at, float), np.asarray(normal, float)
            data["leftOut"] = left_out(report, at=at, normal=normal)
    return data


def _hidden(view: View) -> tuple[str, ...]:
    if view.eye_level:
        return tuple(group for group in _NOT_SEEN if group != "land")
    if view.name == "forces":
        return (*_FLAT, "clearance", *_IN_THE_WAY)
    if view.name == "around":
        return ("setbacks",)
    return (*_FLAT, "clearance") if view.clip is not None else ()


def _three(point: object) -> list[float]:
    return [float(value) for value in np.asarray(point, dtype=float)]
