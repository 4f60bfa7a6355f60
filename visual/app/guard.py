"""Who may talk to the server, how much they may send, and what goes out with every answer.

The server listens on this machine only, but every page in the user's browser can send requests
to it.  So a request must name this server as its host (a foreign name that points here does not
pass), must not come from another page, and for everything but the empty viewer must carry the
token that only the address printed in the terminal holds.
"""

import hmac
import json
import logging
from collections.abc import Awaitable, Callable, MutableMapping
from dataclasses import dataclass
from typing import Any

from visual.errors import HillmastError

Message = MutableMapping[str, Any]
Receive = Callable[[], Awaitable[Message]]
Send = Callable[[Message], Awaitable[None]]
App = Callable[[Message, Receive, Send], Awaitable[None]]

LOG = logging.getLogger("hillmast")

TOKEN_HEADER = b"x-hillmast-token"
MOST_BODY = 256 * 1024
"""Largest body of an ordinary request. [byte]"""

MOST_DROPPED = 512 * 1024 * 1024
"""Largest file that may be dropped in. [byte]"""

TOO_LARGE = "this is more than may be sent"
DROP = "/api/drop"
NAMES = ("127.0.0.1", "localhost")

HEADERS = {
    "x-content-type-options": "nosniff",
    "x-frame-options": "DENY",
    "referrer-policy": "no-referrer",
    "cache-control": "no-store",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}
POLICY = "default-src 'none'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"


class TooLargeError(HillmastError):
    """More was sent than may be."""


@dataclass(frozen=True)
class Guard:
    """The door in front of the application.

    Parameters
    ----------
    app : callable
        What is behind it.
    token : str
        What every request for data must carry.
    port : int
        Where the server listens.
    """

    app: App
    token: str
    port: int

    async def __call__(self, scope: Message, receive: Receive, send: Send) -> None:
        """Let a request through, or answer it here."""
        if scope["type"] == "lifespan":
            await self.app(scope, receive, send)
            return
        if scope["type"] != "http":
            return
        answer = _Answer(send)
        status, text = self._refusal(scope)
        if status:
            await answer.refuse(status, text)
            return
        try:
            await self.app(scope, _Counted(receive, _most(scope)), answer)
        except Exception:
            LOG.exception("a request could not be answered")
            await answer.refuse(500, "the server could not answer; the terminal says more")

    def _refusal(self, scope: Message) -> tuple[int, str]:
        headers = dict(scope["headers"])
        if len(headers) != len(scope["headers"]) and _doubled(scope["headers"]):
            return 400, "a header stands twice"
        hosts = [f"{name}:{self.port}".encode() for name in NAMES]
        if headers.get(b"host") not in hosts:
            return 421, "this server answers to its own address only"
        origin = headers.get(b"origin")
        if origin is not None and origin not in [b"http://" + host for host in hosts]:
            return 403, "this server answers to its own pages only"
        if headers.get(b"sec-fetch-site", b"none") not in (b"none", b"same-origin"):
            return 403, "this server answers to its own pages only"
        if scope["method"] not in ("GET", "HEAD", "POST"):
            return 405, "this cannot be asked"
        if scope["path"].startswith("/api/") and not self._has_token(headers):
            return 403, "open the address that the terminal shows"
        stated = headers.get(b"content-length", b"0")
        if not stated.isdigit() or int(stated[:18]) > _most(scope):
            return 413, TOO_LARGE
        return 0, ""

    def _has_token(self, headers: dict[bytes, bytes]) -> bool:
        return hmac.compare_digest(headers.get(TOKEN_HEADER, b""), self.token.encode())


def _doubled(headers: list[tuple[bytes, bytes]]) -> bool:
    names = [name for name, _ in headers]
    once = (b"host", b"origin", b"content-length", TOKEN_HEADER)
    return any(names.count(name) > 1 for name in once)


def _most(scope: Message) -> int:
    return MOST_DROPPED if scope["path"] == DROP else MOST_BODY


class _Counted:
    """Receives a body and stops when it is too large, whatever its header said."""

    def __init__(self, receive: Receive, most: int) -> None:
        self._receive = receive
        self._left = most

    async def __call__(self) -> Message:
        message = await self._receive()
        self._left -= len(message.get("body", b""))
        if self._left < 0:
            raise TooLargeError(TOO_LARGE)
        return message


class _Answer:
    """Sends an answer with the headers that every answer has."""

    def __init__(self, send: Send) -> None:
        self._send = send
        self._started = False

    async def __call__(self, message: Message) -> None:
        if message["type"] == "http.response.start":
            self._started = True
            given = {name for name, _ in message["headers"]}
            extra = HEADERS | {"content-security-policy": POLICY}
            message["headers"] = [
                *message["headers"],
                *((k.encode(), v.encode()) for k, v in extra.items() if k.encode() not in given),
            ]
        await self._send(message)

    async def refuse(self, status: int, text: str) -> None:
        """Answer with one sentence, unless an answer is on its way already."""
        if self._started:
            return
        body = json.dumps({"error": text}).encode()
        headers = [
            (b"content-type", b"application/json"),
            (b"content-length", str(len(body)).encode()),
        ]
        await self({"type": "http.response.start", "status": status, "headers": headers})
        await self._send({"type": "http.response.body", "body": body})
