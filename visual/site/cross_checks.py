"""What must hold between keys of a site file.

Each check takes a site that may be a draft: a key that could not be read is None there, and a
check that needs it says nothing, because the key has its own problem already.
"""

import math
from collections.abc import Callable, Iterator

from visual.errors import Problem
from visual.frame.crs import crs_unit_metres, degrees_of, is_local, read_crs
from visual.site.problems import nearest
from visual.site.sections import AnchorSection, TubeSection
from visual.site.site_file import SiteFile, file_trouble

ANCHOR_REACH = 1000.0
"""An anchor farther from the base than this is taken for a slip in its coordinates. [m]"""

LONGEST_MAST = 120.0
"""A mast longer than this is taken for a slip: none is raised by tilting, and working it out would
take minutes. Common practice, no source. [m]"""

Found = tuple[str, object, str, str]
"""Key, value as written in SI, rule, way out."""


def cross_problems(site: SiteFile, *, file: str) -> list[Problem]:
    """Return everything that does not hold between the keys of a site or its draft."""
    found = (one for check in _CHECKS for one in check(site))
    return [
        Problem(file=file, key=key, value=value, rule=rule, way_out=way_out)
        for key, value, rule, way_out in found
    ]


def known(*values: object) -> bool:
    """Return True if a draft holds every one of the values."""
    return all(value is not None for value in values)


def crs_unit(crs: object) -> float | None:
    """Return the metres in a unit of the CRS; None for degrees or a CRS nobody knows [m]."""
    if not isinstance(crs, str):
        return None
    try:
        return crs_unit_metres(crs)
    except ValueError:
        return None


def _ground(site: SiteFile) -> Iterator[Found]:
    ground = site.ground
    if ground is not None and ground.dem is None and ground.survey is None:
        rule = "neither dem nor survey is given, so the ground is unknown"
        yield "ground", None, rule, "give ground.dem, ground.survey or both"


def _files(site: SiteFile) -> Iterator[Found]:
    if site._path is None:
        return
    names = {f"ground.{key}": getattr(site.ground, key, None) for key in ("dem", "survey", "image")}
    names["surroundings.file"] = getattr(site.surroundings, "file", None)
    for key, name in names.items():
        if name is not None:
            rule, way_out = file_trouble(site.folder, name)
            if rule:
                yield key, name, rule, way_out


def _collars(site: SiteFile) -> Iterator[Found]:
    mast = site.mast
    if mast is None or mast.collar is None:
        return
    heights = [collar.height for collar in mast.collar]
    for number, height in enumerate(heights, start=1):
        key = f"mast.collar[{number}].height"
        if height is not None and height in heights[: number - 1]:
            yield key, height, "two collars have the same height", "give each level once"
        if mast.section is None or not known(height, *map(_tube_length, mast.section)):
            continue
        length = sum(_tube_length(section) or 0.0 for section in mast.section)
        if height > length + 1e-9:
            rule = f"the collar is above the mast top, which is {length:g} m above the hinge"
            yield key, height, rule, "lower the collar or add mast sections"


def _mast_length(site: SiteFile) -> Iterator[Found]:
    if site.mast is None or site.mast.section is None:
        return
    lengths = [_tube_length(section) or 0.0 for section in site.mast.section]
    if sum(lengths) > LONGEST_MAST:
        worst = lengths.index(max(lengths))
        most = f"at most {LONGEST_MAST:g} m are tilted up"
        rule = f"the mast would be {sum(lengths):g} m long, and {most}"
        way_out = "look for a slip in length, unit and count"
        yield f"mast.section[{worst + 1}].length", lengths[worst], rule, way_out


def _tube_length(section: TubeSection) -> float | None:
    count = getattr(section, "count", 1)
    return section.length * count if known(section.length, count) else None


def _wire_names(site: SiteFile) -> Iterator[Found]:
    if site.wire is None:
        return
    used: list[tuple[str, str | None]] = []
    if site.mast is not None:
        for number, collar in enumerate(site.mast.collar or (), start=1):
            used.append((f"mast.collar[{number}].wire", collar.wire))
    if site.tow is not None:
        used.append(("tow.line", site.tow.line))
    for key, name in used:
        if name is not None and name not in site.wire:
            near = nearest(name, site.wire)
            way_out = f'did you mean "{near}"?' if near else f"add a table [wire.{name}]"
            yield key, name, f"there is no table [wire.{name}]", way_out


def _tubes(site: SiteFile) -> Iterator[Found]:
    tubes: list[tuple[str, TubeSection]] = []
    if site.mast is not None:
        for number, section in enumerate(site.mast.section or (), start=1):
            tubes.append((f"mast.section[{number}]", section))
    if site.gin_pole is not None:
        tubes.append(("gin_pole", site.gin_pole))
    for key, tube in tubes:
        yield from _one_tube(key, tube)


