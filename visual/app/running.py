"""Starting the server, and stopping it without losing work."""

import logging
import secrets
import socket
import threading
import time
from dataclasses import dataclass
from typing import Any

import uvicorn

from visual.app.desk import Desk
from visual.app.guard import Guard
from visual.app.routes import make_app
from visual.errors import InputError

HOST = "127.0.0.1"
STOP_TIME = 3.0  # [s] that requests on their way have to end


@dataclass(frozen=True)
class Running:
    """A server that answers.

    Parameters
    ----------
    address : str
        What the user opens: the token stands after the #, which browsers keep to themselves.
    desk : Desk
        The sites.
    """

    address: str
    desk: Desk
    _server: Any
    _thread: threading.Thread

    @property
    def alive(self) -> bool:
        """True as long as it answers."""
        return self._thread.is_alive()

    def stop(self, *, keep: bool = True) -> None:
        """Stop it; unsaved work is kept on disk, or dropped."""
        try:
            self.desk.close(keep=keep)
        finally:
            self._server.should_exit = True
            self._thread.join(STOP_TIME + 2.0)


def start(desk: Desk, *, port: int = 0) -> Running:
    """Start the server on this machine only and return when it answers.

    Parameters
    ----------
    desk : Desk
        The sites.
    port : int
        Where to listen; any free port if 0.

    Raises
    ------
    InputError
        If the port is taken.
    """
    listener = _listen(port)
    port = int(listener.getsockname()[1])
    token = secrets.token_urlsafe(24)
    config = uvicorn.Config(
        Guard(make_app(desk), token, port),
        log_level="error",
        access_log=False,
        server_header=False,
        date_header=False,
        lifespan="off",
        ws="none",
        proxy_headers=False,
        timeout_graceful_shutdown=round(STOP_TIME),
        limit_concurrency=64,
        h11_max_incomplete_event_size=32 * 1024,
        log_config=None,
    )
    server = uvicorn.Server(config)
    thread = threading.Thread(
        target=server.run, kwargs={"sockets": [listener]}, name="hillmast-server", daemon=True
    )
    thread.start()
    while not server.started and thread.is_alive():
        time.sleep(0.01)
    logging.getLogger("hillmast").debug("listening on port %s", port)
    return Running(f"http://{HOST}:{port}/#{token}", desk, server, thread)


def _listen(port: int) -> socket.socket:
    listener = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
    try:
        listener.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listener.bind((HOST, port))
    except OSError as error:
        listener.close()
        raise InputError.one(
            file="--port",
            key="",
            value=port,
            rule=f"cannot listen there: {error.strerror}",
            way_out="take another port, or leave it out",
        ) from None
    return listener
