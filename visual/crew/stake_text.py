"""Stake-out and level hints as lines of text."""

import math
from collections.abc import Iterator

from visual.crew.columns import heading, paragraph, table
from visual.crew.level import LevelHints, LevelMove, SideLevel
from visual.crew.level_front import FrontHint
from visual.crew.stake import LENGTH_ERROR, StakedAnchor, StakeOut
from visual.units import LENGTH_UNITS, UnitSystem, format_angle, format_length


def stake_out_lines(stake: StakeOut, *, units: UnitSystem) -> list[str]:
    """Return the stake-out as lines at most 100 columns wide."""
    return [
        *heading("Bearings from the base peg, clockwise"),
        *_bearings(stake),
        *heading("From the base peg to the anchor peg, both on the ground"),
        *_distances(stake, units),
        *heading("Tapes to check with, peg to peg"),
        *_tapes(stake, units),
        *heading("What an error does, at worst"),
        *_sensitivities(stake, units),
        *heading(f"Coordinates of the pegs ({_grid(stake, units)})"),
        *_coordinates(stake, units),
    ]


def _bearings(stake: StakeOut) -> Iterator[str]:
    yield from table(
        ("anchor", "magnetic", "true", "grid", "standing"),
        [
            (
                anchor.side,
                _bearing(anchor.bearing_magnetic),
                _bearing(anchor.bearing_true),
                _bearing(anchor.bearing_grid),
                "as built" if anchor.as_built else "planned",
            )
            for anchor in stake.anchors
        ],
    )
    if stake.north_note:
        yield from paragraph(f"{stake.north_note[0].upper()}{stake.north_note[1:]}.")
    if stake.declination:
        value, uncertainty = (math.degrees(angle) for angle in stake.declination)
        side = "east" if value >= 0 else "west"
        yield from paragraph(
            f"Magnetic north lies {abs(value):.1f}° {side} of true north, ± {uncertainty:.1f}°. "
            "Stand clear of iron."
        )


def _distances(stake: StakeOut, units: UnitSystem) -> list[str]:
    titles = ("anchor", "level", "straight", "on the ground", "rise", "angle", "eye above hinge")
    return table(
        titles,
        [
            (
                anchor.side,
                *(
                    format_length(length, units)
                    for length in (
                        anchor.horizontal,
                        anchor.straight,
                        anchor.along_ground,
                        anchor.rise,
                    )
                ),
                format_angle(anchor.vertical_angle),
                format_length(anchor.eye_above_hinge, units),
            )
            for anchor in stake.anchors
        ],
    )


def _tapes(stake: StakeOut, units: UnitSystem) -> list[str]:
    return table(
        ("from – to", "straight", "level"),
        [
            (
                f"{tape.start} – {tape.end}",
                format_length(tape.straight, units),
                format_length(tape.horizontal, units),
            )
            for tape in stake.tapes
        ],
    )


def _sensitivities(stake: StakeOut, units: UnitSystem) -> Iterator[str]:
    slip = format_length(LENGTH_ERROR, units)
    names = {"bearing": "bearing 1°", "distance": f"distance {slip}", "eye height": f"eye {slip}"}
    yield from table(
        ("anchor", "wrong by", "side-wire change", "wire length"),
        [
            (
                anchor.side,
                names[effect.error],
                "" if effect.side_wire is None else format_length(effect.side_wire, units),
                format_length(effect.wire_length, units),
            )
            for anchor in stake.anchors
            for effect in anchor.sensitivities
        ],
    )


def _coordinates(stake: StakeOut, units: UnitSystem) -> list[str]:
    base = ("base", *(_coordinate(stake, v, units) for v in stake.base[:2]))
    place = stake.base_geographic or (None, None)
    rows = [(*base, format_length(stake.base[2], units), *_degrees(*place))]
    rows += [_coordinate_row(stake, anchor, units) for anchor in stake.anchors]
    return table(("peg", "easting", "northing", "height", "latitude", "longitude"), rows)