def _one_tube(key: str, tube: TubeSection) -> Iterator[Found]:
    # 1e-9 lets a solid bar pass whose radius and wall were converted from inches
    if known(tube.wall, tube.outer_diameter) and tube.wall > tube.outer_diameter / 2 * (1 + 1e-9):
        rule = f"the wall is thicker than the radius, {tube.outer_diameter / 2:g} m"
        yield f"{key}.wall", tube.wall, rule, "correct wall or outer_diameter"
    material = {"modulus": tube.modulus, "yield": tube.yield_strength, "density": tube.density}
    missing = [name for name, value in material.items() if value is None]
    if missing and (tube.modulus is not None or tube.density is not None):
        rule = f"this is another material than steel, and {' and '.join(missing)} is missing"
        yield f"{key}.{missing[0]}", None, rule, "give modulus, yield and density together"


def _anchors(site: SiteFile) -> Iterator[Found]:
    anchors = site.anchors
    if anchors is None:
        return
    for side in ("front", "right", "back", "left"):
        anchor: AnchorSection | None = getattr(anchors, side)
        if anchor is None:
            continue
        key = f"anchors.{side}"
        if anchor.position is None:
            if anchor.height is not None:
                rule = "a measured height goes with a measured position"
                yield f"{key}.height", anchor.height, rule, f"add {key}.position"
            if anchor.accuracy is not None:
                rule = "the accuracy is that of a measured position"
                yield f"{key}.accuracy", anchor.accuracy, rule, f"add {key}.position"
            if anchor.radius is None and anchors.radius is None:
                rule = "this anchor has no radius"
                yield (
                    f"{key}.radius",
                    None,
                    rule,
                    f"give anchors.radius, {key}.radius or {key}.position",
                )
            continue
        for name in ("radius", "turn"):
            if getattr(anchor, name) is not None:
                rule = f"the anchor has a measured position, which settles its {name}"
                yield f"{key}.{name}", getattr(anchor, name), rule, f"remove {key}.{name}"
        yield from _anchor_reach(site, key, anchor.position)


def _anchor_reach(site: SiteFile, key: str, position: tuple[float, float]) -> Iterator[Found]:
    if site.mast is None or site.mast.position is None or site.site is None:
        return
    unit = crs_unit(site.site.crs)
    shift = math.dist(position, site.mast.position)
    if shift == 0:
        yield f"{key}.position", list(position), "the anchor is where the base is", "correct it"
    elif unit is not None and shift * unit > ANCHOR_REACH:
        rule = f"the anchor is {shift * unit / 1000:.1f} km from the base"
        way_out = "check the order, easting first, and the CRS of the coordinates"
        yield f"{key}.position", list(position), rule, way_out


def _crs(site: SiteFile) -> Iterator[Found]:
    if site.site is None or site.site.crs is None or is_local(site.site.crs):
        return
    crs = site.site.crs
    try:
        read_crs(crs)
    except ValueError as error:
        yield "site.crs", crs, *_two_sentences(error)
        return
    if site.mast is not None and site.mast.position is not None:
        try:
            degrees_of(crs, *site.mast.position)
        except ValueError as error:
            yield "mast.position", list(site.mast.position), *_two_sentences(error)


def _two_sentences(error: ValueError) -> tuple[str, str]:
    rule, _, way_out = str(error).partition("; ")
    return rule, way_out or "correct it"


def _tow(site: SiteFile) -> Iterator[Found]:
    tow, gin_pole = site.tow, site.gin_pole
    if tow is None:
        return
    if tow.by == "vehicle" and tow.vehicle_mass == 0:
        rule = "the mass of the vehicle is needed"
        yield "tow.vehicle_mass", None, rule, "add it, as the vehicle stands loaded"
    if tow.by == "vehicle" and known(tow.parts) and tow.parts > 1:
        rule = "parts of line are for a winch; a vehicle pulls on one"
        yield "tow.parts", tow.parts, rule, 'write by = "winch", or parts = 1'
    if gin_pole is None or not known(tow.line_length, gin_pole.length):
        return
    if tow.line_length <= gin_pole.length:
        rule = f"the tow line is not longer than the gin pole, {gin_pole.length:g} m"
        yield "tow.line_length", tow.line_length, rule, "use a longer tow line"


def _limits(site: SiteFile) -> Iterator[Found]:
    limits = site.limits_stated
    if limits is None:
        return
    if limits.wire_angle is not None and limits.wire_angle[0] >= limits.wire_angle[1]:
        degrees = [math.degrees(angle) for angle in limits.wire_angle]
        rule = "the lower angle is not below the upper"
        yield "limits.wire_angle", degrees, rule, "write [lower, upper], such as [35.0, 60.0]"
    line = limits.overhead_line
    if line is not None and known(line.table, line.distance):
        rule = "table and distance exclude each other"
        yield "limits.overhead_line", None, rule, "remove one of the two"
    for number, setback in enumerate(limits.setback or (), start=1):
        key = f"limits.setback[{number}]"
        if known(setback.times) == known(setback.distance):
            rule = "a setback needs either times (with of) or distance"
            yield key, None, rule, 'write times = 1.1 and of = "total_height", or a distance'
        elif known(setback.distance, setback.of):
            rule = "of names the height that times multiplies, and there is no times"
            yield f"{key}.of", setback.of, rule, "remove it"


_CHECKS: tuple[Callable[[SiteFile], Iterator[Found]], ...] = (
    _crs,
    _ground,
    _files,
    _mast_length,
    _collars,
    _wire_names,
    _tubes,
    _anchors,
    _tow,
    _limits,
)
