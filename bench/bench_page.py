"""The page as its user meets it: from the command to the first page, from a key press to the new drawing."""

from __future__ import annotations

import os
import re
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.request import urlopen

from playwright.sync_api import Page, sync_playwright

from tests.plans import big_plan

ROOT = Path(__file__).resolve().parent.parent
CHROMIUM = "/usr/bin/chromium"
EDITS = 20
#: Sets a field as Enter does, and waits until the new drawing has been put on the screen. [ms]
EDIT = """([name, value]) => new Promise((done, failed) => {
    setTimeout(() => failed(new Error("no new drawing within 10 s")), 10000);
    const field = document.getElementById(name);
    const paper = document.getElementById("sheet");
    const began = performance.now();
    new MutationObserver((_, watch) => {
        watch.disconnect();
        requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - began)));
    }).observe(paper, { childList: true });
    field.value = value;
    field.dispatchEvent(new Event("input", { bubbles: true }));
    field.dispatchEvent(new Event("change", { bubbles: true }));
})"""

#: Presses on the knob of a switch, and waits until the new drawing has been put on the screen. [ms]
PRESS = """(device) => new Promise((done, failed) => {
    setTimeout(() => failed(new Error("no new drawing within 10 s")), 10000);
    const began = performance.now();
    new MutationObserver((_, watch) => {
        watch.disconnect();
        requestAnimationFrame(() => requestAnimationFrame(() => done(performance.now() - began)));
    }).observe(document.getElementById("sheet"), { childList: true });
    document.querySelector(`#play [data-device="${device}"]`).click();
})"""


def bench() -> list[tuple[str, float, str]]:
    """Return start to page, memory, and the time of an edit, on the demo van and on one of 60 circuits."""
    with tempfile.TemporaryDirectory() as folder:
        plan = Path(folder) / "sixty.yaml"
        plan.write_text(big_plan(60, 200), encoding="utf-8")
        with _served(sys.executable, "start.py", home=folder) as (address, first_ms, server):
            rows = [("start.py to the first page, demo van", first_ms, "ms")]
            edits = _edits(address, "C4")
            rows += [("  an edit, drawn anew, median", statistics.median(edits), "ms")]
            rows += [("  an edit, drawn anew, p95", _p95(edits), "ms")]
            plays = _plays(address, "S3")
            rows += [("  a switch pressed in Play, drawn anew, median", statistics.median(plays), "ms")]
            rows += [("  a switch pressed in Play, drawn anew, p95", _p95(plays), "ms")]
            rows += [("  memory of the server", _resident_mb(server), "MB")]
        command = (sys.executable, "-c", "from loomwright.cli import main; main()", "open", str(plan))
        with _served(*command, "--no-browser", home=folder) as (address, first_ms, server):
            wire = next(iter(re.findall(r"^  (C\d+):", plan.read_text(encoding="utf-8"), re.MULTILINE)))
            edits = _edits(address, wire)
            rows += [("open to the first page, 60 circuits", first_ms, "ms")]
            rows += [("  an edit, drawn anew, median", statistics.median(edits), "ms")]
            rows += [("  an edit, drawn anew, p95", _p95(edits), "ms")]
            rows += [("  memory of the server", _resident_mb(server), "MB")]
    return rows


@contextmanager
def _served(*command: str, home: str) -> Iterator[tuple[str, float, int]]:
    """Start a server; yield its address, the time until its first page was there, and its process."""
    env = os.environ | {"HOME": home, "XDG_STATE_HOME": home, "DISPLAY": "", "WAYLAND_DISPLAY": ""}
    began = time.perf_counter()
    with subprocess.Popen(
        command, cwd=ROOT, env=env, stdout=subprocess.PIPE, encoding="utf-8", start_new_session=True
    ) as server:
        try:
            assert server.stdout is not None
            said = next(line for line in server.stdout if "http://" in line)
            address = next(word for word in said.split() if word.startswith("http://"))
            urlopen(address).read()
            yield address, 1e3 * (time.perf_counter() - began), server.pid
        finally:
            os.killpg(server.pid, 15)


def _edits(address: str, wire: str) -> list[float]:
    """Return the times of some edits of a wire's length. [ms]"""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(address)
        page.locator("#find-what").fill(wire)  # goes to the sheet that shows it
        page.keyboard.press("Enter")
        page.locator("#f-length").wait_for()
        times = [_edit(page, f"{2 + number / 10:.1f} m") for number in range(EDITS + 2)]
        browser.close()
    return times[2:]


def _plays(address: str, switch: str) -> list[float]:
    """Return the times of some presses on a switch in the drawing while the van is played. [ms]"""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM)
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        page.goto(f"{address.rstrip('/')}/?sheet=wiring-3")
        page.locator("#sheet g[tabindex='0']").wait_for()
        page.locator("[data-act=play]").click()
        page.locator(f"#play [data-device={switch}]").wait_for()
        times = []
        for _ in range(EDITS + 2):
            times.append(float(page.evaluate(PRESS, switch)))
            page.wait_for_timeout(50)
        browser.close()
    return times[2:]


def _edit(page: Page, length: str) -> float:
    took = float(page.evaluate(EDIT, ["f-length", length]))
    page.wait_for_timeout(50)
    return took


def _p95(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[-1]


def _resident_mb(process: int) -> float:
    """Return the memory that the processes of a server hold. [MB] Linux only, else 0."""
    total = 0.0
    for status in Path("/proc").glob("[0-9]*/status"):
        try:
            text = status.read_text(encoding="utf-8")
            if os.getpgid(int(status.parent.name)) == process and (kb := re.search(r"VmRSS:\s+(\d+)", text)):
                total += int(kb.group(1)) / 1e3
        except (OSError, ValueError):
            continue
    return total
