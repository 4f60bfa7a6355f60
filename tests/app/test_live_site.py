"""Working on a site through the server: edits, undo, save, and what happens outside."""

import json
import math
import tomllib
from pathlib import Path

import pytest

from visual.app.session import Session
from visual.checks import assess, results_document
from visual.model import load_model


@pytest.fixture
def client(open_site):
    return open_site()


def fresh(path: Path):
    return json.loads(json.dumps(results_document(assess(load_model(path)))))


def field(state, key):
    return next(one for one in state["fields"] if one["key"] == key)


def number(state, name):
    return next(one for one in state["answer"]["numbers"] if one["name"] == name)


def test_an_edit_is_answered_with_what_was_and_is_and_saves_to_the_same_numbers(client):
    text = client.session.path.read_text(encoding="utf-8")
    assert client.act("edit", values={"anchors.left.radius": "9.5"}).status_code == 200
    state = client.state()
    assert state["dirty"]
    assert field(state, "anchors.left.radius")["text"] == "9.5 m"
    left = number(state, "left_distance")
    assert left["is"] != left["was"]
    assert left["changed"]
    assert left["value"] == pytest.approx(9.5)
    assert client.session.path.read_text(encoding="utf-8") == text, "nothing is written yet"

    assert client.act("save").status_code == 200
    assert json.loads(json.dumps(client.session.answer.results)) == fresh(client.session.path)
    state = client.state()
    assert not state["dirty"]
    assert not any(one["changed"] for one in state["answer"]["numbers"])


def test_save_keeps_comments_and_order_and_a_back_up(client):
    path = client.session.path
    before = path.read_text(encoding="utf-8")
    client.act("edit", values={"mast.front": "95"})
    client.act("save")
    after = path.read_text(encoding="utf-8")
    changed = [
        (a, b) for a, b in zip(before.splitlines(), after.splitlines(), strict=True) if a != b
    ]
    assert len(changed) == 1
    assert changed[0][1].startswith("front = 95")
    assert (path.parent / "site.toml.bak").read_text(encoding="utf-8") == before
    client.act("edit", values={"mast.front": "96"})
    client.act("save")
    assert [one.name for one in path.parent.glob("*.bak*")] == ["site.toml.bak"]
    assert not list(path.parent.glob("*.part"))


def test_undo_redo_and_reset(client):
    for value in ("95", "96"):
        client.act("edit", values={"mast.front": value})
    client.act("undo")
    assert field(client.state(), "mast.front")["text"] == "95"
    client.act("redo")
    assert field(client.state(), "mast.front")["text"] == "96"
    client.act("reset")
    state = client.state()
    assert not state["dirty"]
    client.act("undo")
    assert field(client.state(), "mast.front")["text"] == "96"


def test_bad_input_stands_beside_its_field_and_nothing_changes(client):
    answer = client.act("edit", values={"mast.section[1].wall": "1 m", "tow.grip": "-1"})
    assert answer.status_code == 422
    keys = {problem["key"] for problem in answer.json()["problems"]}
    assert keys == {"mast.section[1].wall", "tow.grip"}
    assert all(problem["way_out"] for problem in answer.json()["problems"])
    assert client.session.version == 1
    assert client.act("edit", values={"no.such": "1"}).status_code == 422


def test_a_state_that_cannot_be_worked_out_is_taken_back(client):
    front = field(client.state(), "mast.front")["text"]
    client.act("edit", values={"mast.position[1]": "99999"})
    state = client.state()
    assert state["problems"]
    assert not state["dirty"]
    assert field(state, "mast.front")["text"] == front
    assert state["answer"]["numbers"]


def test_dragging_an_anchor_sets_its_radius_and_turn(client):
    session = client.session
    nominal = session.answer.model.rig.front - math.pi / 2
    bearing = nominal + math.radians(7.0)
    place = {"x": 10.0 * math.sin(bearing), "y": 10.0 * math.cos(bearing)}
    answer = client.act("drag", what="anchor", side="left", seen=session.version, **place)
    assert answer.status_code == 200
    state = client.state()
    assert field(state, "anchors.left.radius")["text"] == "10.00 m"
    assert field(state, "anchors.left.turn")["text"] == "7.0"
    eye = client.session.answer.model.anchors["left"].eye
    assert eye[:2] == pytest.approx([place["x"], place["y"]], abs=0.02)


def test_dragging_the_base_moves_it_on_the_grid_and_one_drag_is_one_step(client):
    session = client.session
    position = tomllib.loads(session.text)["mast"]["position"]
    for step in (0.5, 1.0):
        seen = client.session.version
        client.act("drag", what="base", x=0.5, y=0.0, seen=seen, group="one")
        assert client.session.answer.model.frame.origin_easting == pytest.approx(position[0] + step)
    client.act("undo")
    assert not client.state()["dirty"]


