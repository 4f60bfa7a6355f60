"""From a site folder to a model: the files in the order in which they need each other."""

import math
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any, TypeVar

import numpy as np

from visual.errors import InputError
from visual.frame import Frame, make_frame
from visual.ground import Lattice, Surface, dem_lattice, make_tin, read_dem, survey_lattice
from visual.model.build import build_model, place_surroundings
from visual.model.kept import Kept
from visual.model.record import Model
from visual.model.rig_of_site import rig_of_site
from visual.rig import Rig
from visual.site import (
    Feature,
    SiteFile,
    Survey,
    data_state,
    read_site,
    read_surroundings,
    read_survey,
)

SPARE = 30.0  # [m] ground beyond the farthest thing that stands on it
FARTHEST = 2000.0  # [m] no picture needs more, and curvature is left out of heights

MOST_KEPT = 3
"""Grounds and the like that are kept: of the saved site, the edited one, and one more."""

T = TypeVar("T")

SOLID_KINDS = ("building", "tree", "overhead_line", "viewpoint")


def load_model(path: Path) -> Model:
    """Read a site folder or site file and everything it names, and build the model.

    Parameters
    ----------
    path : Path
        The site file, or its folder.

    Raises
    ------
    InputError
        If any file cannot be used; carries every problem found in that file.
    HeightUnknownError
        If the ground at the base is unknown.
    """
    return model_of_site(read_site(path))


def model_of_site(site: SiteFile, *, radius: float = 0.0) -> Model:
    """Read everything a site names, and build the model.

    Parameters
    ----------
    site : SiteFile
        The site; perhaps one that was changed since it was read.
    radius : float
        Ground is read at least so far around the base. [m]

    Raises
    ------
    InputError, HeightUnknownError
        As `load_model`.
    """
    return ModelLoader().load(site, radius=radius)


class ModelLoader:
    """Builds models of a site that changes, and reads again only what has changed.

    The ground of a base is kept, and the surroundings on it, so that an edit of the mast reads no
    file. What it returns is the same as if everything had been read anew.
    """

    def __init__(self) -> None:
        self._kept: dict[str, Kept[Any]] = {}

    def load(self, site: SiteFile, *, radius: float = 0.0) -> Model:
        """Build the model of a site on ground as far as `radius` at least [m]; see `load_model`."""
        rig = rig_of_site(site)
        data = data_state(site)
        place = (site.folder, data, site.ground, site.surroundings, site.site.crs, site.site.date)
        base = (*place, site.mast.position)
        first = self._keep("first frame", base, lambda: _frame_at(site, 0.0))
        survey = self._keep("survey", place, lambda: _survey(site))
        # The frame needs the height of the base, and the ground needs a frame: so a frame at
        # height 0 comes first.  It differs from the final one by 16 parts in a million per 100 m.
        rough = self._keep("rough features", base, lambda: _features(site, survey, first))
        radius = max(_radius(rig, rough), radius)
        height = self._keep(
            "base height", (*base, radius), lambda: _base_height(site, survey, first, radius)
        )
        standing = (*base, site.mast.hinge_height)
        frame = self._keep(
            "frame", standing, lambda: _frame_at(site, height + site.mast.hinge_height)
        )
        features = self._keep("features", standing, lambda: _features(site, survey, frame))
        ground = self._keep(
            "ground", (*standing, radius), lambda: _surface(site, survey, frame, radius=radius)
        )
        around = self._keep(
            "surroundings", (*standing, radius), lambda: place_surroundings(ground, features)
        )
        return build_model(ground, site, rig, frame=frame, surroundings=around)

    def _keep(self, name: str, key: Any, make: Callable[[], T]) -> T:
        """Return what was made for this key before, or make it; the last few are kept."""
        found: T = self._kept.setdefault(name, Kept(MOST_KEPT)).of(key, make)
        return found


def ground_lattice(model: Model, *, cell: float, near: tuple[float, float] = (0.0, 0.0)) -> Lattice:
    """Return the ground of a model's site as a lattice that is read window by window.

    Parameters
    ----------
    model : Model
        The model.
    cell : float
        Side of a cell where there is a survey and no DEM. [m]
    near : tuple of float
        Where the lattice of a DEM is to be true. [m]
    """
    ground, tin = model.site.ground, model.ground.survey
    if ground.dem is None:
        if tin is None:
            message = "a site has a DEM, a survey or both"
            raise ValueError(message)
        return survey_lattice(tin, cell=cell)
    return dem_lattice(
        model.site.resolve(ground.dem),
        frame=model.frame,
        near=near,
        crs=model.site.site.crs,
        height_unit=ground.height_unit,
        survey=tin,
    )


def _survey(site: SiteFile) -> Survey | None:
    if site.ground.survey is None:
        return None
    return read_survey(
        site.resolve(site.ground.survey),
        crs=site.site.crs,
        height_unit=site.ground.height_unit,
    )


def _base_height(site: SiteFile, survey: Survey | None, first: Frame, radius: float) -> float:
    """Return the height of the ground at the base, from a frame at height 0. [m]"""
    ground = _surface(site, survey, first, radius=radius).height(0.0, 0.0)
    if math.isnan(ground):
        raise InputError.one(
            file=str(site.path),
            key="mast.position",
            value=list(site.mast.position),
            rule="the ground must have a height there, and neither survey nor DEM has one",
            way_out="move the mast onto known ground, or add survey points around it",
        )
    return ground


def _frame_at(site: SiteFile, height: float) -> Frame:
    easting, northing = site.mast.position
    return make_frame(
        crs=site.site.crs, easting=easting, northing=northing, height=height, date=site.site.date
    )


def _features(site: SiteFile, survey: Survey | None, frame: Frame) -> tuple[Feature, ...]:
    surveyed = survey.features(frame) if survey else ()
    if site.surroundings is None:
        return tuple(surveyed)
    drawn = read_surroundings(
        site.resolve(site.surroundings.file),
        frame=frame,
        crs=site.surroundings.crs,
    )
    return (*surveyed, *drawn)


def _radius(rig: Rig, features: Iterable[Feature]) -> float:
    """Return how far around the base the ground is needed. [m]"""
    needed = [
        2.0 * rig.mast.total_height,
        rig.gin_pole.length + rig.tow.line_length,
        *(_farthest(feature) for feature in features if feature.kind in SOLID_KINDS),
    ]
    return min(max(needed) + SPARE, FARTHEST)


def _farthest(feature: Feature) -> float:
    xmin, ymin, xmax, ymax = feature.shape.bounds
    return math.hypot(max(abs(xmin), abs(xmax)), max(abs(ymin), abs(ymax)))


def _surface(site: SiteFile, survey: Survey | None, frame: Frame, *, radius: float) -> Surface:
    ground = site.ground
    dem = tin = None
    if ground.dem is not None:
        dem = read_dem(
            site.resolve(ground.dem),
            frame=frame,
            radius=radius,
            crs=site.site.crs,
            height_unit=ground.height_unit,
        )
    if survey is not None and ground.survey is not None:
        tin = make_tin(_local_points(survey, frame), file=ground.survey, names=survey.ground_names)
    return Surface(
        dem=dem,
        survey=tin,
        accuracy=ground.accuracy,
        survey_accuracy=ground.survey_accuracy,
    )


def _local_points(survey: Survey, frame: Frame) -> np.ndarray:
    points = survey.ground_points
    x, y = frame.to_local(points[:, 0], points[:, 1])
    return np.column_stack([x, y, frame.local_height(points[:, 2])])
