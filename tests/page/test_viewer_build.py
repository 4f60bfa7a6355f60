import json
import subprocess
from pathlib import Path

import pytest

hatch_build = pytest.importorskip(
    "visual.page.hatch_build", reason="hatchling builds the viewer: pip install '.[dev]'"
)
ROOT = Path(__file__).parents[2]
VIEWER = ROOT / "visual" / "page" / "viewer"


def test_the_lock_file_names_no_host():
    text = (VIEWER / "package-lock.json").read_text(encoding="utf-8")
    assert "resolved" not in text
    assert "://" not in text
    packages = json.loads(text)["packages"].values()
    assert all("integrity" in one for one in list(packages)[1:])


def test_a_viewer_that_is_up_to_date_is_not_built_again(page_file, monkeypatch):
    def refuse(*_):
        raise AssertionError

    monkeypatch.setattr(hatch_build, "_npm", refuse)
    monkeypatch.setattr(hatch_build, "_run", refuse)
    assert page_file.exists()
    assert hatch_build.build() is False


def test_a_changed_source_makes_it_out_of_date(tmp_path, monkeypatch):
    source = tmp_path / "page.ts"
    source.write_text("one")
    first = hatch_build._digest([source])
    source.write_text("two")
    assert hatch_build._digest([source]) != first


def test_a_step_that_fails_says_which_and_what_was_said():
    done = subprocess.CompletedProcess([], 1, stdout="", stderr="error TS2322")
    with pytest.raises(SystemExit, match=r"type check failed; the page cannot be built.\n.*TS2322"):
        hatch_build._check("type check", done)


def test_licences_of_everything_in_the_script_go_with_it(page_file):
    assert page_file.exists()
    texts = hatch_build.LICENCES.read_text(encoding="utf-8")
    names = (hatch_build.BUILT / "packages.txt").read_text(encoding="utf-8").split()
    assert names == ["three"]
    assert "Permission is hereby granted" in texts
    assert "three" in texts


def test_the_viewer_never_writes_markup():
    for source in (VIEWER / "src").glob("*.ts"):
        text = source.read_text(encoding="utf-8")
        for way in ("innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval("):
            assert way not in text, source.name


def test_viewer_modules_stay_small():
    for source in (VIEWER / "src").glob("*.ts"):
        assert len(source.read_text(encoding="utf-8").splitlines()) <= 340, source.name
