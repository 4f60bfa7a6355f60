"""A change of a data file is noticed while one works, and read when asked for."""

import os

import pytest

from visual.app import worker
from visual.app.work_out import work_out


@pytest.fixture
def client(open_site, monkeypatch):
    """A session that works out every state from the files, whatever other tests know of it."""
    monkeypatch.setattr(worker, "work_out", work_out)
    return open_site()


def survey_of(client):
    model = client.session.answer.model
    return model.site.resolve(model.site.ground.survey or model.site.ground.dem)


def base_height(client):
    return client.session.answer.model.frame.origin_height


def lift(path, metres):
    """Raise every height of a table of points, with a later time of change."""
    head, *rows = path.read_text(encoding="utf-8").splitlines()
    column = head.split(",").index("height")
    made = [head]
    for row in rows:
        cells = row.split(",")
        cells[column] = str(float(cells[column]) + metres)
        made.append(",".join(cells))
    path.write_text("\n".join(made) + "\n", encoding="utf-8")
    later = path.stat().st_mtime_ns + 10**9
    os.utime(path, ns=(later, later))


def test_a_changed_survey_is_told_and_read_again_when_asked(client):
    before, path = base_height(client), survey_of(client)
    seen = client.state()
    assert seen["data_changed"] == []
    lift(path, 5.0)
    told = client.get(f"{client.site}/state?after={seen['seq']}").json()
    assert told["data_changed"] == [path.name]
    assert base_height(client) == before, "nothing is read before it is asked for"

    client.act("read_data")
    state = client.state()
    assert base_height(client) == pytest.approx(before + 5.0, abs=1e-9)
    assert state["data_changed"] == []
    assert not state["dirty"]
    moved = [one["name"] for one in state["answer"]["numbers"] if one["changed"]]
    assert moved == [], "the saved site is held against the same data"


def test_a_data_file_of_no_use_leaves_the_last_good_state(client):
    before, path = base_height(client), survey_of(client)
    good = path.read_bytes()
    path.write_text("nothing of use\n", encoding="utf-8")
    client.act("read_data")
    state = client.state()
    assert state["problems"]
    assert state["data_changed"] == [path.name]
    assert base_height(client) == before

    path.write_bytes(good)
    client.act("read_data")
    state = client.state()
    assert state["problems"] == []
    assert base_height(client) == before


def test_a_missing_data_file_is_told_too(client):
    seen, path = client.state(), survey_of(client)
    path.unlink()
    told = client.get(f"{client.site}/state?after={seen['seq']}").json()
    assert told["data_changed"] == [path.name]
