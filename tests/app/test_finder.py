"""Searches beside the server: what is found, moving there, stopping, what is old, who may ask.

The program beside runs without compiling: what it finds is the same, and a test must not wait a
minute for it on a machine that has never searched.
"""

import base64
import json
import time

import numpy as np
import pytest

from visual.app import beside_program
from visual.app.beside import Beside
from visual.app.beside_program import Stop
from visual.app.found_data import NONE
from visual.checks import assess, results_document
from visual.model import load_model

SMALL = 2.0
"""Radius of the searches. [m]"""


@pytest.fixture
def client(open_site, monkeypatch):
    monkeypatch.setenv("NUMBA_DISABLE_JIT", "1")
    return open_site()


def finder(client, wanted="search", *, seconds=120.0):
    """Wait until search or rose is over and return how both stand."""
    end = time.monotonic() + seconds
    while True:
        state = client.get(f"{client.site}/finder").json()
        if not state[wanted]["running"]:
            return state
        assert time.monotonic() < end, "not over in time"
        with client.session.changed:
            client.session.changed.wait(0.2)


def found(client):
    return client.get(f"{client.site}/found?seen={client.session.answer.version}").json()


def test_a_search_is_found_moved_to_undone_and_equals_a_fresh_check(client):
    assert client.act("search", area="radius", radius=SMALL).status_code == 200
    assert client.act("search").status_code == 422, "one at a time"
    state = finder(client)
    assert state["search"]["problems"] == []
    assert not state["search"]["old"]
    search = found(client)
    best = search["places"][0]
    assert best["stops"] == 0
    every_place_tells_what_holds_there(client, search)
    client.act("reset")
    text = client.session.text

    assert client.act("stand", search=search["number"], rank=1).status_code == 200
    state = client.state()
    assert state["answer"]["counts"]["stop"] == 0
    assert client.session.answer.model.site.mast.front == pytest.approx(
        np.radians(best["front"]), abs=1e-3
    )
    assert not finder(client)["search"]["old"], "the place of the mast plays no part"
    client.act("save")
    fresh = json.loads(json.dumps(results_document(assess(load_model(client.session.path)))))
    assert json.loads(json.dumps(client.session.answer.results)) == fresh
    client.act("undo")
    assert client.session.text == text, "one edit, one step back"

    client.act("edit", values={"anchors.radius": "9.1 m"})
    assert finder(client)["search"]["old"]
    assert client.state()["holds"] == {"search": False, "rose": False}, "told with the state"
    client.act("undo")
    assert not finder(client)["search"]["old"]
    assert client.state()["holds"] == {"search": True, "rose": False}


