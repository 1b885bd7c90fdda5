"""What others build on: the JSON of `check`, its exit codes, its encodings, its words to beginners."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
import threading
import time
import unicodedata
from functools import cache

import pytest
from click.testing import CliRunner

from loomwright import Report, check, choose, cli, read_text, year
from loomwright.cli import commands
from loomwright.documents.report import CAUTION
from tests.rules.cases import CASES, plan
from tests.scenarios.lines import VANS, text_of

KEYS = {
    "findings": "rule severity where also place says value limit unit do cure source confidence",
    "wires": "id from to area_mm2 length_m colour peak_a rating_a rating_basis current_a fuses drop_v "
    "drop_pct short_circuit_max_a short_circuit_min_a clears",
    "circuits": "id wire load loop_resistance_ohm drop_v drop_pct drop_together_v start_drop_v "
    "start_drop_pct dips",
    "studs": "id current_a volts_v lugs",
    "fuses": "at rating_a kind breaks_a",
    "clears": "verdict at_most_s",
    "dips": "load by_start_of dip_v",
}
#: Keys that came on top; those above never change.
MORE = {
    "findings": "accepted beside mode no_cure",
    "wires": "conductor_c run chosen rating_steps",
    "circuits": "path feeder running_a start_a drop_run_v shares steps",
    "dips": "shares",
}
SOUND, FAULTY = CASES["drop_too_large"].passes, CASES["drop_too_large"].trips
MAIN = (sys.executable, "-c", "from loomwright.cli import main; main()")


def run(*arguments: str, **env: str) -> subprocess.CompletedProcess[bytes]:
    """Run the command line as a process of its own."""
    return subprocess.run(
        [*MAIN, *arguments], capture_output=True, env=os.environ | env, timeout=30, check=False
    )


@cache
def report(van: str) -> Report:
    return check(read_text(text_of(van, "")))


@pytest.fixture
def file(tmp_path):
    """Return a function that writes a plan file and gives its path."""

    def write(text: str | bytes, name: str = "van.yaml") -> str:
        path = tmp_path / name
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        return str(path)

    return write


# The JSON


def keys_of(kind: str) -> set[str]:
    return set(KEYS[kind].split()) | set(MORE.get(kind, "").split())


@pytest.mark.parametrize("van", VANS)
def test_json_has_exactly_its_keys(van):
    done = json.loads(json.dumps(report(van).as_dict()))
    assert list(done) == [
        "title",
        "findings",
        "wires",
        "circuits",
        "studs",
        "modes",
        "bands",
        "faults",
        "batteries",
        "energy",
        "loom",
        "lists",
        "mains",
        "totals",
    ]
    for kind in ("findings", "wires", "circuits", "studs"):
        for entry in done[kind]:
            assert set(entry) == keys_of(kind), kind
    for wire in done["wires"]:
        assert set(wire["clears"]) == keys_of("clears")
        assert wire["clears"]["verdict"] in ("fast", "slow", "never", "folds_back", "not_computed")
        for fuse in wire["fuses"]:
            assert set(fuse) == keys_of("fuses")
    for circuit in done["circuits"]:
        for dip in circuit["dips"]:
            assert set(dip) == keys_of("dips")


DESIGN = "chemistry capacity_ah panel_wp charger_a flat_nights_per_year flat_years_pct mass_kg price"
CHOICE = (
    "title years seed weather currency asked_flat_nights_per_year limits panels_tried_to_wp plan picks front "
    "designs next left_out notes"
)


def test_json_of_a_choice_has_exactly_its_keys():
    done = json.loads(json.dumps(choose(read_text(text_of("amberquay", "")), years=1).as_dict()))
    assert list(done) == CHOICE.split()
    assert list(done["limits"]) == ["budget", "payload_left_kg", "roof_m2"]
    assert list(done["left_out"]) == ["budget", "payload", "roof"]
    assert list(done["plan"]) == [*DESIGN.split(), "over"]
    for kind, more in (("picks", ["reasons"]), ("front", []), ("designs", []), ("next", ["step", "says"])):
        assert done[kind]
        assert all(set(one) == {*DESIGN.split(), *more} for one in done[kind]), kind


YEAR_KEYS = (
    "title years seed weather sun_band_pct season load_ah_per_day solar_ah_per_day "
    "solar_with_snow_ah_per_day driven_ah_per_day hook_up_ah_per_day missed_ah_per_day "
    "spilled_ah_per_day lowest_charge_pct "
    "flat_nights_per_month flat_nights_per_year autonomy_days autonomy_counted_to_days "
    "longest_without_full_days promises charge_pct_by_day stops half_to_full vehicle_battery_parked habits "
    "lithium_in_cold battery_life"
)
OF_YEAR = {
    "promises": "promise asked_days month kept_of_100 kept_in_nine_of_ten_days",
    "habits": "habit parts saved_ah_per_day flat_nights_per_year warmer_c",
    "vehicle_battery_parked": "battery drain_a half_days after_four_weeks_pct lost_ah_per_day "
    "second_output_ah_per_day",
    "lithium_in_cold": "charged_from_c charged_below_h_per_year charge_stopped_h_per_year "
    "heat_pad_ah_per_year",
}


def test_json_of_a_year_has_exactly_its_keys():
    done = json.loads(json.dumps(year(read_text(text_of("highcol", "")), 1).as_dict()))
    assert set(done) == set(YEAR_KEYS.split())
    for key, names in OF_YEAR.items():
        for one in done[key] if isinstance(done[key], list) else [done[key]]:
            assert set(one) == set(names.split()), key
    assert {len(done[key]) > 0 for key in OF_YEAR} == {True}


SHORTS = ("short_circuit_max_a", "short_circuit_min_a")


@pytest.mark.parametrize("van", VANS)
def test_what_is_not_worked_out_is_null(van):
    job = report(van).assessment
    done = report(van).as_dict()
    for wire in done["wires"]:
        if job.wires[wire["id"]].role == "return":
            assert wire["short_circuit_max_a"] is None
        figure = job.wires[wire["id"]]
        if figure.role == "return" or figure.mains or figure.inner or figure.factory:
            assert wire["clears"] == {"verdict": "not_computed", "at_most_s": None}
        assert (wire["clears"]["at_most_s"] is not None) == (wire["clears"]["verdict"] in ("fast", "slow"))
        if job.wires[wire["id"]].mains:
            for key in ("rating_a", "current_a", "peak_a", "drop_v", "drop_pct", *SHORTS):
                assert wire[key] is None, wire
    for circuit in done["circuits"]:
        starts = job.circuits[circuit["id"]].start_a is not None
        assert (circuit["start_drop_v"] is not None) == (circuit["start_drop_pct"] is not None) == starts
        if circuit["path"] == "charging":
            assert circuit["drop_together_v"] is None


def test_known_by_its_resistance_alone_a_wire_has_no_size():
    wires = {wire["id"]: wire for wire in report("mossgrove").as_dict()["wires"]}
    for key in ("area_mm2", "length_m", "rating_a"):
        assert wires["starter_earth"][key] is None


@pytest.mark.parametrize("van", VANS)
def test_joints_of_no_length_are_no_wires(van):
    job, done = report(van).assessment, report(van).as_dict()
    listed = {wire["id"] for wire in done["wires"]}
    joints = {wire.id for wire in job.wires.values() if wire.length_m == 0.0}
    assert not listed & joints
    assert not any("/" in id for id in listed), "inside of a box"
    assert {circuit["load"] for circuit in done["circuits"]} >= {"pump"} or van in ("planeshed",)
    if van == "mossgrove":
        assert {"W4.pump", "W4.usb", "W4.lamps"} <= joints


def test_findings_stand_gravest_first():
    for van in VANS:
        order = [finding["severity"] for finding in report(van).as_dict()["findings"]]
        assert order == sorted(order, key=["danger", "fault", "watch", "note"].index)


def test_totals_count_the_findings():
    for van in VANS:
        done = report(van).as_dict()
        for key, severity in (
            ("dangers", "danger"),
            ("faults", "fault"),
            ("watches", "watch"),
            ("notes", "note"),
        ):
            assert done["totals"][key] == sum(f["severity"] == severity for f in done["findings"])


# The process


def test_exit_codes(file):
    assert run("check", file(SOUND)).returncode == 0
    assert run("check", file(FAULTY)).returncode == 1
    assert run("check", file(CASES["stud_not_named"].trips)).returncode == 0  # a watch
    assert run("check", file("title: [")).returncode == 2
    assert run("check", "--json", file("title: [")).returncode == 2
    missing = run("check", "no_such_van.yaml")
    assert (missing.returncode, missing.stdout) == (2, b"")
    assert b"no_such_van.yaml" in missing.stderr
    assert run("check").returncode == 2
    assert run("chekc", file(SOUND)).returncode == 2


@pytest.mark.parametrize(
    "env", [{"LC_ALL": "C"}, {"PYTHONIOENCODING": "cp1252"}, {"PYTHONUTF8": "0", "LANG": "C"}]
)
def test_output_is_utf_8_whatever_the_terminal_says(env, file):
    path = file(FAULTY.replace("One rule", "Übergangs-Van ‑ 電"))
    for arguments in ((path,), ("--json", path)):
        text = run("check", *arguments, **env).stdout.decode("utf-8")
        assert "Übergangs-Van ‑ 電" in text
        assert "mm²" in text or '"area_mm2"' in text


def test_files_may_have_a_mark_and_other_line_ends(file):
    plain = run("check", file(FAULTY)).stdout
    assert b"drop_too_large" in plain
    for variant in (
        b"\xef\xbb\xbf" + FAULTY.encode(),
        FAULTY.replace("\n", "\r\n").encode(),
        b"\xef\xbb\xbf" + FAULTY.replace("\n", "\r\n").encode(),
    ):
        assert run("check", file(variant)).stdout == plain


def test_library_and_command_line_say_the_same(file):
    printed = json.loads(run("check", "--json", file(text_of("alderford", ""))).stdout)
    assert printed == json.loads(json.dumps(report("alderford").as_dict()))


# Beginners, and worse


BEGINNER = """\
loomwright: 1
title: My first van
region: eu
places:
  seat_base: [-0.4, -0.4, 0.1]
