"""Where else, and which way round: searches and roses of the open sites, one at a time."""

import itertools
import threading
from typing import Any

from visual.app.beside import Beside
from visual.app.looked import Looked
from visual.app.session import Session
from visual.app.what_to_try import Known, known_of
from visual.errors import HillmastError
from visual.site import SiteFile, data_state, read_site_text

Json = dict[str, Any]


class BusyError(HillmastError):
    """A search is running already."""


class Finder:
    """Searches of the sites of a desk; every method may be called from any thread.

    A search holds as long as rig, ground and surroundings are what they were: where the mast
    stands and how it is turned plays no part. A rose holds as long as the base stands there too.
    """

    def __init__(self) -> None:
        self._lock = threading.RLock()
        self._numbers = itertools.count(1)
        self._searches: dict[Session, Looked] = {}
        self._roses: dict[Session, Looked] = {}
        self._jobs: dict[int, tuple[Session, Looked]] = {}
        self._sites: dict[Session, tuple[str, SiteFile]] = {}
        self._prepared = False
        self._search = Beside(self._told)
        self._rose = Beside(self._told)

    def search(self, session: Session, area: Json) -> None:
        """Begin a search.

        Parameters
        ----------
        session : Session
            The site, as it is now.
        area : dict
            Where: ``radius`` [m], or ``within`` as places in the site's CRS, or neither.

        Raises
        ------
        BusyError
            If one is running, of this site or of another one.
        """
        with self._lock:
            if any(one.job for one in self._searches.values()):
                message = "a search is running already; wait for it, or stop it"
                raise BusyError(message)
            looked = self._searches.setdefault(session, Looked())
            self._begin(session, looked, self._search, {"do": "search", **area})

    def prepare(self, session: Session) -> None:
        """Get ready for a search, and look round, as will soon be asked for where something stops.

        The very first time on a machine that takes a minute, which is better spent while the user
        still reads than when somebody waits for it.
        """
        with self._lock:
            if not self._prepared and not self._searches:
                self._prepared = True
                job = {"job": next(self._numbers), "do": "prepare"}
                self._search.ask(job | {"text": session.text, "path": str(session.path)})
            if session not in self._roses:
                self.look_round(session)

    def look_round(self, session: Session) -> None:
        """Begin a rose of bearings at the base, unless one of this state is on its way."""
        with self._lock:
            looked = self._roses.setdefault(session, Looked())
            if looked.job and looked.asked_for == self._basis(session, session.text, placed=True):
                return
            self._jobs.pop(looked.job, None)  # overtaken: what it finds is not looked at
            self._begin(session, looked, self._rose, {"do": "rose"})

    def stop(self) -> None:
        """Stop the search that is running; what it has found so far is kept."""
        self._search.stop()

    def close(self) -> None:
        """End everything at once."""
        with self._lock:
            self._jobs.clear()
        self._search.close()
        self._rose.close()

    def state(self, session: Session) -> Json:
        """Return how search and rose of a site stand, as plain values."""
        with session.changed:
            version, text = session.version, session.text
        with self._lock:
            search, rose = self._both(session)
            other = any(one.job for one in self._searches.values()) and not search.job
            return {
                "version": version,
                "search": search.state(holds=self._holds(session, search, text, placed=False)),
                "rose": rose.state(holds=self._holds(session, rose, text, placed=True))
                | {"found": rose.found},
                "elsewhere": other,
            }

    def known(self, session: Session, text: str) -> Known:
        """Return what search and rose of a site have found that holds for a text of it."""
        with self._lock:
            search, rose = self._both(session)
            return known_of(
                search.found if self._holds(session, search, text, placed=False) else None,
                rose.found if self._holds(session, rose, text, placed=True) else None,
                whole=search.whole,
            )

    def holds(self, session: Session, text: str) -> Json:
        """Return whether what was found, if anything was, holds for a text of a site."""
        with self._lock:
            search, rose = self._both(session)
            return {
                "search": self._holds(session, search, text, placed=False),
                "rose": self._holds(session, rose, text, placed=True),
            }

    def found(self, session: Session) -> tuple[int, Json] | None:
        """Return number and result of the last search of a site; None if there is none."""
        with self._lock:
            looked = self._searches.get(session)
            if looked is None or looked.found is None:
                return None
            return looked.number, looked.found

    def _both(self, session: Session) -> tuple[Looked, Looked]:
        """Return search and rose of a site."""
        return self._searches.get(session, Looked()), self._roses.get(session, Looked())

    def _begin(self, session: Session, looked: Looked, program: Beside, job: Json) -> None:
        number = next(self._numbers)
        basis = self._basis(session, session.text, placed=job["do"] == "rose")
        looked.begin(number, basis, whole="radius" not in job and "within" not in job)
        self._jobs[number] = (session, looked)
        program.ask(job | {"job": number, "text": session.text, "path": str(session.path)})
        self._tell(session)

    def _told(self, words: Json) -> None:
        """Take a line of a program."""
        with self._lock:
            job = int(words["job"])
            known = self._jobs.get(job)
            if "progress" in words:
                if known is not None:
                    known[1].progress = words["progress"]
                return
            self._search.done(job)
            self._rose.done(job)
            if known is None:
                return
            session, looked = self._jobs.pop(job)
            looked.end(words)
        self._tell(session)

    def _tell(self, session: Session) -> None:
        # Never while the own lock is held by a thread that waits for the session's: this one is
        # re-entrant, and a session never asks back while it tells.
        with session.changed:
            session.looked += 1
            session.tell()

    def _holds(self, session: Session, looked: Looked, text: str, *, placed: bool) -> bool:
        return looked.found is not None and looked.basis == self._basis(
            session, text, placed=placed
        )

    def _basis(self, session: Session, text: str, *, placed: bool) -> Any:
        """Return what a result holds for, to be compared; None if the site cannot be read."""
        try:
            known = self._sites.get(session)
            if known is None or known[0] != text:
                known = self._sites[session] = (text, read_site_text(text, path=session.path))
            return without_place(known[1], placed=placed), data_state(known[1])
        except (HillmastError, OSError):
            return None


def without_place(site: SiteFile, *, placed: bool) -> SiteFile:
    """Return a site as a search sees it: whatever its front and, unless `placed`, its base."""
    position = site.mast.position if placed else (0.0, 0.0)
    mast = site.mast.model_copy(update={"front": 0.0, "position": position})
    named = site.site.model_copy(update={"name": "", "units": "metric"})
    return site.model_copy(update={"mast": mast, "site": named})
