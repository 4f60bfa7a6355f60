import base64
import hashlib
import json
import re
import zlib
from pathlib import Path

import pytest
from click.testing import CliRunner

from visual.errors import DrawingError, InputError
from visual.page import write_page
from visual.page.bundle import Bundle, read_bundle
from visual.page.page import page_text
from visual.page_cli import page as page_command
from visual.page_cli import page_name

BUNDLE = Bundle("console.log('</script>')", "b { color: red }")


def test_the_policy_allows_its_own_script_and_style_and_nothing_else(data):
    text = page_text(data, BUNDLE)
    policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text)[1]
    assert policy.startswith("default-src 'none'; ")
    script = re.findall(r"<script>(.*?)</script>", text, flags=re.DOTALL)
    style = re.findall(r"<style>(.*?)</style>", text, flags=re.DOTALL)
    for kind, found in (("script", script), ("style", style)):
        assert len(found) == 1
        digest = base64.b64encode(hashlib.sha256(found[0].encode()).digest()).decode()
        assert f"{kind}-src 'sha256-{digest}'" in policy
    assert "unsafe" not in policy
    assert "http" not in policy


def test_names_are_nothing_but_data(data):
    text = page_text(data, BUNDLE)
    assert "<img" not in text
    assert "onerror=alert(1)>" not in text
    assert text.count("</script>") == 2
    packed = re.search(r'id="hillmast-data">([^<]*)<', text)[1]
    assert json.loads(zlib.decompress(base64.b64decode(packed))) == data


def test_the_same_data_give_the_same_bytes(report, data):
    from visual.page.data import PageMaker

    again = PageMaker(report).data()
    assert page_text(again, BUNDLE) == page_text(data, BUNDLE)


def test_without_a_built_viewer_the_way_out_is_said(tmp_path):
    with pytest.raises(DrawingError, match="hatch_build"):
        read_bundle(tmp_path)


def test_a_page_is_written_whole_or_not_at_all(report, data, tmp_path, monkeypatch):
    monkeypatch.setattr("visual.page.data.PageMaker.data", lambda _: data)
    monkeypatch.setattr("visual.page.page.read_bundle", lambda: BUNDLE)
    place = tmp_path / "folder.html"
    place.mkdir()
    (place / "kept").touch()
    with pytest.raises(InputError, match="cannot be written"):
        write_page(report, place)
    assert (place / "kept").exists()


@pytest.mark.parametrize(
    ("site", "name"),
    [
        ("a/hill/site.toml", "hill"),
        ("a/hill/site_moved.toml", "hill-site_moved"),
        ("a/hill", "hill"),
    ],
)
def test_a_page_is_named_after_its_site(site, name):
    assert page_name(Path(site)) == name


def test_the_command_writes_the_page_of_a_sample(tmp_path, page_file):
    assert page_file.exists()  # so the viewer is built
    sample = Path(__file__).parents[2] / "sample_sites" / "flat_yard"
    out = tmp_path / "new folder" / "yard.html"
    done = CliRunner().invoke(page_command, [str(sample), "-o", str(out)])
    assert done.exit_code == 0, done.output
    assert 0.5e6 < out.stat().st_size < 3e6
    assert "Flat yard – Hillmast" in out.read_text(encoding="utf-8")