def _coordinate_row(stake: StakeOut, anchor: StakedAnchor, units: UnitSystem) -> tuple[str, ...]:
    return (
        anchor.side,
        _coordinate(stake, anchor.easting, units),
        _coordinate(stake, anchor.northing, units),
        format_length(anchor.height, units),
        *_degrees(anchor.longitude, anchor.latitude),
    )


def _degrees(longitude: float | None, latitude: float | None) -> tuple[str, str]:
    if longitude is None or latitude is None:
        return "unknown", "unknown"
    return f"{latitude:.7f}°", f"{longitude:.7f}°"


def _coordinate(stake: StakeOut, value: float, units: UnitSystem) -> str:
    """Write a coordinate to about a centimetre."""
    if stake.in_degrees:
        return f"{value:.7f}"
    if stake.crs == "local" and units == "imperial":
        return f"{value / LENGTH_UNITS['ft']:.2f}"
    return f"{value:.2f}"


def _grid(stake: StakeOut, units: UnitSystem) -> str:
    if stake.crs != "local":
        return stake.crs
    unit = "feet" if units == "imperial" else "metres"
    return f"local grid in {unit}, no place on Earth"


def _bearing(angle: float | None) -> str:
    return "unknown" if angle is None else format_angle(angle % math.tau)


def level_hint_lines(hints: LevelHints, *, units: UnitSystem) -> list[str]:
    """Return the level hints as lines at most 100 columns wide."""
    lines = heading("Level of the side anchors")
    for side in hints.sides:
        lines += _side(side, units)
    if hints.front is not None:
        lines += paragraph(_front(hints.front, units))
    return lines


def _side(side: SideLevel, units: UnitSystem) -> Iterator[str]:
    where = "above" if side.height >= 0 else "below"
    change = (
        f"too short by {_mm(side.tightest, units)}, too long by {_mm(-side.slackest, units)} "
        "at worst on the way up"
    )
    state = "within the limits" if side.fits else "outside the limits"
    yield from paragraph(
        f"{side.side}: eye {format_length(abs(side.height), units)} {where} the hinge; its wires "
        f"are {change}: {state}."
    )
    if side.fits:
        return
    for move in side.moves:
        yield from paragraph(f"– {move_text(move, units=units)}", indent="  ")
    if not side.moves:
        yield from paragraph(
            "– no move along its bearing or its contour and no height of its eye brings it within; "
            "turn the front, raise the hinge, or move the base",
            indent="  ",
        )


def move_text(move: LevelMove, *, units: UnitSystem) -> str:
    """Say one move in words."""
    length = format_length(abs(move.amount), units)
    if move.way == "along its bearing":
        said = f"move it {length} {'out' if move.amount > 0 else 'in'} along its bearing"
    elif move.way == "along the contour":
        turn = "clockwise" if move.amount > 0 else "counter-clockwise"
        said = f"move it {length} {turn} along the contour"
    else:
        said = f"set its eye {length} {'higher' if move.amount > 0 else 'lower'}"
    after = f"then {_mm(move.tightest, units)} tight, {_mm(-move.slackest, units)} slack"
    return f"{said}: {after}" + ("" if move.angles_kept else "; its wire angle is out of limits")


def _front(hint: FrontHint, units: UnitSystem) -> str:
    runs = ", ".join(
        f"{math.degrees(first):.0f}° to {math.degrees(last):.0f}°" for first, last in hint.fitting
    )
    if hint.nearest is None:
        if hint.best is None:
            return "No front is known to level both sides: the ground around is not known."
        miss = format_length(max(-hint.best_margin, 0.0), units, decimals=3)
        return (
            f"No front levels both sides here; nearest to it is grid bearing "
            f"{math.degrees(hint.best):.0f}°, which misses the limits by {miss}."
        )
    return (
        f"Fronts that level both sides at once, by grid bearing: {runs}; nearest to the "
        f"{math.degrees(hint.front):.0f}° of now: {math.degrees(hint.nearest):.0f}°. Check "
        "everything again after a turn."
    )


def _mm(metres: float, units: UnitSystem) -> str:
    if units == "imperial":
        return format_length(max(metres, 0.0), units)
    return f"{max(metres, 0.0) * 1000:z.0f} mm"
