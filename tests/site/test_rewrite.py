"""Writing measured anchors into the site file."""

import os
import tomllib

import pytest

from visual.errors import InputError
from visual.site import BuiltAnchor, read_site, write_anchors

LEFT = BuiltAnchor(easting=553219.00712, northing=5912473.69349, height=198.7061, accuracy=0.0124)


def test_comments_order_and_everything_else_stay(site_folder):
    path = site_folder / "site.toml"
    old = path.read_text(encoding="utf-8").replace(
        "[anchors.left]", "# the one by the hedge\n[anchors.left]   # moved twice"
    )
    path.write_text(old, encoding="utf-8")
    backup = write_anchors(path, {"left": LEFT})
    new = path.read_text(encoding="utf-8")
    assert backup.read_text(encoding="utf-8") == old
    assert backup.name == "site.toml.bak"
    gone = [line for line in old.splitlines() if line not in new.splitlines()]
    assert gone == ["position = [553219.0, 5912473.7]", "height = 101.32"]
    assert "# the one by the hedge\n[anchors.left]   # moved twice" in new
    left = read_site(path).anchors.left
    assert left.position == (553219.007, 5912473.693)
    assert left.height == 198.706
    assert left.accuracy == 0.013  # up, never down


def test_new_table_and_settled_keys(edited):
    folder = edited(
        "[anchors.left]\nposition = [553219.0, 5912473.7]\nheight = 101.32\n",
        '[anchors.right]\nradius = "12 m"\nturn = 3.0\ncapacity = "9 kN"  # tested\n',
    )
    write_anchors(folder / "site.toml", {"right": LEFT, "back": LEFT})
    text = (folder / "site.toml").read_text(encoding="utf-8")
    anchors = tomllib.loads(text)["anchors"]
    assert set(anchors["right"]) == {"capacity", "position", "height", "accuracy"}
    assert set(anchors["back"]) == {"position", "height", "accuracy"}
    assert anchors["radius"] == "11 m"
    assert '"9 kN"  # tested' in text
    assert read_site(folder).anchors.back.position == (553219.007, 5912473.693)


def test_height_that_was_not_measured_is_taken_out(site_folder):
    anchor = BuiltAnchor(easting=553219.0, northing=5912473.0, height=None, accuracy=0.2)
    write_anchors(site_folder / "site.toml", {"left": anchor})
    left = read_site(site_folder).anchors.left
    assert left.height is None
    assert left.accuracy is None


def test_inline_tables_stay_inline(edited):
    folder = edited(
        '[anchors]\nradius = "11 m"\neye_height = "0.10 m"\ncapacity = "12 kN"\n'
        "[anchors.left]\nposition = [553219.0, 5912473.7]\nheight = 101.32\n",
        '[anchors]\nradius = "11 m"\nleft = { radius = "12 m" } # inline\n',
    )
    write_anchors(folder / "site.toml", {"left": LEFT})
    text = (folder / "site.toml").read_text(encoding="utf-8")
    assert "# inline" in text
    assert read_site(folder).anchors.left.height == 198.706


def test_back_ups_are_never_overwritten(site_folder):
    path = site_folder / "site.toml"
    names = [write_anchors(path, {"left": LEFT}).name for _ in range(3)]
    assert names == ["site.toml.bak", "site.toml.bak2", "site.toml.bak3"]
    assert "101.32" in (site_folder / "site.toml.bak").read_text(encoding="utf-8")
    assert not list(site_folder.glob("*.part"))


def test_line_ends_byte_order_mark_and_mode_stay(site_folder):
    path = site_folder / "site.toml"
    content = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(content)
    path.chmod(0o640)
    write_anchors(path, {"left": LEFT})
    new = path.read_bytes()
    assert new.startswith(b"\xef\xbb\xbf")
    assert new.count(b"\n") == new.count(b"\r\n")
    assert path.stat().st_mode & 0o777 == 0o640
    assert read_site(path).anchors.left.height == 198.706


def test_position_that_makes_a_bad_site_file_is_not_written(site_folder):
    path = site_folder / "site.toml"
    before = path.read_bytes()
    far = BuiltAnchor(easting=1.0, northing=2.0, height=1.0, accuracy=0.1)
    with pytest.raises(InputError, match="km from the base"):
        write_anchors(path, {"left": far})
    assert path.read_bytes() == before
    assert sorted(p.name for p in site_folder.glob("site.toml*")) == ["site.toml"]


def test_degrees_keep_their_digits(site_folder):
    anchor = BuiltAnchor(
        easting=-2.2003420314, northing=53.3587138388, height=None, accuracy=0, in_degrees=True
    )
    assert anchor.values["position"] == [-2.20034203, 53.35871384]


@pytest.mark.skipif(os.name != "posix" or os.geteuid() == 0, reason="root may write anywhere")
def test_folder_that_cannot_be_written(site_folder):
    site_folder.chmod(0o500)
    try:
        with pytest.raises(InputError, match="cannot be written"):
            write_anchors(site_folder / "site.toml", {"left": LEFT})
    finally:
        site_folder.chmod(0o700)


def test_missing_file(tmp_path):
    with pytest.raises(InputError, match="there is no such file"):
        write_anchors(tmp_path / "site.toml", {"left": LEFT})
