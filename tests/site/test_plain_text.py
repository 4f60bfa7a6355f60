"""Names that would turn round the numbers behind them, and numbers that nothing built has."""

import re
import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from visual.errors import InputError
from visual.site import read_site_text
from visual.site.plain_text import plain_text


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("barn \u202e12.5 m", "barn 12.5 m"),
        ("\u2067barn\u2069", "barn"),
        ("a\x00b\x1b[31m\tc", "a b [31m c"),
        ("two\nlines\u2028three", "two lines three"),
        ("\u05d1\u05d9\u05ea 4", "\u05d1\u05d9\u05ea 4"),
        ("</script>'\"&", "</script>'\"&"),
        ("\u202e\u200f \x00", ""),
    ],
)
def test_signs_that_nobody_sees_go_and_letters_stay(name, shown):
    assert plain_text(name) == shown


@given(st.text())
def test_what_is_plain_stays_as_it_is(text):
    assert plain_text(plain_text(text)) == plain_text(text)
    assert not any(unicodedata.category(one) == "Cc" for one in plain_text(text))


@pytest.fixture
def minimal(site_folder):
    return (site_folder / "site.toml").read_text(encoding="utf-8"), site_folder / "site.toml"


def _with_line(text, key, value):
    """Return the text with the first line of a key saying another value."""
    changed, count = re.subn(rf"(?m)^{key} = .*$", f"{key} = {value}", text, count=1)
    assert count == 1
    return changed


@pytest.mark.parametrize(
    ("key", "value", "size"),
    [
        ("hinge_height", '"1e300 m"', "large"),
        ("hinge_height", "2e5", "large"),
        ("radius", '"1e-12 mm"', "small"),
    ],
)
def test_lengths_that_nothing_built_has_are_slips(minimal, key, value, size):
    text, path = minimal
    with pytest.raises(InputError, match=f"length is far too {size} for a mast"):
        read_site_text(_with_line(text, key, value), path=path)


@pytest.mark.parametrize("value", ["2e-311", "-1e-171", '"1e-12 mm"'])
def test_no_size_at_all_is_nothing_where_nothing_is_allowed(minimal, value):
    text, path = minimal
    site = read_site_text(_with_line(text, "hinge_height", value), path=path)
    assert site.mast.hinge_height == 0.0


def test_a_mast_of_another_size_is_a_slip(minimal):
    text, path = minimal
    with pytest.raises(InputError, match="m long, and at most 120 m are tilted up"):
        read_site_text(re.sub(r"(?m)^length = .*$", 'length = "600 m"', text, count=1), path=path)


def test_a_site_name_is_shown_without_signs_of_writing_direction(minimal):
    text, path = minimal
    lines = text.splitlines()
    at = next(k for k, line in enumerate(lines) if line.startswith("name"))
    lines[at] = 'name = "Field \\u202E 7"'
    assert read_site_text("\n".join(lines), path=path).site.name == "Field  7"
