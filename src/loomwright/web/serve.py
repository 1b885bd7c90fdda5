"""Start the server on a free port of this computer, print its address, open a browser where there is one."""

from __future__ import annotations

import contextlib
import os
import socket
import sys
import threading
import webbrowser
from collections.abc import Callable

import uvicorn
from fastapi import FastAPI

from .app import make_app
from .drafts import Keeper
from .events import Hub
from .work import Work

HOST = "127.0.0.1"


def serve(work: Work, *, port: int = 0, browser: bool = True, say: Callable[[str], None] = print) -> None:
    """Serve one table until the program is stopped; unsaved work is kept aside as a draft meanwhile.

    Parameters
    ----------
    work : Work
        The plan on the table.
    port : int
        0 takes a free one.
    browser : bool
        Open a browser if this computer has a screen.
    say
        Told the address.

    Raises
    ------
    OSError
        The port is taken.
    """
    with socket.create_server((HOST, port)) as listening:
        address = f"http://{HOST}:{listening.getsockname()[1]}/"
        server = PageServer(make_app(work, Keeper()))
        say(f"Loomwright is open at {address}   (Ctrl+C puts it away)")
        if browser and has_screen():
            threading.Timer(0.4, webbrowser.open, [address]).start()
        with contextlib.suppress(KeyboardInterrupt):  # Ctrl+C, which is how this ends
            server.run(sockets=[listening])
    if work.now().unsaved:
        say("Put away. What was not saved is kept as a draft; it is offered at the next start.")


class PageServer(uvicorn.Server):
    """A server that ends the streams of events before it stops, so that no open page holds it up."""

    def __init__(self, app: FastAPI) -> None:
        super().__init__(
            uvicorn.Config(app, log_level="warning", lifespan="off", timeout_graceful_shutdown=1)
        )
        self._hub: Hub = app.state.hub

    async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
        """Stop serving."""
        self._hub.close()
        await super().shutdown(sockets)


def has_screen() -> bool:
    """Return whether a browser can be shown here."""
    if sys.platform in ("win32", "darwin"):
        return True
    return bool(os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY"))
