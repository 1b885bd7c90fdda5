"""The page in a real browser: a server of its own for each test, nothing foreign asked, no error unseen."""

from __future__ import annotations

import re
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import urlsplit

import pytest
from playwright.sync_api import BrowserContext, Page
from pytest_playwright.pytest_playwright import CreateContextCallback

from loomwright.web.app import make_app
from loomwright.web.examples import DEMO, example_text
from loomwright.web.serve import PageServer
from loomwright.web.work import Table, Work, copy_of

CHROMIUM = "/usr/bin/chromium"
#: A refusal is told to the page by its status; the browser writes such a line for each.
TOLD = re.compile(r"Failed to load resource: the server responded with a status of (409|422)")


@pytest.fixture(scope="session")
def browser_type_launch_args(browser_type_launch_args: dict[str, object]) -> dict[str, object]:
    return browser_type_launch_args | {"executable_path": CHROMIUM}


@pytest.fixture(scope="session")
def base_url() -> None:
    """No address for all tests: each has a server of its own."""


@pytest.fixture(autouse=True)
def home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    folder = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(folder))
    monkeypatch.delenv("XDG_STATE_HOME", raising=False)
    return folder


@pytest.fixture
def table() -> Table:
    """What lies on the table at first; a test module may lay something else."""
    return copy_of(example_text(DEMO), f"{DEMO}.yaml")


@pytest.fixture
def work(table: Table) -> Work:
    return Work(table)


@pytest.fixture
def served(work: Work) -> Iterator[str]:
    with socket.create_server(("127.0.0.1", 0)) as listening:
        server = PageServer(make_app(work))
        thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
        thread.start()
        while not server.started:
            time.sleep(0.01)
        yield f"http://127.0.0.1:{listening.getsockname()[1]}"
        server.should_exit = True
        thread.join(5)


@pytest.fixture
def context(new_context: CreateContextCallback, served: str) -> BrowserContext:
    return new_context(base_url=served)


@pytest.fixture(autouse=True)
def only_local(page: Page) -> Iterator[None]:
    """Nothing is asked of any other computer, and nothing goes wrong unseen."""
    asked: list[str] = []
    errors: list[str] = []
    page.on("request", lambda request: asked.append(request.url))
    page.on("pageerror", lambda error: errors.append(str(error)))
    page.on("console", lambda line: errors.append(line.text) if line.type == "error" else None)
    yield
    assert {urlsplit(url).hostname for url in asked if url.startswith(("http", "ws"))} <= {"127.0.0.1"}
    assert [error for error in errors if not TOLD.match(error)] == []
