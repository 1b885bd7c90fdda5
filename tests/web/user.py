"""A user with a page: opens the program on a path, asks for acts as the page does."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx2 as http
from fastapi.testclient import TestClient

from loomwright.web import start
from loomwright.web.app import make_app
from loomwright.web.drafts import Keeper
from loomwright.web.work import Work

ADDRESS = "http://127.0.0.1:8000"
PLAN = "loomwright: 1\ntitle: Our van\nregion: eu\n"


def opened(path: Path | None = None) -> TestClient:
    """Return the page as `open PATH` shows it, drafts being kept."""
    return TestClient(make_app(Work(start.table_for(path)), Keeper()), base_url=ADDRESS)


def act(page: TestClient | http.Client, name: str, /, **what: Any) -> Any:
    """Ask for an act on the revision that lies there now."""
    rev = page.get("/board").json()["rev"]
    return page.post(f"/change/{name}", json={"rev": rev, **what})


@contextmanager
def running(home: Path, *arguments: str) -> Iterator[tuple[subprocess.Popen[str], http.Client]]:
    """Run the program as a process of its own, and stop it hard at the end."""
    command = [sys.executable, "-c", "from loomwright.cli import main; main()", "open", "--no-browser"]
    with subprocess.Popen(
        [*command, *arguments],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"HOME": str(home)},
    ) as program:
        try:
            assert program.stdout is not None
            address = re.search(r"http://127\.0\.0\.1:\d+", program.stdout.readline())
            assert address is not None
            with http.Client(base_url=address[0], timeout=30) as client:
                yield program, client
        finally:
            program.kill()
