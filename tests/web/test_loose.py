"""What the slip says if something comes loose: in words, and a name is only ever text."""

from __future__ import annotations

from pathlib import Path

from tests.documents.test_loose import CLUSTER

from .user import opened


def test_the_slip_of_a_lost_earth_names_parts_as_text(tmp_path: Path, monkeypatch):
    monkeypatch.setenv("HOME", str(tmp_path))
    file = tmp_path / "van.yaml"
    file.write_text(CLUSTER.replace("Brake #light*", "<b>Brake</b>"), encoding="utf-8")
    page = opened(file)
    slip = page.get("/board", params={"kind": "wire", "id": "C3"}).json()["slip"]
    assert "If it comes loose" in slip
    assert "The tail left glows dim" in slip
    assert "in series, backwards, with S1 off" in slip
    assert "If its joints wear" in slip
    assert "&lt;b&gt;Brake&lt;/b&gt;" in slip
    assert "<b>Brake" not in slip
    box = page.get("/board", params={"kind": "part", "id": "P1"}).json()["slip"]
    assert "If one of its fuses blows" in box
    stud = page.get("/board", params={"kind": "stud", "id": "E2"}).json()["slip"]
    assert "If it loses its contact with the body" in stud
