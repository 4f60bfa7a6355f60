"""Who stands where while the mast goes up: places in plan, worked out from the fall zone.

The distance from the base is computed. That spotters stand beside the hinge line, the caller on the
side from which more is seen, and that the back line is led out beyond the zone is common practice,
no source.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from visual.checks import Report
from visual.checks.tow_parts import VEHICLE_LENGTH
from visual.scene.sight import screens_of
from visual.sheets.raise_search import Places, beside, drawn_ground, fan, nearest_free
from visual.units import LENGTH_UNITS, UnitSystem, format_angle, format_length


@dataclass(frozen=True, eq=False)
class Station:
    """One person's place.

    Parameters
    ----------
    letter : str
        On the drawing.
    who : str
        Who stands there.
    place : ndarray, shape (2,), or None
        Where, in plan; None if no free place was found, or none is known. [m]
    task : str
        What the person does there.
    notes : tuple of str
        What is not right with the place; empty if all is.
    """

    letter: str
    who: str
    place: Places | None = field(repr=False)
    task: str
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class CabPlace:
    """The vehicle against the fall zone.

    Parameters
    ----------
    nearest : float
        Smallest horizontal distance of the hitch from the base; NaN where it has no place. [m]
    zone : float
        Radius of the zone. [m]
    leaves_at : float or None
        Raising angle from which the hitch is outside; None if it is outside all the way. [rad]
    """

    nearest: float
    zone: float
    leaves_at: float | None

    @property
    def missing(self) -> float:
        """How much nearer than the edge of the zone the hitch comes; 0 if it never does. [m]"""
        return max(self.zone - self.nearest, 0.0)

    @property
    def is_beyond(self) -> bool:
        """True if the whole vehicle is outside of the zone all the way."""
        return self.nearest >= self.zone


@dataclass(frozen=True, eq=False)
class Stations:
    """All places.

    Parameters
    ----------
    zone : float
        Radius of the ground nobody is on: the larger of both fall zones. [m]
    cab : CabPlace or None
        The vehicle; None for a winch.
    people : tuple of Station
        Everybody's place.
    """

    zone: float
    cab: CabPlace | None
    people: tuple[Station, ...]


def stations(report: Report, *, units: UnitSystem) -> Stations:
    """Return who stands where.

    Parameters
    ----------
    report : Report
        The judged model.
    units : {"metric", "imperial"}
        Units of lengths in words.
    """
    zone = max(report.fall_zone.circle_radius, report.fall_zone.total_height)
    by_vehicle = report.model.rig.tow.by == "vehicle"
    cab = _cab(report, zone) if by_vehicle else None
    first = _driver(report, cab, units) if cab else _winch(report, zone)
    caller, second = _spotters(report, zone)
    goes_over = any(run.hold_from is not None for run in report.forces.runs)
    back = (_back(report, zone),) if goes_over else ()
    return Stations(zone, cab, (first, caller, *back, second))


# --- vehicle or winch ---------------------------------------------------------------------------


def _cab(report: Report, zone: float) -> CabPlace:
    """Hold every place of the hitch, of both raises, against the zone."""
    leaves: list[float] = []
    nearest = math.inf
    for run in report.forces.runs:
        distance = run.tow.distance
        nearest = min(nearest, float(np.min(distance)))  # NaN stays NaN
        inside = np.flatnonzero(distance < zone)
        if inside.size:
            leaves.append(float(run.angles[min(int(inside[-1]) + 1, run.angles.size - 1)]))
    return CabPlace(nearest, zone, max(leaves, default=None))


def cab_words(cab: CabPlace, *, units: UnitSystem) -> str:
    """Say whether a driver may sit in the cab."""
    if math.isnan(cab.nearest):
        return "The vehicle has no known place on the lane: nobody drives before that is settled."
    if cab.is_beyond:
        spare = format_length(cab.nearest - cab.zone, units)
        return f"In the cab: the vehicle stays outside the zone, by {spare} or more."
    missing = format_length(cab.missing, units)
    until = ""
    if cab.leaves_at is not None and cab.leaves_at < math.pi / 2:
        until = f" until {format_angle(cab.leaves_at, decimals=0)}"
    return (
        f"Not in the cab as planned: the hitch is up to {missing} inside the fall zone{until}. "
        f"Lengthen the tow line by about {whole_length(cab.missing, units, up=True)}."
    )


def _driver(report: Report, cab: CabPlace, units: UnitSystem) -> Station:
    ahead = report.model.forward[:2]
    distance = float(report.raised.tow.distance[0])
    place = None if math.isnan(distance) else (distance + 0.6 * VEHICLE_LENGTH) * ahead
    notes = () if cab.is_beyond else (cab_words(cab, units=units),)
    task = "Pulls on the caller's word only. Stops on anybody's." + (
        f" {cab_words(cab, units=units)}" if cab.is_beyond else ""
    )
    return Station("D", "Driver", place, task, notes)


def _winch(report: Report, zone: float) -> Station:
    place = nearest_free(report, fan(report, zone, toward=math.radians(35.0)))
    notes = () if place is not None else ("No free place was found.",)
    task = "Works the winch from outside the zone, by a lead or a control line. Never beside it."
    return Station("W", "Winch", place, task, notes)


# --- spotters -----------------------------------------------------------------------------------


def _spotters(report: Report, zone: float) -> tuple[Station, Station]:
    """Return caller and second spotter; the caller stands where more is seen, else right."""
    screens = screens_of(report, drawn_ground(report, zone), within=math.inf)
    found = [beside(report, zone, sign, screens) for sign in (1.0, -1.0)]
    best, other = sorted(found, key=lambda one: one[1])
    return (
        Station(
            "C",
            "Caller",
            best[0],
            "Sees hinge, pole, line and mast. Gives the word, reads the angle.",
            best[2],
        ),
        Station("S", "Second spotter, if there is one more", other[0], "Calls stop.", other[2]),
    )


# --- back line ----------------------------------------------------------------------------------


def _back(report: Report, zone: float) -> Station:
    place = nearest_free(report, fan(report, zone, toward=math.pi))
    notes = () if place is not None else ("No free place was found.",)
    task = "Hand line from the top collar, a turn round the back anchor, led out to here."
    return Station("B", "Back line", place, task, notes)


def place_words(report: Report, station: Station, *, units: UnitSystem) -> str:
    """Say where a place is, measured from the base along and across the front."""
    if station.place is None:
        return "place unknown"
    parts = list(_along_and_across(report, station.place, units))
    return ", ".join(parts) or "at the base"


def _along_and_across(report: Report, place: Places, units: UnitSystem) -> Iterator[str]:
    ahead = float(place @ report.model.forward[:2])
    right = float(place @ report.model.rightward[:2])
    for value, words in ((ahead, ("to the front", "to the back")), (right, ("right", "left"))):
        if abs(value) >= 0.5:
            yield f"{whole_length(abs(value), units)} {words[0] if value > 0 else words[1]}"


def whole_length(metres: float, units: UnitSystem, *, up: bool = False) -> str:
    """Return a length as people pace it: whole metres or feet, rounded up if asked for."""
    size, word = (1.0, "m") if units == "metric" else (LENGTH_UNITS["ft"], "ft")
    number = metres / size
    return f"{math.ceil(number - 1e-9) if up else round(number)} {word}"
