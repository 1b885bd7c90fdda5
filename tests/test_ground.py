"""The ground that the rest stands on: set-up script, CI line, locks, and what must not be in any file."""

from __future__ import annotations

import ast
import re
import runpy
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parent.parent
LOCKS = ("requirements.lock", "requirements-test.lock")
PINNED = re.compile(r"^([A-Za-z0-9._-]+)==(\S+)", re.MULTILINE)


def tracked_files() -> list[Path]:
    """Return the files under version control, or all of a folder that is under none."""
    listed = subprocess.run(
        ["git", "ls-files", "-z", "--cached"], cwd=ROOT, capture_output=True, text=True, check=False
    )
    if listed.returncode == 0:
        return [path for name in listed.stdout.split("\0") if name and (path := ROOT / name).is_file()]
    hidden = {".venv", "__pycache__"}
    return [path for path in ROOT.rglob("*") if path.is_file() and not hidden & set(path.parts)]


def pins(lock: str) -> dict[str, str]:
    """Return name to version, as pinned in a lock file."""
    return {canonicalize_name(name): version for name, version in PINNED.findall((ROOT / lock).read_text())}


def required(*extras: str) -> list[Requirement]:
    """Return what pyproject.toml asks for, with these extras."""
    project = tomllib.loads((ROOT / "pyproject.toml").read_text())["project"]
    rows = [*project["dependencies"], *(r for e in extras for r in project["optional-dependencies"][e])]
    return [Requirement(row) for row in rows]


def test_start_is_readable_by_an_old_python():
    ast.parse((ROOT / "start.py").read_text(encoding="utf-8"), feature_version=(3, 8))


def test_start_needs_the_standard_library_only():
    tree = ast.parse((ROOT / "start.py").read_text(encoding="utf-8"))
    imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    imported |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert imported
    assert {name.split(".")[0] for name in imported} <= sys.stdlib_module_names


def test_start_tells_an_old_python_what_to_install(monkeypatch, capsys):
    start = runpy.run_path(str(ROOT / "start.py"))
    monkeypatch.setattr(sys, "version_info", (3, 8, 10))
    assert start["main"]([]) == 1
    said = capsys.readouterr().out
    assert "needs Python 3.11 or newer" in said
    assert "apt-get install python3" in said


def test_start_names_the_command_that_brings_a_missing_venv_module(monkeypatch, capsys, tmp_path):
    start = runpy.run_path(str(ROOT / "start.py"))
    scope = start["main"].__globals__
    monkeypatch.setitem(scope, "VENV", tmp_path / ".venv")
    monkeypatch.setitem(scope, "PYTHON", tmp_path / ".venv" / "bin" / "python")
    monkeypatch.setitem(sys.modules, "ensurepip", None)  # as on a system that ships it apart
    assert start["main"]([]) == 1
    assert f"apt-get install python3.{sys.version_info[1]}-venv" in capsys.readouterr().out
    assert not (tmp_path / ".venv").exists()


def test_start_fails_and_names_a_program_that_it_cannot_bring(monkeypatch, capsys):
    start = runpy.run_path(str(ROOT / "start.py"))
    scope = start["main"].__globals__
    monkeypatch.setitem(scope, "TEST_PROGRAMS", (("no-such-solver", "no-such-package", "a test"),))
    monkeypatch.setitem(scope, "administrator", lambda: None)
    start["fetch_programs"]().join()
    assert start["has_programs"]() is False
    assert "apt-get install no-such-package" in capsys.readouterr().out


