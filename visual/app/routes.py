"""What can be asked of the server."""

import json
import tempfile
from collections.abc import Awaitable, Callable
from functools import partial
from pathlib import Path
from typing import Any

from starlette.applications import Starlette
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request
from starlette.responses import JSONResponse, Response
from starlette.routing import Route

from visual.app.asked import Asked, AskedError
from visual.app.desk import Desk, entry_document
from visual.app.drop import add_surroundings, kind_of, start_from_drop
from visual.app.finder import Finder
from visual.app.finder_asked import FINDS, found_of
from visual.app.guard import TooLargeError
from visual.app.on_disk import OutsideError
from visual.app.outputs import Camera, page_of, picture_of, sheets_of, shell
from visual.app.session import Session, StaleError
from visual.app.shown import answer_document, problem_document
from visual.checks.results import without_nan
from visual.errors import HillmastError, InputError
from visual.units import UnitSystem

WAIT = 20.0
"""How long a request for news waits at most. [s]"""

Json = dict[str, Any]
Act = Callable[[Session, Asked], object]
Make = Callable[[Session, Asked], Response]
Endpoint = Callable[[Request], Awaitable[Response]]


class _Json(JSONResponse):
    """Plain values as JSON; a number that does not exist is null."""

    def render(self, content: Any) -> bytes:
        """Return the bytes."""
        text = json.dumps(without_nan(content), ensure_ascii=False, allow_nan=False)
        return text.encode("utf-8")


def make_app(desk: Desk) -> Starlette:
    """Return the application for the sites of a desk; `Guard` stands in front of it."""
    site = "/api/sites/{key}"
    acts = [
        Route(f"{site}/{name}", _acting(desk, act), methods=["POST"]) for name, act in ACTS.items()
    ]
    made = [
        Route(f"{site}/{name}", _making(desk, make), methods=["POST"])
        for name, make in MADE.items()
    ]
    finds = [
        Route(f"{site}/{name}", _acting(desk, partial(find, desk.finder)), methods=["POST"])
        for name, find in FINDS.items()
    ]
    return Starlette(
        routes=[
            Route("/", _safe(_shell)),
            Route("/api/sites", _safe(_sites(desk))),
            Route(f"{site}/state", _safe(_state(desk))),
            Route(f"{site}/scene", _safe(_scene(desk))),
            Route("/api/drop", _safe(_dropped(desk)), methods=["POST"]),
            *acts,
            *made,
            *finds,
            Route(f"{site}/finder", _safe(_finder(desk))),
            Route(f"{site}/found", _safe(_found(desk))),
        ]
    )


def _safe(endpoint: Endpoint) -> Endpoint:
    """Turn what is raised on purpose into an answer."""

    async def answer(request: Request) -> Response:
        try:
            return await endpoint(request)
        except InputError as error:
            problems = [problem_document(problem) for problem in error.problems]
            return _Json({"problems": problems}, status_code=422)
        except OutsideError as error:
            return _Json({"error": str(error), "outside": True}, status_code=409)
        except StaleError as error:
            return _Json({"error": str(error), "stale": True}, status_code=409)
        except TooLargeError as error:
            return _Json({"error": str(error)}, status_code=413)
        except AskedError as error:
            return _Json({"error": str(error)}, status_code=400)
        except HillmastError as error:
            return _Json({"error": str(error)}, status_code=422)
        except KeyError:
            return _Json({"error": "there is no such site"}, status_code=404)

    return answer


async def _shell(request: Request) -> Response:
    del request
    html, policy = shell()
    headers = {"content-security-policy": policy}
    return Response(html, media_type="text/html; charset=utf-8", headers=headers)


def _sites(desk: Desk) -> Endpoint:
    async def sites(request: Request) -> Response:
        del request
        entries = await run_in_threadpool(desk.entries)
        listed = [entry_document(entry, desk.folder) for entry in entries]
        return _Json({"folder": desk.folder.name, "first": desk.first, "sites": listed})

    return sites


async def _session(desk: Desk, request: Request) -> Session:
    return await run_in_threadpool(desk.session, request.path_params["key"])


def _state(desk: Desk) -> Endpoint:
    async def state(request: Request) -> Response:
        session = await _session(desk, request)
        after = request.query_params.get("after", "0")
        seen = int(after[:15]) if after.isdigit() else 0
        units = request.query_params.get("units")
        return _Json(await run_in_threadpool(_state_of, session, desk.finder, seen, units))

    return state


def _state_of(session: Session, finder: Finder, after: int, units: str | None) -> Json:
    if after:
        session.wait(after, timeout=WAIT)
    with session.changed:
        state, answer, saved = session.state(), session.answer, session.saved_answer
        text, sketched = session.text, session.sketched
    # told together with the state: what holds for another one must not stand beside it as new
    state["holds"] = finder.holds(session, text)
    if answer is None:
        return state | {"answer": None}
    own = answer.model.site.site.units
    asked: UnitSystem = (
        "metric" if units == "metric" else "imperial" if units == "imperial" else own
    )
    known = finder.known(session, text)
    told = answer_document(answer, saved or answer, sketched, units=asked, known=known)
    return state | {"answer": told}


