"""What tells the open pages that the plan has changed: server-sent events (WHATWG HTML, 9.2)."""

from __future__ import annotations

import asyncio
import json
import threading
from collections.abc import AsyncIterator, Callable

from starlette.requests import Request

from .work import Moment

#: A comment is sent so often, so that a page that has gone is noticed. [s]
HEARTBEAT_S = 10.0
_END = ""


class Hub:
    """Hands each change on to every page that listens."""

    def __init__(self) -> None:
        self._listening: dict[asyncio.Queue[str], asyncio.AbstractEventLoop] = {}
        self._lock = threading.Lock()

    def tell(self, moment: Moment, by: str) -> None:
        """Tell all pages of a new revision, and who made it; may be called from any thread."""
        told = json.dumps({"rev": moment.rev, "by": by})
        with self._lock:
            for queue, loop in self._listening.items():
                loop.call_soon_threadsafe(queue.put_nowait, told)

    def close(self) -> None:
        """End all streams, so that the server can stop."""
        with self._lock:
            for queue, loop in self._listening.items():
                loop.call_soon_threadsafe(queue.put_nowait, _END)

    async def stream(self, request: Request, rev: Callable[[], int]) -> AsyncIterator[str]:
        """Yield events until the page goes; the first says which revision lies there once it listens."""
        queue: asyncio.Queue[str] = asyncio.Queue()
        with self._lock:
            self._listening[queue] = asyncio.get_running_loop()
        try:
            yield _event(json.dumps({"rev": rev(), "by": ""}))
            while not await request.is_disconnected():
                try:
                    told = await asyncio.wait_for(queue.get(), HEARTBEAT_S)
                except TimeoutError:
                    yield ": still here\n\n"
                    continue
                if told == _END:
                    break
                yield _event(told)
        finally:
            with self._lock:
                del self._listening[queue]


def _event(data: str) -> str:
    return f"data: {data}\n\n"
