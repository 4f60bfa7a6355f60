"""The section [limits] of a site file, and how it replaces the defaults."""

from dataclasses import replace

from pydantic import Field

from visual.site.fields import Distance, Factor, Length, Name, SafetyFactor, Slope
from visual.site.kinds import Kind
from visual.site.limits import LIMIT_MEANINGS, HeightName, Limits, MeasuredFrom, Setback
from visual.site.power_line import OverheadLineRule, TableName
from visual.site.section import Section


def _meaning(name: str) -> str:
    return LIMIT_MEANINGS[name]


class SetbackSection(Section):
    """A distance to keep from everything of one kind. Give either `times` or `distance`."""

    to: Kind = Field(description="The kind of surroundings to keep away from.")
    from_: MeasuredFrom = Field(
        default="base",
        alias="from",
        description=(
            "Measured from the middle of the base, from the nearest part of mast, rotor, wires "
            "and anchors, or from the nearest anchor."
        ),
    )
    times: Factor | None = Field(default=None, description="Multiple of a height.")
    of: HeightName | None = Field(
        default=None, description="The height that is multiplied; total_height if left out."
    )
    distance: Distance | None = Field(default=None, description="A fixed distance.")
    basis: Name = Field(default="stated in the site file", description="The rule it comes from.")

    def setback(self) -> Setback:
        """Return the rule as the checks use it."""
        return Setback(
            to=self.to,
            measured_from=self.from_,
            times=self.times,
            of=self.of or "total_height",
            distance=self.distance,
            basis=self.basis,
        )


class OverheadLineSection(Section):
    """Distance to overhead lines: a table by voltage, or one distance for all."""

    table: TableName | None = Field(
        default=None, description="Published table by voltage; osha if left out."
    )
    distance: Length | None = Field(default=None, description="One distance in place of the table.")


class LimitsSection(Section):
    """Numbers to keep to. Each has a default; what is stated here is shown as stated here."""

    wire_angle: tuple[Slope, Slope] | None = Field(default=None, description=_meaning("wire_angle"))
    design_factor: SafetyFactor | None = Field(default=None, description=_meaning("design_factor"))
    yield_factor: SafetyFactor | None = Field(default=None, description=_meaning("yield_factor"))
    euler_factor: SafetyFactor | None = Field(default=None, description=_meaning("euler_factor"))
    trestle: Distance | None = Field(default=None, description=_meaning("trestle"))
    head_clearance: Distance | None = Field(default=None, description=_meaning("head_clearance"))
    side_wire_tight: Distance | None = Field(default=None, description=_meaning("side_wire_tight"))
    side_wire_slack: Distance | None = Field(default=None, description=_meaning("side_wire_slack"))
    lane_slope: Slope | None = Field(default=None, description=_meaning("lane_slope"))
    lane_width: Length | None = Field(default=None, description=_meaning("lane_width"))
    building_clearance: Distance | None = Field(
        default=None, description=_meaning("building_clearance")
    )
    tree_clearance: Distance | None = Field(default=None, description=_meaning("tree_clearance"))
    ground_clearance: Distance | None = Field(
        default=None, description=_meaning("ground_clearance")
    )
    rotor_above: Distance | None = Field(default=None, description=_meaning("rotor_above"))
    rotor_within: Distance | None = Field(default=None, description=_meaning("rotor_within"))
    fall_zone_times: SafetyFactor | None = Field(
        default=None, description=_meaning("fall_zone_times")
    )
    setback: tuple[SetbackSection, ...] = Field(
        default=(), description="Distances to keep, one table each; none unless stated."
    )
    overhead_line: OverheadLineSection = Field(
        default_factory=OverheadLineSection, description="Distance to overhead lines."
    )

    def limits(self) -> Limits:
        """Return every limit, the defaults replaced by what is stated."""
        defaults = Limits()
        stated = {
            name: getattr(defaults, name).replaced_by(value)
            for name in LIMIT_MEANINGS
            if (value := getattr(self, name)) is not None
        }
        rule = OverheadLineRule(
            table=self.overhead_line.table or "osha", distance=self.overhead_line.distance
        )
        setbacks = tuple(one.setback() for one in self.setback)
        return replace(defaults, setbacks=setbacks, overhead_line=rule, **stated)
