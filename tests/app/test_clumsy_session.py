"""A session under a clumsy hand: anything in any order, two tabs, a disk that fails."""

import errno
import itertools
import random
from pathlib import Path

import pytest

from visual.app.desk import Desk
from visual.app.recovery import find_unsaved, unsaved_file
from visual.app.session import Session, StaleError
from visual.errors import HillmastError, InputError

NUMBERS = ("", "0.31", "-1", "0", "nan", "inf", "1e300", "9" * 400, "0,31", "\u0663", "\x00", "x")


@pytest.fixture
def session(copy_site):
    """Return a session that nothing is worked out for."""
    return Session(copy_site("flat_yard"))


def full_disk(monkeypatch, *, after=0):
    """Let every write but the first few fail as on a full disk."""
    write, count = Path.write_bytes, itertools.count()

    def fail(self, data):
        if next(count) < after:
            return write(self, data)
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", fail)


@pytest.mark.parametrize("seed", range(6))
def test_whatever_is_done_in_whatever_order_the_state_holds_together(session, seed):
    dice = random.Random(seed)
    fields = [row["key"] for row in session.state()["fields"]]
    acts = {
        "edit": lambda v: session.edit({dice.choice(fields): dice.choice(NUMBERS)}, version=v),
        "good edit": lambda v: session.edit({"tow.grip": f"0.{dice.randint(1, 9)}"}, version=v),
        "undo": lambda v: session.undo(version=v),
        "redo": lambda v: session.redo(version=v),
        "reset": lambda v: session.reset(version=v),
        "save": lambda v: session.save(version=v),
        "save as": lambda v: session.save_as(f"other{dice.randint(0, 3)}.toml", version=v),
        "read again": lambda v: session.read_data(version=v),
        "load outside": lambda v: session.take_outside(version=v),
        "keep mine": lambda v: session.keep_mine(version=v),
        "deleted": lambda _: session.path.unlink(missing_ok=True),
        "old tab": lambda v: session.undo(version=v - 1),
    }
    for _ in range(60):
        name = dice.choice(list(acts))
        before, version = session.text, session.version
        try:
            acts[name](version)
        except HillmastError:
            assert session.text == before, f"{name} was refused and did something"
            assert session.version == version
        state = session.state()
        assert state["dirty"] == (session.text != session.disk.saved.text)
        if session.path.exists() and not session.disk.outside:
            assert session.path.read_text(encoding="utf-8") == session.disk.saved.text
    session.edit({"tow.grip": "0.55"}, version=session.version)
    session.save(version=session.version, force=True)
    assert "0.55" in session.path.read_text(encoding="utf-8")
    assert not session.dirty


def test_two_tabs_that_edit_the_same_state_do_not_overwrite_each_other(session):
    seen = session.version
    session.edit({"tow.grip": "0.31"}, version=seen)
    with pytest.raises(StaleError, match="another tab"):
        session.edit({"tow.grip": "0.41"}, version=seen)
    with pytest.raises(StaleError, match="another tab"):
        session.save(version=seen)
    session.save(version=session.version)
    session.save(version=session.version)  # the other tab, with the newest state before it
    assert "0.31" in session.path.read_text(encoding="utf-8")


def test_a_full_disk_loses_neither_file_nor_work(session, monkeypatch):
    saved = session.path.read_bytes()
    session.edit({"tow.grip": "0.31"}, version=session.version)
    full_disk(monkeypatch)
    with pytest.raises(InputError, match="make room on the disk"):
        session.save(version=session.version)
    assert session.path.read_bytes() == saved
    assert session.dirty
    assert [one.name for one in session.path.parent.glob("site.toml.*")] == []
    with pytest.raises(InputError, match="No space left"):
        session.save_as("other.toml", version=session.version)
    assert session.path.name == "site.toml"
    monkeypatch.undo()
    session.save(version=session.version)
    assert "0.31" in session.path.read_text(encoding="utf-8")


def test_save_as_that_fails_leaves_the_kept_work_on_disk(session):
    session.edit({"tow.grip": "0.31"}, version=session.version)
    session._keep_work()
    with pytest.raises(InputError, match="there is such a file already"):
        session.save_as("site.toml", version=session.version)
    assert "0.31" in find_unsaved(session.path).text
    session.save_as("other.toml", version=session.version)
    assert find_unsaved(session.path.with_name("site.toml")) is None


def test_work_that_cannot_be_kept_is_said_and_saving_still_works(session, monkeypatch):
    session.edit({"tow.grip": "0.31"}, version=session.version)
    full_disk(monkeypatch)
    session._keep_work()
    assert "cannot be kept on disk" in session.state()["notice"]
    monkeypatch.undo()
    session.save(version=session.version)
    assert session.state()["notice"] == ""


def test_a_folder_that_is_gone_is_said(session):
    session.edit({"tow.grip": "0.31"}, version=session.version)
    for one in session.path.parent.iterdir():
        one.unlink()
    session.path.parent.rmdir()
    session.disk.look()
    assert session.state()["outside"] == "gone"
    with pytest.raises(InputError, match="cannot be written"):
        session.save(version=session.version, force=True)
    assert session.dirty


def test_kept_work_that_cannot_be_dropped_stops_nothing_else(copy_site, monkeypatch):
    path = copy_site("flat_yard")
    copy_site("flat_yard", "site/second")
    desk = Desk(path, draws=False)
    keys = [desk.key_of(path), desk.key_of(path.parent / "second" / "site.toml")]
    sessions = [desk.session(key) for key in keys]
    unsaved_file(path).mkdir()  # as stubborn as a file of somebody else
    with pytest.raises(InputError, match="cannot be removed"):
        desk.close(keep=False)
    assert all(session.closed for session in sessions)