def _scene(desk: Desk) -> Endpoint:
    async def scene(request: Request) -> Response:
        session = await _session(desk, request)
        if session.scene is None:
            return _Json({"error": "nothing is drawn yet"}, status_code=404)
        shown = session.scene.without(request.query_params.get("have", "")[:80])
        return await run_in_threadpool(_plain_json, shown)

    return scene


def _finder(desk: Desk) -> Endpoint:
    async def finder(request: Request) -> Response:
        session = await _session(desk, request)
        return _Json(await run_in_threadpool(desk.finder.state, session))

    return finder


def _found(desk: Desk) -> Endpoint:
    async def found(request: Request) -> Response:
        session = await _session(desk, request)
        seen = request.query_params.get("seen", "")
        version = int(seen[:15]) if seen.isdigit() else 0
        return _Json(await run_in_threadpool(found_of, desk.finder, session, version))

    return found


def _plain_json(data: Json) -> Response:
    text = json.dumps(data, ensure_ascii=False, allow_nan=False, separators=(",", ":"))
    return Response(text.encode("utf-8"), media_type="application/json")


def _acting(desk: Desk, act: Act) -> Endpoint:
    async def acting(request: Request) -> Response:
        session = await _session(desk, request)
        asked = Asked.of(await request.body())
        await run_in_threadpool(act, session, asked)
        return _Json({"version": session.version, "seq": session.seq})

    return _safe(acting)


def _making(desk: Desk, make: Make) -> Endpoint:
    async def making(request: Request) -> Response:
        session = await _session(desk, request)
        asked = Asked.of(await request.body())
        return await run_in_threadpool(make, session, asked)

    return _safe(making)


def _picture(session: Session, asked: Asked) -> Response:
    camera = Camera(
        eye=asked.vector("eye"),
        target=asked.vector("target"),
        up=asked.vector("up"),
        field_of_view=asked.number("field_of_view"),
        span=asked.number("span"),
        angle=None if asked.values.get("angle") is None else asked.number("angle"),
        width=asked.whole("width"),
        height=asked.whole("height"),
    )
    return Response(picture_of(_answered(session), camera), media_type="image/png")


def _page(session: Session, asked: Asked) -> Response:
    del asked
    return Response(page_of(_answered(session)), media_type="text/html; charset=utf-8")


def _sheets(session: Session, asked: Asked) -> Response:
    del asked
    return Response(sheets_of(_answered(session)), media_type="application/pdf")


def _answered(session: Session) -> Any:
    if session.answer is None or session.wanted() is not None:
        message = "the newest state is not worked out yet; try again in a moment"
        raise StaleError(message)
    return session.answer


def _dropped(desk: Desk) -> Endpoint:
    async def dropped(request: Request) -> Response:
        query = request.query_params
        name = query.get("name", "")[:200]
        kind = kind_of(name)
        with tempfile.TemporaryDirectory() as folder:
            content = Path(folder) / "dropped"
            with content.open("wb") as file:
                async for chunk in request.stream():
                    file.write(chunk)
            if kind == "surroundings":
                session = await run_in_threadpool(desk.session, query.get("for", ""))
                await run_in_threadpool(_surround, session, content, name, query.get("version", ""))
                return _Json({"key": query.get("for", "")})
            made = await run_in_threadpool(
                start_from_drop,
                desk.folder,
                content,
                name=name,
                site=query.get("site", "")[:80],
                crs=query.get("crs", "")[:2000] or None,
            )
        return _Json({"key": desk.key_of(made)})

    return dropped


def _surround(session: Session, content: Path, name: str, version: str) -> None:
    answer = _answered(session)
    wanted = int(version[:15]) if version.isdigit() else -1
    file = add_surroundings(session.path.parent, content, name=name, frame=answer.model.frame)
    session.set_tables({"surroundings.file": file}, version=wanted)


ACTS: dict[str, Act] = {
    "edit": lambda session, asked: session.edit(
        asked.texts("values"), version=asked.whole("version"), group=asked.text("group")
    ),
    "tables": lambda session, asked: session.set_tables(
        asked.tables("changes"), version=asked.whole("version")
    ),
    "drag": lambda session, asked: session.drag(
        asked.drag(),
        version=asked.whole("version"),
        seen=asked.whole("seen"),
        group=asked.text("group"),
    ),
    "undo": lambda session, asked: session.undo(version=asked.whole("version")),
    "redo": lambda session, asked: session.redo(version=asked.whole("version")),
    "reset": lambda session, asked: session.reset(version=asked.whole("version")),
    "save": lambda session, asked: session.save(
        version=asked.whole("version"), force=asked.switch("force")
    ),
    "save_as": lambda session, asked: session.save_as(
        asked.text("name"), version=asked.whole("version")
    ),
    "take_outside": lambda session, asked: session.take_outside(version=asked.whole("version")),
    "read_data": lambda session, asked: session.read_data(version=asked.whole("version")),
    "keep_mine": lambda session, asked: session.keep_mine(version=asked.whole("version")),
}

MADE: dict[str, Make] = {"picture": _picture, "page": _page, "sheets": _sheets}
