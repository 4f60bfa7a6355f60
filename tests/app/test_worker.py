"""The newest state is worked out, and those in between are not."""

import threading
import time

import pytest

from visual.app import worker as worker_module
from visual.app.session import Session
from visual.app.worker import Worker


@pytest.fixture
def slow(monkeypatch):
    """Make working out slow and note what was worked out."""
    seen, gate = [], threading.Event()

    real = worker_module.work_out

    def work_out(site, loader, *, version, text, **more):
        seen.append(version)
        gate.wait(10.0)
        return real(site, loader, version=version, text=text, **more)

    monkeypatch.setattr(worker_module, "work_out", work_out)
    return seen, gate


def test_latest_wins(copy_site, slow, settle):
    seen, gate = slow
    session = Session(copy_site())
    worker = Worker(session, draws=False)
    while not seen:
        time.sleep(0.01)
    for front in range(20):
        session.edit({"mast.front": str(front)}, version=session.version)
    newest = session.version
    gate.set()
    settle(session)
    assert session.answer.version == newest
    assert seen == [0, newest], "one on its way, then the newest"
    session.close(keep=False)
    worker.join(2.0)


@pytest.mark.parametrize(("patience", "kept"), [(1e9, False), (0.0, True)])
def test_overtaken_work_is_dropped_but_not_again_and_again(
    copy_site, settle, monkeypatch, patience, kept
):
    begun, gate, real = [], threading.Event(), worker_module.work_out

    def work_out(site, loader, *, version, text, between, **more):
        begun.append(version)
        if version == 2:
            gate.wait(10.0)
            between()
        return real(site, loader, version=version, text=text, **more)

    monkeypatch.setattr(worker_module, "work_out", work_out)
    monkeypatch.setattr(worker_module, "PATIENCE", patience)
    session, accepted = Session(copy_site()), []
    real_accept = session.accept
    monkeypatch.setattr(
        session, "accept", lambda answer: (accepted.append(answer.version), real_accept(answer))
    )
    worker = Worker(session, draws=False)
    settle(session)
    session.edit({"mast.front": "12"}, version=session.version)
    while 2 not in begun:
        time.sleep(0.01)
    session.edit({"mast.front": "13"}, version=session.version)
    gate.set()
    settle(session)
    assert begun[-2:] == [2, 3]
    assert (2 in accepted) == kept
    assert session.answer.version == 3
    session.close(keep=False)
    worker.join(2.0)


def test_dropped_work_stays_dropped_though_its_answer_is_on_the_way(copy_site, slow, settle):
    seen, gate = slow
    path = copy_site()
    session = Session(path)
    gate.set()
    worker = Worker(session, draws=False)
    settle(session)
    gate.clear()
    session.edit({"mast.front": "12"}, version=session.version)
    while seen[-1] != session.version:
        time.sleep(0.01)
    session.close(keep=False)
    gate.set()
    worker.join(10.0)
    assert not path.with_name("site.toml.unsaved").exists()


def test_an_accident_while_working_out_keeps_the_last_good_state(
    copy_site, settle, monkeypatch, caplog
):
    session = Session(copy_site())
    worker = Worker(session, draws=False)
    settle(session)
    good = session.text

    def fail(*args, **kwargs):
        raise RuntimeError("an accident")

    monkeypatch.setattr(worker_module, "work_out", fail)
    session.edit({"mast.front": "12"}, version=session.version)
    settle(session)
    assert session.text == good
    problem = session.state()["problems"][0]
    assert "cannot be worked out" in problem["rule"]
    assert "accident" not in str(problem)
    session.close(keep=False)
    worker.join(2.0)


def test_waiting_ends_with_news_and_with_time(copy_site, settle):
    session = Session(copy_site())
    worker = Worker(session, draws=False)
    settle(session)
    started = time.monotonic()
    session.wait(session.seq, timeout=0.2)
    assert 0.15 < time.monotonic() - started < 2.0
    after = session.seq
    threading.Timer(0.1, session.tell).start()
    started = time.monotonic()
    session.wait(after, timeout=5.0)
    assert session.seq == after + 1
    assert time.monotonic() - started < 3.0
    session.close(keep=False)
    worker.join(2.0)