def test_dragging_the_front_turns_the_whole_rig(client):
    client.act("drag", what="front", x=0.0, y=20.0, seen=client.session.version)
    assert client.session.answer.model.rig.front == pytest.approx(0.0, abs=1e-9)


def test_a_measured_anchor_is_not_dragged(client):
    east, north = tomllib.loads(client.session.text)["mast"]["position"]
    values = {"anchors.left.position": [east - 9.0, north]}
    client.session.set_tables(values, version=1)
    answer = client.act(
        "drag", what="anchor", side="left", x=1.0, y=2.0, seen=client.session.version
    )
    assert answer.status_code == 422
    assert "was measured" in answer.text


def test_an_edit_to_a_state_that_another_tab_changed_is_refused(client):
    client.act("edit", values={"mast.front": "95"})
    late = client.post(f"{client.site}/edit", {"version": 1, "values": {"mast.front": "50"}})
    assert late.status_code == 409
    assert late.json()["stale"]
    assert field(client.state(), "mast.front")["text"] == "95"


def test_a_change_from_outside_is_noticed_and_offered(client):
    session = client.session
    path = session.path
    outside = path.read_text(encoding="utf-8").replace("front =", "front  =")
    client.act("edit", values={"tow.grip": "0.3"})
    path.write_text(outside + "\n# by hand\n", encoding="utf-8")
    session.wait(session.seq, timeout=3.0)
    assert client.state()["outside"] == "changed"
    assert client.act("save").status_code == 409
    assert path.read_text(encoding="utf-8").endswith("# by hand\n")
    client.act("take_outside")
    state = client.state()
    assert (state["outside"], state["dirty"]) == ("", False)
    client.act("undo")
    assert field(client.state(), "tow.grip")["text"] == "0.3"


def test_keeping_what_is_here_backs_up_what_is_outside(client):
    path = client.session.path
    client.act("edit", values={"tow.grip": "0.3"})
    path.write_text(path.read_text(encoding="utf-8") + "# by hand\n", encoding="utf-8")
    client.session.wait(client.session.seq, timeout=3.0)
    client.act("keep_mine")
    assert client.act("save").status_code == 200
    assert any("# by hand" in one.read_text("utf-8") for one in path.parent.glob("*.bak*"))
    assert "# by hand" not in path.read_text(encoding="utf-8")


def test_save_as_stays_in_the_folder_and_overwrites_nothing(client):
    before = client.session.path.read_text(encoding="utf-8")
    folder = client.session.path.parent
    client.act("edit", values={"tow.grip": "0.3"})
    for name in (
        "../out.toml",
        "/elsewhere/x.toml",
        ".hidden.toml",
        "site.toml",
        "a/b.toml",
        "x.txt",
        "",
    ):
        assert client.act("save_as", name=name).status_code == 422, name
    assert client.act("save_as", name="moved").status_code == 200
    assert "0.3" in (folder / "moved.toml").read_text(encoding="utf-8")
    assert (folder / "site.toml").read_text(encoding="utf-8") == before
    assert client.state()["file"] == "moved.toml"


def test_unsaved_work_survives_the_end_of_the_server(client, settle):
    path = client.session.path
    client.act("edit", values={"tow.grip": "0.3"})
    client.session.close(keep=True)
    again = Session(path)
    assert again.dirty
    assert "was taken up" in again.notice
    again.reset(version=again.version)
    again.close(keep=True)
    assert not Session(path).dirty
    assert [one.name for one in path.parent.glob("*.unsaved")] == []


def test_entries_are_added_and_removed(client):
    collars = len(tomllib.loads(client.session.text)["mast"]["collar"])
    height = {
        "height": "3 m",
        "wire": tomllib.loads(client.session.text)["mast"]["collar"][0]["wire"],
    }
    client.act("tables", changes={f"mast.collar[{collars + 1}]": height})
    assert len(client.session.answer.model.rig.mast.collars) == collars + 1
    client.act("tables", changes={f"mast.collar[{collars + 1}]": None})
    assert len(client.session.answer.model.rig.mast.collars) == collars
    assert client.act("tables", changes={"mast.collar[1]": [1]}).status_code == 400


def test_a_finding_that_misses_a_value_leads_to_a_field_that_there_is(open_site):
    state = open_site().state()
    missed = {one["missing"] for one in state["answer"]["findings"]} - {""}
    assert missed == {"tow.shackle_load", "anchors.capacity"}
    assert missed <= {field["key"] for field in state["fields"]}
    said = [one["message"] for one in state["answer"]["findings"] if one["missing"]]
    assert all("was not given" in words and "_" not in words for words in said)