def every_place_tells_what_holds_there(client, search):
    rows, columns = search["shape"]
    share, bearing, reason = (
        np.frombuffer(base64.b64decode(search[name]), np.uint8).reshape(rows, columns)
        for name in ("share", "bearing", "reason")
    )
    kinds = np.array([one["kind"] for one in search["reasons"]] + ["outside"])
    kind = kinds[np.minimum(reason, len(kinds) - 1)]
    assert ((kind == "works") == (bearing < NONE)).all()
    assert ((kind == "works") == (share <= 100)).all()
    works = np.argwhere(kind == "works")
    row, column = (int(one) for one in works[len(works) // 3])
    at = [
        search["first"][i] + row * search["down"][i] + column * search["right"][i] for i in (0, 1)
    ]
    model = client.session.answer.model
    expected = model.frame.to_grid(*at)
    client.act("stand", search=search["number"], row=row, column=column)
    assert client.session.answer.model.site.mast.position == pytest.approx(expected, abs=0.01)
    beyond = client.act("stand", search=search["number"], row=rows, column=0)
    assert beyond.status_code == 400
    assert client.act("stand", search=search["number"] + 1, rank=1).status_code == 409


def test_a_place_where_no_bearing_works_is_no_place_to_stand(client):
    nothing = base64.b64encode(bytes([NONE])).decode()
    lattice = [[1040.0, 2040.0], [1040.0, 2041.0], [1041.0, 2040.0]]
    looked = {"bearing": nothing, "shape": [1, 1], "lattice": lattice, "turn": 5.0, "places": []}
    client.desk.finder.found = lambda session: (7, looked)
    assert client.act("stand", search=7, row=0, column=0).status_code == 400
    assert not client.session.dirty


def test_a_rose_of_the_real_program_is_old_when_the_base_moves_and_not_when_the_front_turns(client):
    client.act("rose")
    state = finder(client, "rose")
    rose = state["rose"]["found"]
    assert len(rose["bearings"]) * rose["turn"] == 360
    assert any(one["works"] for one in rose["bearings"])
    client.act("edit", values={"mast.front": "80"})
    assert not finder(client, "rose")["rose"]["old"]
    known = client.desk.finder.known(client.session, client.session.text)
    assert known.bearings == (sum(one["works"] for one in rose["bearings"]), 72)
    easting = client.session.answer.model.site.mast.position[0]
    client.act("edit", values={"mast.position[1]": f"{easting + 3}"})
    assert finder(client, "rose")["rose"]["old"]
    assert client.desk.finder.known(client.session, client.session.text).bearings is None
    running = client.desk.finder._rose._running
    assert running is not None
    client.desk.close(keep=False)
    assert running.poll() is not None, "the program ends with the server"


def test_getting_ready_is_asked_for_once_and_looks_round(client, monkeypatch):
    finder_, asked = client.desk.finder, []
    for program in (finder_._search, finder_._rose):
        monkeypatch.setattr(program, "ask", asked.append)
    client.act("prepare")
    client.act("prepare")
    assert [job["do"] for job in asked] == ["prepare", "rose"]
    state = finder_.state(client.session)
    assert not state["search"]["running"], "nobody has searched"
    assert state["rose"]["running"]


def test_getting_ready_finds_nothing_and_leaves_the_kernels_compiled(client, monkeypatch):
    seen = []
    monkeypatch.setattr("visual.search.run.search", lambda model, **how: seen.append(how))
    assert beside_program._prepare(client.session.answer.model) == {}
    assert seen[0]["top"] == 0, "no place is fully checked for it"


def test_a_search_of_no_land_says_so_and_bad_asking_is_refused(client):
    version = client.session.answer.version
    nowhere = [[5, 5], [5, 5], [5, 5]]
    client.act("search", area="view", seen=version, points=nowhere)
    assert "no land is left" in finder(client)["search"]["problems"][0]["rule"]
    assert found(client) == {"number": 0}
    for body in (
        {"area": "moon"},
        {"area": "radius", "radius": -1},
        {"area": "view", "seen": version, "points": [[0, 0]]},
        {"area": "view", "seen": version, "points": [[0, 0], [1], [2, 2]]},
    ):
        assert client.act("search", **body).status_code == 400
    assert client.raw.get(f"{client.site}/finder").status_code == 403
    for name in ("search", "search_stop", "rose", "stand", "prepare"):
        assert client.raw.post(f"{client.site}/{name}", json={}).status_code == 403
        foreign = client.post(f"{client.site}/{name}", {}, headers={"origin": "http://evil.test"})
        assert foreign.status_code == 403


def test_a_program_that_does_not_stop_is_ended_and_says_so(monkeypatch, tmp_path):
    (tmp_path / "deaf.py").write_text("import time\ntime.sleep(600)\n", encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("visual.app.beside.PROGRAM", "deaf")
    monkeypatch.setattr("visual.app.beside.GRACE", 0.2)
    told = []
    beside = Beside(told.append)
    beside.ask({"job": 7, "do": "search"})
    beside.stop()
    end = time.monotonic() + 60
    while not told:
        assert time.monotonic() < end
        time.sleep(0.02)
    assert told == [{"job": 7, "stopped": True}]
    beside.close()


def test_a_stop_interrupts_a_search_once():
    stop = Stop()
    stop.look()
    stop.ask()
    with pytest.raises(KeyboardInterrupt):
        stop.look()
    stop.look()  # what follows the interruption, such as handing over, goes on
