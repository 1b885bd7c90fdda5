"""`draw` as a verb and as a command: files beside the plan or in a folder, one sheet to a pipe."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

import loomwright
from loomwright.api import SHEETS
from loomwright.cli import commands

EXAMPLES = Path(__file__).parents[2] / "examples"


def run(*arguments: str) -> subprocess.CompletedProcess[bytes]:
    """Call the command line as a process."""
    return subprocess.run([sys.executable, "-c", "from loomwright.cli import main; main()", *arguments],
                          capture_output=True, check=False)  # fmt: skip


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    """Return a copy of an example that takes several sheets, in a folder of its own."""
    return Path(shutil.copy(EXAMPLES / "saltpan.yaml", tmp_path / "my van.yaml"))


def test_one_file_a_sheet_beside_the_plan(plan: Path):
    done = run("draw", str(plan), "--sheet", "wiring")
    paths = [Path(line) for line in done.stdout.decode().splitlines()]
    assert done.returncode == 0
    assert [path.name for path in paths] == ["my van-wiring-1.svg", "my van-wiring-2.svg"]
    drawn = loomwright.draw(loomwright.read(plan), "wiring")
    assert [path.read_bytes() for path in paths] == drawn


def test_pdf_is_one_file_in_the_folder_asked_for(plan: Path, tmp_path: Path):
    done = run(
        "draw", str(plan), "--sheet", "wiring", "--to", "pdf", "--out", str(tmp_path / "new"), "--json"
    )
    (path,) = json.loads(done.stdout)
    assert Path(path) == tmp_path / "new" / "my van-wiring.pdf"
    assert Path(path).read_bytes().startswith(b"%PDF")


def test_one_sheet_to_a_pipe(plan: Path):
    done = run("draw", str(EXAMPLES / "mossgrove.yaml"), "--sheet", "wiring", "--out", "-")
    assert done.stdout.startswith(b"<svg")
    assert done.returncode == 0
    refused = run("draw", str(plan), "--sheet", "wiring", "--out", "-")
    assert refused.returncode == 2
    assert b"2 sheets" in refused.stderr


def test_what_is_not_there_is_refused(plan: Path):
    assert run("draw", str(plan), "--sheet", "cabinet").returncode == 2
    assert run("draw", str(plan.with_name("no.yaml")), "--sheet", "wiring").returncode == 2
    with pytest.raises(ValueError, match="no sheet 'cabinet'"):
        loomwright.draw(loomwright.read(plan), "cabinet")


def test_dxf_holds_the_wires_by_name(plan: Path):
    first, second = loomwright.draw(loomwright.read(plan), "wiring", to="dxf")
    assert b"W1.master" in first
    assert b"W10" in second


def test_the_wiring_in_a_mode(plan: Path):
    done = run("draw", str(plan), "--sheet", "wiring", "--mode", "driving")
    paths = [Path(line) for line in done.stdout.decode().splitlines()]
    assert [path.name for path in paths] == ["my van-wiring-driving-1.svg", "my van-wiring-driving-2.svg"]
    assert [path.read_bytes() for path in paths] == loomwright.draw(
        loomwright.read(plan), "wiring", mode="driving"
    )
    assert b": driving</title>" in paths[0].read_bytes()


def test_a_mode_that_is_not_there_is_refused_and_those_that_are_named(plan: Path):
    done = run("draw", str(plan), "--sheet", "wiring", "--mode", "flying")
    assert done.returncode == 2
    assert b"no mode 'flying'; this van has parked, driving" in done.stderr
    done = run("draw", str(plan), "--sheet", "system", "--mode", "driving")
    assert (done.returncode, b"only the wiring" in done.stderr) == (2, True)


def test_the_command_offers_the_sheets_of_the_library():
    """They stand twice, so that `--help` does not have to load what draws."""
    choice = next(one for one in commands.commands["draw"].params if one.name == "sheet")
    assert tuple(choice.type.choices) == SHEETS
