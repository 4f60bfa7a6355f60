"""The sites of a folder, and the sessions of those that are open."""

import hashlib
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from visual.app.finder import Finder
from visual.app.session import Session
from visual.app.worker import Worker
from visual.errors import HillmastError, InputError
from visual.site import SITE_FILE_NAME, read_site

MOST_SITES = 500
DEEPEST = 3
"""Sites are looked for this many folders down."""


@dataclass(frozen=True)
class SiteEntry:
    """One site file of a folder.

    Parameters
    ----------
    key : str
        Its short name in addresses.
    path : Path
        The file.
    name : str
        Name of the site; empty if the file cannot be used.
    problem : str
        Why it cannot be used; empty if it can.
    """

    key: str
    path: Path
    name: str
    problem: str


class Desk:
    """What is open, and what could be opened.

    Parameters
    ----------
    place : Path
        A site file, a site folder, or a folder with sites somewhere below it.
    draws : bool
        False to work out numbers only, without a scene.

    Raises
    ------
    InputError
        If it is a site that cannot be used, or there is no such place.
    """

    def __init__(self, place: Path, *, draws: bool = True) -> None:
        self._lock = threading.RLock()
        self._draws = draws
        self._open: dict[str, tuple[Session, Worker]] = {}
        self.first = ""
        self.finder = Finder()
        file = place / SITE_FILE_NAME if (place / SITE_FILE_NAME).is_file() else place
        if file.is_file():
            self.folder = file.parent.resolve()
            self.first = self._key(file.resolve())
            self.session(self.first)
        elif place.is_dir():
            self.folder = place.resolve()
        else:
            rule, way_out = "there is no such file or folder", "check the path"
            raise InputError.one(file=str(place), key="", value=None, rule=rule, way_out=way_out)

    def entries(self) -> list[SiteEntry]:
        """Return every site file in the folder and below it, sorted by path."""
        return [self._entry(path) for path in self._files()]

    def session(self, key: str) -> Session:
        """Return the session of a site, begun if it is not open yet.

        Raises
        ------
        KeyError
            If there is no such site.
        InputError
            If it cannot be used.
        """
        with self._lock:
            if key not in self._open:
                path = next((one for one in self._files() if self._key(one) == key), None)
                if path is None:
                    raise KeyError(key)
                session = Session(path)
                self._open[key] = (session, Worker(session, draws=self._draws))
            return self._open[key][0]

    def unsaved(self) -> list[Session]:
        """Return the open sessions with unsaved work."""
        with self._lock:
            return [session for session, _ in self._open.values() if session.dirty]

    def key_of(self, path: Path) -> str:
        """Return the key of a site file that may just have been made."""
        return self._key(path.resolve())

    def close(self, *, keep: bool = True) -> None:
        """Stop all work, with what is unsaved kept on disk or dropped.

        Raises
        ------
        InputError
            If something could not be dropped; everything is closed all the same.
        """
        self.finder.close()
        with self._lock:
            faults = [fault for one, _ in self._open.values() if (fault := _closed(one, keep))]
            for _, worker in self._open.values():
                worker.join(timeout=0.2)
        if faults:
            raise faults[0]

    def _files(self) -> list[Path]:
        found: list[Path] = []
        for depth in range(DEEPEST + 1):
            found += self.folder.glob("*/" * depth + "*.toml")
        files = sorted(one for one in found if one.is_file() and _looks_like_a_site(one))
        return files[:MOST_SITES]

    def _entry(self, path: Path) -> SiteEntry:
        name, problem = "", ""
        try:
            name = read_site(path).site.name
        except HillmastError as error:
            problem = str(error).splitlines()[0].removeprefix(f"{path}: ")
        return SiteEntry(key=self._key(path), path=path, name=name, problem=problem)

    def _key(self, path: Path) -> str:
        return hashlib.sha256(str(path).encode("utf-8")).hexdigest()[:12]


def entry_document(entry: SiteEntry, folder: Path) -> dict[str, Any]:
    """Return a site of the folder as plain values."""
    shown = entry.path.relative_to(folder).as_posix()
    return {"key": entry.key, "file": shown, "name": entry.name, "problem": entry.problem}


def _closed(session: Session, keep: bool) -> InputError | None:
    """Close a session and return what went wrong with that."""
    try:
        session.close(keep=keep)
    except InputError as error:
        return error
    return None


def _looks_like_a_site(path: Path) -> bool:
    """Return True if a file may be a site file and not another TOML file."""
    if path.name == SITE_FILE_NAME:
        return True
    try:
        with path.open("rb") as file:
            head = file.read(20_000)
    except OSError:
        return False
    return b"[mast" in head and b"format" in head
