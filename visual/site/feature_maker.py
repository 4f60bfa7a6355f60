"""From raw features to features: kind, name, geometry, place.

Vector files and coded survey points both come through here, so that both are held to one rule.
"""

import math
import re
from collections.abc import Mapping

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry import LineString
from shapely.geometry.base import BaseGeometry

from visual.errors import Problem
from visual.frame import Frame
from visual.site.feature import Feature, RawFeature
from visual.site.feature_details import DetailReader
from visual.site.kinds import KIND_RULES, KINDS, Kind, Shape
from visual.site.plain_text import plain_text
from visual.site.problems import nearest

FAR_AWAY = 50e3
"""Nothing this far from the base belongs to a site; its CRS is wrong. [m]"""

_SHAPES: Mapping[str, Shape] = {"Point": "point", "LineString": "line", "Polygon": "area"}

# What stands up is split into its parts; an area keeps its parts together, because ground is
# inside a boundary of two parts if it is inside either.
_SPLIT: tuple[Kind, ...] = ("building", "tree", "overhead_line", "viewpoint")


class FeatureMaker:
    """Makes features from raw ones, counting names and collecting problems.

    Parameters
    ----------
    file : str
        The file, as the user knows it.
    frame : Frame
        The local frame.
    crs : str
        CRS of the raw geometries.
    crs_key : str
        Key of the site file that states this CRS, for way-outs.
    """

    def __init__(
        self, *, file: str, frame: Frame, crs: str, crs_key: str = "surroundings.crs"
    ) -> None:
        self.file = file
        self.frame = frame
        self.crs = crs
        self.crs_key = crs_key
        self.problems: list[Problem] = []
        self._counts: dict[str, int] = {}

    def make(self, raw: RawFeature) -> list[Feature]:
        """Return the features of one raw feature: several if it has several parts."""
        kind = self._kind(raw)
        shape = self._shape(raw)
        if kind is None or shape is None:
            return []
        name = self._name(raw, kind)
        reader = DetailReader(raw.properties, lambda *found: self._refuse(raw, *found))
        parts = self._parts(raw, kind, shape)
        names = [f"{name}, part {i + 1}" for i in range(len(parts))] if len(parts) > 1 else [name]
        return [
            Feature(kind, part_name, part, raw.number, **reader.details(kind, part))
            for part_name, part in zip(names, parts, strict=False)
        ]

    def _refuse(self, raw: RawFeature, key: str, value: object, rule: str, way_out: str) -> None:
        place = f"{raw.place}, {key}" if key else raw.place
        problem = Problem(file=self.file, key=place, value=value, rule=rule, way_out=way_out)
        if problem not in self.problems:
            self.problems.append(problem)

    def _kind(self, raw: RawFeature) -> Kind | None:
        said = raw.properties.get("kind")
        if said is None or not str(said).strip():
            way_out = f"add it: one of {', '.join(KINDS)}"
            self._refuse(raw, "kind", None, "the property kind is missing", way_out)
            return None
        word = re.sub(r"[\s-]+", "_", str(said).strip().lower())
        for kind in KINDS:
            if word == kind:
                return kind
        near = nearest(word, KINDS)
        way_out = f'did you mean "{near}"?' if near else "use one of the kinds"
        self._refuse(raw, "kind", said, f"must be one of {', '.join(KINDS)}", way_out)
        return None

    def _name(self, raw: RawFeature, kind: Kind) -> str:
        self._counts[kind] = self._counts.get(kind, 0) + 1
        said = raw.properties.get("name")
        name = "" if said is None else plain_text(str(said))
        return name or f"{kind.replace('_', ' ')} {self._counts[kind]}"

    def _shape(self, raw: RawFeature) -> BaseGeometry | None:
        """Return the geometry in the local frame."""
        whole = raw.geometry
        if whole is None or whole.is_empty:
            self._refuse(raw, "", None, "it has no geometry", "draw it or remove it")
            return None
        whole = shapely.force_2d(whole)
        if not np.isfinite(shapely.get_coordinates(whole)).all():
            self._refuse(raw, "", None, "a coordinate is not a number", "correct the geometry")
            return None
        if not whole.is_valid:
            reason = shapely.is_valid_reason(whole)
            rule = f"its geometry is invalid: {reason}, in coordinates of the file"
            self._refuse(raw, "", None, rule, "redraw it so that the outline does not cross itself")
            return None
        return self._moved(raw, whole)

    def _moved(self, raw: RawFeature, whole: BaseGeometry) -> BaseGeometry | None:
        moved = shapely.transform(whole, lambda points: self._to_local(points))
        points = shapely.get_coordinates(moved)
        if not np.isfinite(points).all():
            rule = f"it has a point that {self.crs} has no place for"
            self._refuse(raw, "", None, rule, f"correct it, or state {self.crs_key}")
            return None
        distance = float(np.hypot(*points.T).min())
        if distance > FAR_AWAY:
            self._refuse(raw, "", None, *self._far(whole, distance))
            return None
        return moved

    def _far(self, whole: BaseGeometry, distance: float) -> tuple[str, str]:
        rule = f"it lies {distance / 1000:.0f} km from the base, read as {self.crs}"
        turned = self._to_local(shapely.get_coordinates(whole)[:, ::-1])
        if float(np.nanmin(np.hypot(*turned.T), initial=math.inf)) < FAR_AWAY:
            return rule, "its coordinates look swapped; write easting (longitude) first"
        return rule, f"probably its CRS is wrong: correct it, or state {self.crs_key}"

    def _to_local(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack(self.frame.from_crs(self.crs, points[:, 0], points[:, 1]))

    def _parts(self, raw: RawFeature, kind: Kind, shape: BaseGeometry) -> list[BaseGeometry]:
        """Return the parts that fit the kind: areas stay whole, solid things are split."""
        parts = _single_parts(shape)
        rule = KIND_RULES[kind]
        wrong = [part for part in parts if _SHAPES.get(part.geom_type) not in rule.shapes]
        if wrong:
            wanted = " or ".join(rule.shapes)
            text = f"a {kind.replace('_', ' ')} must be drawn as {wanted}"
            self._refuse(raw, "", wrong[0].geom_type, text, f"redraw it as {wanted}")
            return []
        if kind in _SPLIT or shape.geom_type == "GeometryCollection":
            return parts
        return [parts[0]] if len(parts) == 1 else [shape]


def _single_parts(shape: BaseGeometry) -> list[BaseGeometry]:
    parts = []
    for part in shapely.get_parts(shape):
        if part.geom_type.startswith("Multi") or part.geom_type == "GeometryCollection":
            parts += _single_parts(part)
        elif part.geom_type == "LinearRing":
            parts.append(LineString(part))
        else:
            parts.append(part)
    return parts
