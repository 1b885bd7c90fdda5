"""Nobody but this computer's own pages may ask; nothing foreign may be loaded or run."""

from __future__ import annotations

import pytest

ADDRESS = "http://127.0.0.1:8000"


@pytest.mark.parametrize(
    "headers",
    [
        {"Host": "evil.example"},
        {"Host": "127.0.0.1:9999"},
        {"Host": "127.0.0.1.evil.example:8000"},
        {"Origin": "http://evil.example"},
        {"Origin": "null"},
        {"Origin": "http://127.0.0.1:9999"},
        {"Sec-Fetch-Site": "cross-site"},
        {"Sec-Fetch-Site": "same-site"},
    ],
)
def test_foreign_askers_are_refused(page, headers):
    assert page.get("/board", headers=headers).status_code == 403
    assert page.post("/change/undo", json={"rev": 1}, headers=headers).status_code == 403


def test_a_plain_form_of_another_page_changes_nothing(page, work):
    before = work.now()
    answer = page.post("/change/undo", content='{"rev": 1}', headers={"Content-Type": "text/plain"})
    assert answer.status_code == 403
    assert work.now() == before


@pytest.mark.parametrize("host", ["127.0.0.1:8000", "localhost:8000"])
def test_own_pages_are_answered(page, host):
    answer = page.get("/board", headers={"Host": host, "Origin": f"http://{host}"})
    assert answer.status_code == 200


@pytest.mark.parametrize("path", ["/", "/board", "/static/main.js", "/tokens.css", "/nothing-here", "/docs"])
def test_every_answer_carries_the_policy(page, path):
    headers = page.get(path).headers
    assert headers["content-security-policy"].startswith("default-src 'none'; script-src 'self';")
    assert "unsafe" not in headers["content-security-policy"]
    assert headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("path", ["/docs", "/redoc", "/openapi.json", "/static/../work.py", "/fonts/OFL.txt"])
def test_only_what_is_meant_is_served(page, path):
    assert page.get(path).status_code == 404
