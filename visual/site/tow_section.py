"""The section [tow] of a site file."""

from typing import Literal

from pydantic import Field

from visual.site.fields import (
    Count,
    Distance,
    Force,
    FullShare,
    Length,
    Mass,
    Name,
    Ratio,
    Switch,
)
from visual.site.section import Section, source


class TowSection(Section):
    """What pulls the mast up."""

    by: Literal["vehicle", "winch"] = Field(
        default="vehicle", description="A vehicle that drives away, or a winch at the front anchor."
    )
    line: Name = Field(description="Name of the wire type of the tow line, a table [wire.NAME].")
    line_length: Length = Field(description="Tow line from gin-pole tip to hitch.")
    hitch_height: Distance = Field(
        default=0.5,
        description="Hitch above the ground.",
        json_schema_extra=source("common practice, no published source"),
    )
    through_front_anchor: Switch = Field(
        default=False, description="True if the line runs through a block at the front anchor."
    )
    vehicle_mass: Mass = Field(
        default=0.0, description="Mass of the loaded vehicle; needed for a vehicle."
    )
    grip: Ratio = Field(
        default=0.20,
        description="Friction of tyre on ground.",
        json_schema_extra=source(
            "R. K. Noon, Engineering Analysis of Vehicular Accidents (1994): wet grass 0.20; "
            "gravel or dirt road 0.35"
        ),
    )
    rolling: Ratio = Field(
        default=0.06,
        description="Rolling resistance over weight.",
        json_schema_extra=source(
            "Moyer, in Marks' Standard Handbook for Mechanical Engineers: wet loose gravel 0.06"
        ),
    )
    driven_share: FullShare = Field(
        default=1.0,
        description="Share of the vehicle's weight on driven wheels; 1 if all wheels are driven.",
        json_schema_extra=source("all wheels driven; give about 0.5 where two are"),
    )
    block_friction: Ratio = Field(
        default=0.10,
        description="Share of the pull that one block costs.",
        json_schema_extra=source("US Navy, Steelworker Volume 2: 10 % of the load for each sheave"),
    )
    parts: Count = Field(
        default=1,
        description=(
            "Parts of line between gin-pole tip and front anchor, for a winch; the winch pulls "
            "on one of them."
        ),
    )
    winch_pull: Force | None = Field(
        default=None, description="Rated pull of the winch; not checked if left out."
    )
    shackle_load: Force | None = Field(
        default=None,
        description=(
            "Working load of the weakest shackle or fitting of the tow line; not checked if left "
            "out."
        ),
    )
    block_load: Force | None = Field(
        default=None,
        description="Working load of the block at the front anchor; not checked if left out.",
    )
