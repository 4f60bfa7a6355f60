"""The sections of a site file, named and ordered as in the file."""

from collections.abc import Mapping
from typing import Literal

from pydantic import Field

from visual.site.fields import (
    Bearing,
    Count,
    Date,
    Density,
    Distance,
    FileName,
    Force,
    GinAngle,
    Length,
    LineMass,
    Mass,
    Name,
    Offset,
    Position,
    Share,
    Stress,
    Turn,
)
from visual.site.section import Section, source

HeightUnit = Literal["m", "ft", "us-ft"]


class SiteSection(Section):
    """The site as a whole."""

    name: Name = Field(description="Name of the site, for titles.")
    crs: Name = Field(
        description=(
            "Coordinate system of the coordinates in this file and of data files that name none: "
            'a code such as "EPSG:32630", or "local" for a plain metre grid with no place on Earth.'
        )
    )
    units: Literal["metric", "imperial"] = Field(
        default="metric", description="Units of the results; it does not change how keys are read."
    )
    date: Date | None = Field(
        default=None, description="Day for which magnetic north is taken; unknown if left out."
    )
    when: Name | None = Field(
        default=None,
        description=(
            "When the mast is to be raised, and how long it takes, in words; for the page to send."
        ),
    )
    contact: Name | None = Field(
        default=None, description="Whom neighbours may ask, in words; for the page to send."
    )


class GroundSection(Section):
    """The ground. At least one of `dem` and `survey` is needed."""

    dem: FileName | None = Field(
        default=None, description="Raster of ground heights, any format the raster library opens."
    )
    survey: FileName | None = Field(
        default=None,
        description=(
            "Table of surveyed points: point, easting, northing, height, code. Inside its hull "
            "it wins over the DEM."
        ),
    )
    accuracy: Distance = Field(
        default=0.5,
        description="One standard deviation of a height of the DEM.",
        json_schema_extra=source("a cautious figure; the maker of the DEM states its own"),
    )
    survey_accuracy: Distance = Field(
        default=0.05,
        description="One standard deviation of a surveyed height.",
        json_schema_extra=source("a cautious figure for levels and satellite receivers"),
    )
    height_unit: HeightUnit | None = Field(
        default=None,
        description="Unit of the heights of files that state none; metres if left out.",
    )
    image: FileName | None = Field(
        default=None, description="Georeferenced aerial image to lay over the ground in pictures."
    )


class SurroundingsSection(Section):
    """What stands around: buildings, trees, overhead lines, boundary, roads, viewpoints."""

    file: FileName = Field(
        description="Vector file with a property `kind`, any format the vector library opens."
    )
    crs: Name | None = Field(
        default=None,
        description=(
            "Coordinate system of the file where it names none or a wrong one; "
            '"local" if the file uses the metre grid of a local site.'
        ),
    )


class TubeSection(Section):
    """A round tube, of steel unless its material is given."""

    length: Length = Field(description="Length along the axis.")
    outer_diameter: Length = Field(description="Outer diameter.")
    wall: Length = Field(description="Wall thickness.")
    modulus: Stress | None = Field(default=None, description="Young's modulus; steel if left out.")
    yield_strength: Stress | None = Field(
        default=None, alias="yield", description="Yield strength; common steel if left out."
    )
    density: Density | None = Field(default=None, description="Mass per volume; steel if left out.")


class MastSection(TubeSection):
    """One length of mast, or several alike, from the hinge up."""

    count: Count = Field(default=1, description="How many of these follow each other.")


class CollarSection(Section):
    """Where one set of four wires meets the mast."""

    height: Length = Field(description="Distance above the hinge, along the mast.")
    wire: Name = Field(description="Name of its wire type, a table [wire.NAME].")


class HeadSection(Section):
    """What the mast carries at its top."""

    mass: Mass = Field(description="Mass of head and rotor together.")
    centre_above_top: Offset = Field(
        default=0.0, description="Centre of mass above the mast top, along the mast."
    )
    centre_to_front: Offset = Field(
        default=0.0,
        description="Centre of mass square to the mast, positive to the front when upright.",
    )
    rotor_diameter: Distance = Field(
        default=0.0, description="Rotor diameter; 0 if there is no rotor."
    )
    rotor_above_top: Offset = Field(
        default=0.0, description="Rotor axis above the mast top, along the mast."
    )


