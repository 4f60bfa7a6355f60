"""The command: it tells its address, and stopping it asks about unsaved work."""

import os
import pty
import re
import signal
import subprocess
import sys
import time
from pathlib import Path

import httpx
import pytest
from click.testing import CliRunner

from visual.app.command import open_command

# A program that is started where Ctrl-C is ignored, such as by a shell in the background, ignores
# it too. Here it is heeded, however the tests themselves were started.
HEEDING_INTERRUPTS = (
    "import runpy, signal; signal.signal(signal.SIGINT, signal.default_int_handler);"
    "runpy.run_module('visual.cli', run_name='__main__', alter_sys=True)"
)


@pytest.fixture
def run(copy_site):
    """Start the command in a terminal of its own: process, what it says, and its site file."""
    path = copy_site("flat_yard")
    started = []

    def make(*, terminal):
        ours, theirs = pty.openpty() if terminal else (None, None)
        process = subprocess.Popen(
            [sys.executable, "-c", HEEDING_INTERRUPTS, "open", str(path), "--no-browser"],
            stdin=theirs if terminal else subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            env=os.environ | {"PYTHONUNBUFFERED": "1"},
            cwd=Path(__file__).parents[2],
        )
        started.append((process, ours, theirs))
        address = re.search(r"http://\S+", process.stdout.readline())[0]
        return process, ours, address, path

    yield make
    for process, *ends in started:
        process.kill()
        process.communicate()
        for end in ends:
            if end is not None:
                os.close(end)


def edit(address):
    place, token = address.split("/#")
    with httpx.Client(base_url=place, headers={"x-hillmast-token": token}, timeout=60) as client:
        site = f"/api/sites/{client.get('/api/sites').json()['first']}"
        values = {"version": 1, "values": {"tow.grip": "0.31"}}
        assert client.post(f"{site}/edit", json=values).status_code == 200


def test_stopping_without_a_terminal_keeps_unsaved_work_for_the_next_time(run):
    process, _, address, path = run(terminal=False)
    edit(address)
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=60) == 0
    assert "0.31" not in path.read_text(encoding="utf-8")
    assert "0.31" in path.with_name("site.toml.unsaved").read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("key", "saved", "kept"), [(b"s", True, False), (b"d", False, False), (b"k", False, True)]
)
def test_stopping_with_unsaved_work_asks_first(run, key, saved, kept):
    process, ours, address, path = run(terminal=True)
    edit(address)
    process.send_signal(signal.SIGINT)
    time.sleep(0.5)
    assert process.poll() is None, "it waits for an answer"
    os.write(ours, key + b"\n")
    said, _ = process.communicate(timeout=60)
    assert "unsaved work" in said
    assert process.returncode == 0
    assert ("0.31" in path.read_text(encoding="utf-8")) is saved
    assert path.with_name("site.toml.unsaved").exists() is kept


def test_a_site_that_cannot_be_used_is_told_and_no_server_started(tmp_path):
    result = CliRunner().invoke(open_command, [str(tmp_path / "nowhere"), "--no-browser"])
    assert result.exit_code == 1
    assert "no such file" in str(result.exception)