def test_start_runs_all_checks_and_fails_if_one_does(monkeypatch, capsys):
    start = runpy.run_path(str(ROOT / "start.py"))
    scope = start["main"].__globals__
    ran: list[tuple[str, ...]] = []

    def call(program: Path, *arguments: str) -> int:
        ran.append(arguments)
        return int("mypy" in arguments)

    monkeypatch.setitem(scope, "set_up", lambda task: None)
    monkeypatch.setitem(scope, "TEST_PROGRAMS", ())
    monkeypatch.setitem(scope, "call", call)
    assert start["main"](["test"]) == 1
    assert ran == [tuple(arguments) for _, _, arguments in start["CHECKS"]]
    said = capsys.readouterr().out
    assert re.search(r"^types +FAILED", said, re.MULTILINE)
    assert re.search(r"^tests +ok", said, re.MULTILINE)
    assert re.search(r"^total", said, re.MULTILINE)


@pytest.mark.parametrize("found", [0, 2, 3])
def test_start_opens_the_page_and_ends_as_it_does(found, monkeypatch, capsys):
    start = runpy.run_path(str(ROOT / "start.py"))
    scope = start["main"].__globals__
    monkeypatch.setitem(scope, "set_up", lambda task: None)
    monkeypatch.setitem(scope, "open_page", lambda: found)
    assert start["main"]([]) == found
    assert ("open PLAN" in capsys.readouterr().out) == (found == 0)


def test_start_refuses_a_task_it_does_not_know(capsys):
    assert runpy.run_path(str(ROOT / "start.py"))["main"](["tset"]) == 2
    assert "python3 start.py test" in capsys.readouterr().out


def test_ci_runs_the_one_line():
    lines = (ROOT / ".ci" / "run").read_text().splitlines()
    assert [line for line in lines if "start.py" in line] == ["python3 start.py test"]
    assert lines[-1] == "python3 start.py test"
    assert "set -euo pipefail" in lines


@pytest.mark.parametrize("lock", LOCKS)
def test_lock_has_hashes_and_no_addresses(lock):
    text = (ROOT / lock).read_text()
    assert "://" not in text
    assert not re.search(r"--(index|extra-index|find-links|trusted)", text)
    entries = re.split(r"^(?=[A-Za-z0-9])", text, flags=re.MULTILINE)[1:]
    assert entries
    for entry in entries:
        assert PINNED.match(entry), entry
        assert re.search(r"--hash=sha256:[0-9a-f]{64}", entry), entry


@pytest.mark.parametrize(
    ("lock", "extras"), [(LOCKS[0], ("build", "year")), (LOCKS[1], ("build", "year", "test"))], ids=LOCKS
)
def test_lock_is_in_step_with_the_project_file(lock, extras):
    pinned = pins(lock)
    for requirement in required(*extras):
        version = pinned.get(canonicalize_name(requirement.name))
        assert version is not None, f"{requirement.name} is not in {lock}; run python3 start.py lock"
        assert requirement.specifier.contains(version), f"{requirement}: {lock} pins {version}"


def test_both_locks_agree():
    runtime, test = pins(LOCKS[0]), pins(LOCKS[1])
    assert runtime.items() <= test.items()


#: Written with a bracket each, so that this file does not hold what it looks for.
UNWANTED = {
    "a path of one machine": r"(?<![\w.])/(wor[k]|tm[p]|hom[e]|roo[t])/\w",
    "a package registry's host": r"(pyp[i]|pythonhoste[d]|npmj[s]|debia[n]|crate[s])\.(org|com|io)\b",
    "a number of a task list": r"(?i)\bissu[e] #?\d",
    "how it was made, not what it is": r"(?i)\b(seed documen[t]|transcrip[t]s?|\.\./share[d])\b",
}


def test_no_file_holds_what_belongs_elsewhere():
    wrong: list[str] = []
    for path in tracked_files():
        if path.suffix in {".ttf", ".otf", ".woff2", ".png", ".pdf", ".npz"}:
            continue
        text = path.read_text(encoding="utf-8")
        for what, pattern in UNWANTED.items():
            wrong += [f"{path.relative_to(ROOT)}: {what}: {m.group()!r}" for m in re.finditer(pattern, text)]
    assert not wrong, "\n".join(wrong)
