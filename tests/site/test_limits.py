import dataclasses
import math
from collections.abc import Callable
from pathlib import Path

import pytest

from visual.site import Limit, Limits, read_site
from visual.site.limits import LIMIT_MEANINGS
from visual.site.limits_section import LimitsSection

Edit = Callable[..., Path]


def test_every_limit_has_a_basis_and_a_meaning() -> None:
    limits = Limits()
    single = {f.name for f in dataclasses.fields(limits)} - {"setbacks", "overhead_line"}
    assert single == set(LIMIT_MEANINGS)
    for name in single:
        limit = getattr(limits, name)
        assert isinstance(limit, Limit)
        assert len(limit.basis) > 10, name
        assert not limit.overridden


def test_every_limit_can_be_stated() -> None:
    keys = {f.alias or n for n, f in LimitsSection.model_fields.items()}
    assert keys == set(LIMIT_MEANINGS) | {"setback", "overhead_line"}


def test_default_values() -> None:
    limits = Limits()
    assert limits.wire_angle.value == (math.radians(35), math.radians(60))
    assert limits.design_factor.value == 5
    assert limits.rotor_above.value == pytest.approx(30 * 0.3048)
    assert limits.rotor_within.value == pytest.approx(500 * 0.3048)
    assert limits.side_wire_tight.value is None


def test_stated_limits_show_as_stated_and_keep_the_default_in_the_basis(edited: Edit) -> None:
    limits = read_site(edited('trestle = "0.5 m"', "trestle = 0.8\nlane_slope = 7")).limits
    assert limits.trestle.value == 0.8
    assert limits.trestle.overridden
    assert "site file" in limits.trestle.basis
    assert "0.5 m" in limits.trestle.basis
    assert limits.lane_slope.value == pytest.approx(math.radians(7))
    assert not limits.ground_clearance.overridden


def test_limit_of_zero_is_a_statement(edited: Edit) -> None:
    limits = read_site(edited('trestle = "0.5 m"', "side_wire_tight = 0")).limits
    assert limits.side_wire_tight == Limit(0.0, limits.side_wire_tight.basis, overridden=True)


def test_no_limits_section_gives_the_defaults(edited: Edit, site_folder: Path) -> None:
    path = site_folder / "site.toml"
    text = path.read_text(encoding="utf-8")
    path.write_text(text[: text.index("[limits]")], encoding="utf-8")
    assert read_site(site_folder).limits == Limits()