parts:
  leisure: {kind: batery, place: seat_base, chemistry: agm, capacity: 95 Ah}
  P1: {kind: fuse_box, place: seat_base, ways: 6}
  pump: {kind: water_pump, running: 6 A}
  lamp: {kind: lamp, running: 3 W}
wiring:
  W1: {from: P1.1, fuse: 15 V, to: pump, area: 2.5 mm², length: 3 m, return: body}
  W2: {from: P1.7, fuse: 5 A, to: lamp, area: 1.0, length: 3 m, return: body}
  W3: {from: P1.3, fuse: 5 A, to: pmup, area: 1.5 mm², length: 3 m, return: body}
"""
#: Line, path, and words that tell a beginner what to do.
MISTAKES = [
    (7, "parts.leisure.kind", 'Did you mean "battery"?'),
    (12, "wiring.W1.fuse", "15 A"),
    (13, "wiring.W2.area", "1.0 mm²"),
    (13, "wiring.W2.from", "6 ways"),
    (14, "wiring.W3.to", 'Did you mean "pump"?'),
]


def test_five_mistakes_of_a_beginner_give_five_messages(file):
    done = run("check", "--json", file(BEGINNER))
    problems = json.loads(done.stdout)["problems"]
    assert done.returncode == 2
    assert [(p["line"], p["path"]) for p in sorted(problems, key=lambda p: (p["line"], p["path"]))] == [
        (line, path) for line, path, _ in MISTAKES
    ]
    for _line, path, words in MISTAKES:
        (says,) = [p["says"] for p in problems if p["path"] == path]
        assert words in says
    said = run("check", file(BEGINNER, "first.yaml")).stderr.decode("utf-8").splitlines()
    assert len(said) == 5
    assert all(re.match(r"first\.yaml:\d+:\d+  \S+: .*\S$", line) for line in said)


DEEP = "{a: " * 3000 + "1" + "}" * 3000
HOSTILE: dict[str, str | bytes] = {
    "empty": "",
    "a comment": "# nothing\n",
    "a list": "- loomwright: 1\n",
    "a scalar": "loomwright",
    "an open bracket": "loomwright: 1\nparts: {a: [",
    "no plan at all": "<!DOCTYPE html><html>",
    "nested deep": f"loomwright: 1\ntitle: {DEEP}\n",
    "nested lists": "loomwright: 1\nparts: " + "[" * 20000,
    "laughs": "a: &a [x,x,x,x,x,x,x,x,x]\nb: &b [*a,*a,*a,*a,*a,*a,*a,*a]\nc: [*b,*b,*b,*b,*b,*b]\n",
    "a tag": "loomwright: 1\ntitle: !!python/object/apply:os.system [echo]\n",
    "merged": "loomwright: 1\nparts:\n  <<: {a: 1}\n",
    "a key twice": SOUND + "title: again\n",
    "two documents": SOUND + "---\n" + SOUND,
    "tabs": "loomwright: 1\nparts:\n\tleisure: {kind: battery}\n",
    "a NUL": SOUND.replace("One rule", "One\0rule"),
    "an escape": SOUND.replace("One rule", "One \x1b[31mrule"),
    "too large": SOUND + "# " + "x" * 500_001,
    "many errors": "loomwright: 1\n" + "".join(f"x{k}: 1\n" for k in range(20000)),
    "many slips": "loomwright: 1\ntitle: Slips\nregion: eu\nparts:\n"
    + "".join(f"  part{k}: {{kind: lamp}}\n" for k in range(4000))
    + "wiring:\n"
    + "".join(f"  w{k}: {{from: port{k}, to: prat{k}}}\n" for k in range(4000)),
    "a huge number": SOUND.replace("10 A", "1" * 5000 + " A"),
    "a huge exponent": SOUND.replace("10 A", "1e999999999 A"),
    "not a number": SOUND.replace("running: 10 A", "running: nan A"),
    "like in a ring": SOUND.replace("leisure: {kind: battery,", "leisure: {like: leisure,"),
    "its own parent": SOUND.replace("title:", "document: variant\nof: van.yaml\ntitle:"),
    "a parent elsewhere": SOUND.replace("title:", "document: variant\nof: ../../etc/passwd\ntitle:"),
    "another encoding": SOUND.encode("utf-16"),
    "latin 1": "loomwright: 1\ntitle: Übergang\n".encode("latin-1"),
    "binary": bytes(range(256)) * 40,
    "compressed": b"PK\x03\x04" + os.urandom(2000),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_text_is_refused_with_a_place(name, file):
    path, began = file(HOSTILE[name]), time.process_time()
    done = CliRunner().invoke(commands, ["check", path])
    taken = time.process_time() - began
    assert done.exit_code == 2, done.exception
    assert isinstance(done.exception, SystemExit)
    assert "van.yaml" in done.stderr
    assert "Traceback" not in done.output
    assert not [c for c in done.output if unicodedata.category(c) == "Cc" and c != "\n"]
    assert taken < 5.0  # a blow-up takes minutes


@pytest.mark.parametrize("name", ["nested deep", "nested lists", "laughs", "binary", "another encoding"])
def test_hostile_text_as_a_process(name, file):
    done = run("check", file(HOSTILE[name]))
    assert done.returncode == 2
    assert b"Traceback" not in done.stderr + done.stdout
    assert 0 < len(done.stderr) < 20_000


def test_a_name_is_text_and_nothing_else(file):
    """Markup, formulas and marks of writing direction in names come out as text, on one line."""
    name = "<script>alert(1)</script>\u202e =1+1 {x} %s"
    text = plan(f'lamp: {{kind: lamp, name: "{name}", place: kitchen, running: 1 A}}', "")
    done = CliRunner().invoke(commands, ["check", file(text)])
    assert done.exit_code == 0, done.output
    assert "<script>alert(1)</script>" in done.stdout


@pytest.mark.parametrize("van", VANS)
def test_caution_stands_last(van):
    text = report(van).as_text()
    assert text.rstrip().endswith(CAUTION)
    mains = any(flat.mains for flat in report(van).assessment.wiring.runs.values())
    assert ("230/120 V side: worked out here, tested by nobody." in text) == mains
    assert "not checked by this version" not in text


def test_a_mains_side_that_no_source_reaches_is_not_called_checked(file):
    text = plan(
        "S1: {kind: mains_socket, place: kitchen}\nS2: {kind: mains_socket, place: kitchen}",
        "M1: {from: S1, to: S2, area: 2.5 mm², length: 1 m}",
    )
    done = CliRunner().invoke(commands, ["check", file(text)])
    assert "230/120 V side not checked by this version: leave it to a licensed person." in done.stdout


def test_what_takes_long_is_said_on_a_terminal_only(monkeypatch, capsys):
    monkeypatch.setattr(cli, "_MOMENT_S", 0.0)
    for terminal, says in ((False, ""), (True, "Trying cures ...\n")):
        monkeypatch.setattr(sys.stderr, "isatty", lambda at=terminal: at, raising=False)
        with cli._patience("Trying cures ..."):
            for thread in threading.enumerate():
                if isinstance(thread, threading.Timer):
                    thread.join()
        assert capsys.readouterr().err == says


def test_how_far_the_bands_are_is_counted_on_a_terminal_only(monkeypatch, capsys):
    monkeypatch.setattr(cli, "_MOMENT_S", -1.0)
    for terminal, says in ((False, ""), (True, "\rWhat figures may be: 50 %\rWhat figures may be: 100 %\n")):
        monkeypatch.setattr(sys.stderr, "isatty", lambda at=terminal: at, raising=False)
        with cli._counting("What figures may be") as count:
            assert (count is not None) == terminal
            for done in (1, 2) if count is not None else ():
                count(done, 2)
        assert capsys.readouterr().err == says
