"""A page without a browser: the app on a copy of the demo van, asked as a browser of this computer asks."""

from __future__ import annotations

import pytest
from fastapi.testclient import TestClient

from loomwright.web.app import make_app
from loomwright.web.examples import DEMO, example_text
from loomwright.web.work import Work, copy_of

ADDRESS = "http://127.0.0.1:8000"


@pytest.fixture
def work() -> Work:
    return Work(copy_of(example_text(DEMO), f"{DEMO}.yaml"))


@pytest.fixture
def page(work: Work) -> TestClient:
    return TestClient(make_app(work), base_url=ADDRESS)