class MastTable(Section):
    """The mast: where it stands, which way it faces, what it is made of."""

    position: Position = Field(
        description=(
            "Base: [easting, northing] in the unit of site.crs, [longitude, latitude] if that is "
            "geographic; text with a length unit is turned into the unit of the CRS."
        )
    )
    front: Bearing = Field(
        description="Grid bearing of the front, the side the mast is pulled to, in degrees."
    )
    hinge_height: Distance = Field(description="Hinge axis above the ground at the base.")
    section: tuple[MastSection, ...] = Field(
        min_length=1, description="Lengths of tube from the hinge up."
    )
    collar: tuple[CollarSection, ...] = Field(
        min_length=1, description="Levels at which wires are fixed, in any order."
    )
    head: HeadSection | None = Field(
        default=None, description="What the mast carries; a bare mast if left out."
    )


class WireSection(Section):
    """One kind of wire or rope."""

    diameter: Length = Field(description="Nominal diameter.")
    mass_per_metre: LineMass = Field(description="Mass per metre, unstressed.")
    stiffness: Force = Field(description="Axial stiffness EA: force over relative stretch.")
    breaking_load: Force = Field(description="Minimum breaking load.")
    source: Name = Field(
        default="not stated", description="Catalogue page or standard the figures come from."
    )


class AnchorSection(Section):
    """One anchor where it differs from the others, or where it really is."""

    radius: Length | None = Field(
        default=None, description="Horizontal distance from the base; anchors.radius if left out."
    )
    turn: Turn | None = Field(
        default=None, description="Degrees clockwise off the nominal bearing; 0 if left out."
    )
    eye_height: Distance | None = Field(
        default=None, description="Eye above the ground; anchors.eye_height if left out."
    )
    capacity: Force | None = Field(
        default=None, description="Working load; anchors.capacity if left out."
    )
    position: Position | None = Field(
        default=None,
        description="Where it really is: [easting, northing] of the eye in the site's grid.",
    )
    height: Offset | None = Field(
        default=None,
        description="Height of the eye in the height system of the ground; goes with position.",
    )
    accuracy: Distance | None = Field(
        default=None,
        description=(
            "One standard deviation of the measured place against the hinge, in the direction of "
            "its wires; goes with position. The accuracy of the ground data if left out."
        ),
    )


class AnchorsTable(Section):
    """The four anchors."""

    radius: Length | None = Field(
        default=None,
        description="Horizontal distance from the base; needed unless each anchor has its own.",
    )
    eye_height: Distance = Field(
        default=0.1,
        description="Eye above the ground.",
        json_schema_extra=source("common practice, no published source"),
    )
    capacity: Force | None = Field(
        default=None, description="Working load of an anchor; not checked if left out."
    )
    front: AnchorSection = Field(
        default_factory=AnchorSection, description="The anchor the mast is pulled towards."
    )
    right: AnchorSection = Field(
        default_factory=AnchorSection,
        description="The anchor to the right as seen from the base looking to the front.",
    )
    back: AnchorSection = Field(
        default_factory=AnchorSection, description="The anchor on the side where the mast lies."
    )
    left: AnchorSection = Field(
        default_factory=AnchorSection,
        description="The anchor to the left as seen from the base looking to the front.",
    )


class GinPoleSection(TubeSection):
    """The gin pole, fixed to the hinge and turning with the mast."""

    angle: GinAngle = Field(
        default=90.0, description="Angle between mast and gin pole, towards the front, in degrees."
    )


class TensionSection(Section):
    """How tight the wires are set."""

    share_of_breaking: Share = Field(
        default=0.10,
        description="Initial tension at the anchor over breaking load.",
        json_schema_extra=source(
            "the usual figure; ANSI/TIA-222 lets an engineer choose 7 to 15 % of breaking strength"
        ),
    )


class TurnbuckleSection(Section):
    """The adjustment at the lower end of each wire."""

    travel: Length = Field(description="From shortest to longest.")
    end_allowance: Distance = Field(
        description="Extra wire per wire for both end fittings together."
    )
    per_turn: Length = Field(
        default=0.004,
        description="How much longer one turn makes it.",
        json_schema_extra=source(
            "a body with M16 threads of 2 mm pitch, right-hand and left-hand (ISO 261, from memory)"
        ),
    )


WireTable = Mapping[str, WireSection]
"""Wire types by name."""
