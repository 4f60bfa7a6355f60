"""Sites of a folder, and files dropped into the view."""

import shutil
from pathlib import Path

import pytest

from visual.app.desk import Desk
from visual.app.drop import kind_of, plain_name
from visual.errors import InputError

SAMPLES = Path(__file__).parents[2] / "sample_sites"


def test_a_folder_lists_its_sites_good_and_bad(tmp_path, open_site):
    shutil.copytree(SAMPLES / "flat_yard", tmp_path / "sites" / "<b>yard<img>")
    (tmp_path / "sites" / "bad").mkdir()
    (tmp_path / "sites" / "bad" / "site.toml").write_text("format = 2\n", encoding="utf-8")
    (tmp_path / "sites" / "other.toml").write_text("[tool]\n", encoding="utf-8")
    client = open_site(place=tmp_path / "sites")
    listed = client.get("/api/sites").json()
    assert listed["first"] == ""
    files = {one["file"]: one for one in listed["sites"]}
    assert set(files) == {"<b>yard<img>/site.toml", "bad/site.toml"}
    assert files["bad/site.toml"]["problem"]
    key = files["<b>yard<img>/site.toml"]["key"]
    assert client.get(f"/api/sites/{key}/state").json()["folder"] == "<b>yard<img>"
    bad = client.get(f"/api/sites/{files['bad/site.toml']['key']}/state")
    assert bad.status_code == 422
    assert bad.json()["problems"]


def test_what_is_no_site_is_refused(tmp_path):
    with pytest.raises(InputError, match="no such file or folder"):
        Desk(tmp_path / "nowhere")


def send(client, content, **query):
    return client.raw.post("/api/drop", params=query, content=content, headers=client.headers)


def test_a_dropped_survey_starts_a_site(tmp_path, open_site):
    (tmp_path / "sites").mkdir()
    client = open_site(place=tmp_path / "sites")
    content = (SAMPLES / "flat_yard" / "survey.csv").read_bytes()
    made = send(client, content, name="../../yard.csv", site="New yard")
    assert made.status_code == 200, made.text
    site = tmp_path / "sites" / "New yard" / "site.toml"
    assert site.is_file()
    assert (site.parent / "yard.csv").read_bytes() == content
    assert client.get(f"/api/sites/{made.json()['key']}/state").json()["folder"] == "New yard"
    again = send(client, content, name="yard.csv", site="New yard")
    assert again.status_code == 422
    assert "already" in again.text


@pytest.mark.parametrize("name", ["x.exe", "x.vrt", "noending", "site.toml"])
def test_other_files_are_refused(tmp_path, open_site, name):
    (tmp_path / "sites").mkdir()
    client = open_site(place=tmp_path / "sites")
    assert send(client, b"x", name=name).status_code == 422
    assert list((tmp_path / "sites").iterdir()) == []


def test_a_file_that_cannot_be_read_leaves_nothing_behind(tmp_path, open_site):
    (tmp_path / "sites").mkdir()
    client = open_site(place=tmp_path / "sites")
    for name in ("ground.tif", "points.csv"):
        answer = send(client, b"\x00\x01nonsense", name=name, site="new")
        assert answer.status_code == 422, answer.text
        assert answer.json()["problems"]
    assert list((tmp_path / "sites").iterdir()) == []


def test_a_dropped_vector_file_becomes_the_surroundings(open_site):
    client = open_site("hill_paddock")
    session = client.session
    content = (SAMPLES / "hill_paddock" / "surroundings.geojson").read_bytes()
    asked = {"name": "around.geojson", "for": client.desk.first, "version": session.version}
    assert send(client, content, **asked).status_code == 200
    assert 'file = "around.geojson"' in session.text
    assert (session.path.parent / "around.geojson").read_bytes() == content
    bad = send(client, b"{}", **(asked | {"name": "empty.geojson", "version": session.version}))
    assert bad.status_code in (409, 422)
    assert not (session.path.parent / "empty.geojson").exists()


def test_names_are_made_plain():
    assert plain_name("../a/b\\c<d>.csv") == "c_d_.csv"
    assert plain_name("...") == "site"
    assert kind_of("X.TIF") == "dem"
