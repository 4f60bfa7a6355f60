"""Single keys of a site file are changed, and nothing else."""

import tomllib

import pytest

from visual.errors import InputError
from visual.site import SiteText, edit_text, replace_file
from visual.site.edit import key_place

TEXT = """\
# top
[mast] # the mast
front = 215.0   # downhill
position = [1.0, 2.0]
[[mast.section]]  # lowest
length = "6 m"    # as bought
[[mast.section]]
length = "5 m"
[anchors]
radius = "11 m"
# the end
"""


def edit(changes, text=TEXT):
    return edit_text(text, changes, file="site.toml")


def test_a_value_is_replaced_and_every_comment_stays():
    after = edit({"mast.front": 90.0, "mast.section[1].length": "20 ft"})
    assert after == TEXT.replace("215.0", "90.0").replace('"6 m"', '"20 ft"')


def test_a_missing_table_is_made_and_a_key_taken_out():
    after = edit({"anchors.left.radius": "12 m"})
    assert tomllib.loads(after)["anchors"]["left"] == {"radius": "12 m"}
    assert "# the end" in after
    assert tomllib.loads(edit({"anchors.left.radius": None}, after))["anchors"]["left"] == {}
    assert edit({"anchors.left.radius": None}) == TEXT


def test_an_entry_is_added_and_taken_out():
    after = edit({"mast.section[3]": {"length": "4 m"}})
    assert [one["length"] for one in tomllib.loads(after)["mast"]["section"]] == [
        "6 m",
        "5 m",
        "4 m",
    ]
    assert [
        one["length"] for one in tomllib.loads(edit({"mast.section[1]": None}))["mast"]["section"]
    ] == ["5 m"]


def test_one_coordinate():
    assert "position = [1.0, 7.5]" in edit({"mast.position[2]": 7.5})


def test_tables_written_inline_stay_inline():
    text = 'anchors = { radius = "11 m" } # all\n'
    after = edit({"anchors.left.radius": "9 m"}, text)
    assert tomllib.loads(after) == {"anchors": {"radius": "11 m", "left": {"radius": "9 m"}}}
    assert "# all" in after


@pytest.mark.parametrize(
    "key", ["mast.section[9].length", "mast.front.deeper", "mast..front", "a b"]
)
def test_what_cannot_be_reached_is_refused(key):
    with pytest.raises(InputError, match="cannot be changed"):
        edit({key: 1.0})


def test_entries_are_counted_from_one():
    assert key_place("mast.section[2].wall") == ("mast", "section", 1, "wall")
    with pytest.raises(ValueError, match="counted from 1"):
        key_place("mast.section[0].wall")


@pytest.mark.parametrize(
    "content", [b"a = 1\r\nb = 2\r\n", b"\xef\xbb\xbfa = 1\nb = 2\n", b"a = 1"]
)
def test_the_spelling_of_a_file_is_kept(content):
    assert SiteText.of(content).content == content


def test_a_file_is_replaced_whole_and_backed_up(tmp_path):
    path = tmp_path / "site.toml"
    assert replace_file(path, b"one") is None
    backup = replace_file(path, b"two")
    assert backup is not None
    assert (backup.read_bytes(), path.read_bytes()) == (b"one", b"two")
    assert replace_file(path, b"three", back_up=False) is None
    assert sorted(one.name for one in tmp_path.iterdir()) == ["site.toml", "site.toml.bak"]
