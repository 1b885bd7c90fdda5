"""A page without a browser: the app on a copy of the demo van, asked as a browser of this computer asks."""

from __future__ import annotations

from pathlib import Path

import pytest
from fastapi.testclient import TestClient

from loomwright.web.app import make_app
from loomwright.web.examples import DEMO, example_text
from loomwright.web.work import Work, copy_of

ADDRESS = "http://127.0.0.1:8000"


@pytest.fixture(autouse=True)
def home(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user with an empty home folder: no test reads or writes that of whoever runs it."""
    folder = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("HOME", str(folder))
    monkeypatch.delenv("XDG_STATE_HOME", raising=False)
    return folder


@pytest.fixture
def work() -> Work:
    return Work(copy_of(example_text(DEMO), f"{DEMO}.yaml"))


@pytest.fixture
def page(work: Work) -> TestClient:
    return TestClient(make_app(work), base_url=ADDRESS)
