"""Plan files on disk: whatever fails, the plan on disk is whole, and nobody's change is lost."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from loomwright import store
from loomwright.errors import ChangedMeanwhile, LoomwrightError, PlanError
from loomwright.store import Stamp, load, parent_reader, save

TEXT = "loomwright: 1\ntitle: Mossgröve\n"


@pytest.fixture
def plan(tmp_path: Path) -> Path:
    path = tmp_path / "van.yaml"
    path.write_bytes(TEXT.encode())
    return path


def test_a_plan_is_read_and_written(plan):
    loaded = load(plan)
    assert loaded.text == TEXT
    stamp = save(plan, TEXT + "region: eu\n", loaded.stamp)
    assert plan.read_bytes() == (TEXT + "region: eu\n").encode()
    assert load(plan).stamp == stamp
    assert os.listdir(plan.parent) == ["van.yaml"]
    save(plan, TEXT, stamp)
    assert load(str(plan)).text == TEXT


@pytest.mark.parametrize("mark", ["", "\ufeff"])
@pytest.mark.parametrize("newline", ["\n", "\r\n"])
@pytest.mark.parametrize("typed", ["\n", "\r\n"])
def test_mark_and_line_ends_stay_as_found(plan, mark, newline, typed):
    """A page's text field sends its own line ends, whatever it was given."""
    plan.write_bytes((mark + TEXT.replace("\n", newline)).encode())
    loaded = load(plan)
    assert loaded.text == TEXT.replace("\n", newline)
    save(plan, (TEXT + "note: x\n").replace("\n", typed), loaded.stamp)
    assert plan.read_bytes() == (mark + (TEXT + "note: x\n").replace("\n", newline)).encode()


def test_mixed_line_ends_are_left_alone(plan):
    plan.write_bytes(b"a: 1\r\nb: 2\n")
    loaded = load(plan)
    assert loaded.stamp.newline == ""
    save(plan, loaded.text + "c: 3\n", loaded.stamp)
    assert plan.read_bytes() == b"a: 1\r\nb: 2\nc: 3\n"


def test_access_rights_stay(plan):
    plan.chmod(0o640)
    save(plan, "a: 1\n", load(plan).stamp)
    assert stat.S_IMODE(plan.stat().st_mode) == 0o640


def test_a_new_file_gets_the_usual_rights(tmp_path):
    (tmp_path / "usual").touch()
    stamp = save(tmp_path / "new.yaml", TEXT, None)
    assert load(tmp_path / "new.yaml").stamp == stamp
    assert (tmp_path / "new.yaml").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_a_link_stays_a_link(plan, tmp_path):
    link = tmp_path / "link.yaml"
    link.symlink_to(plan)
    save(link, "a: 1\n", load(link).stamp)
    assert link.is_symlink()
    assert plan.read_text() == "a: 1\n"


# --- others write too


def test_a_file_changed_by_another_program_is_not_written_over(plan):
    stamp = load(plan).stamp
    plan.write_text("theirs: 1\n")
    with pytest.raises(ChangedMeanwhile, match=r"van\.yaml has been changed by another program meanwhile"):
        save(plan, "ours: 1\n", stamp)
    assert plan.read_text() == "theirs: 1\n"
    assert os.listdir(plan.parent) == ["van.yaml"]
    assert issubclass(ChangedMeanwhile, LoomwrightError)


def test_the_same_bytes_written_again_are_no_change(plan):
    stamp = load(plan).stamp
    plan.write_bytes(TEXT.encode())
    os.utime(plan, (1, 1))
    save(plan, "ours: 1\n", stamp)
    assert plan.read_text() == "ours: 1\n"


def test_a_file_deleted_meanwhile_is_not_made_again(plan):
    stamp = load(plan).stamp
    plan.unlink()
    with pytest.raises(ChangedMeanwhile, match="deleted or renamed"):
        save(plan, "ours: 1\n", stamp)
    assert os.listdir(plan.parent) == []


def test_a_file_made_meanwhile_is_not_written_over(plan):
    with pytest.raises(ChangedMeanwhile, match="has been made meanwhile"):
        save(plan, "ours: 1\n", None)
    assert plan.read_text() == TEXT


def test_a_change_while_the_new_text_is_on_its_way_to_the_disk(plan, monkeypatch):
    stamp = load(plan).stamp
    sync = os.fsync

    def slow_sync(number: int) -> None:
        plan.write_text("theirs: 1\n")
        sync(number)

    monkeypatch.setattr(os, "fsync", slow_sync)
    with pytest.raises(ChangedMeanwhile):
        save(plan, "ours: 1\n", stamp)
    assert plan.read_text() == "theirs: 1\n"


def test_of_many_threads_with_one_stamp_one_wins(plan):
    stamp, won, lost = load(plan).stamp, [], []
    start = threading.Barrier(8)

    def write(number: int) -> None:
        start.wait()
        try:
            save(plan, f"a: {number}\n", stamp)
            won.append(number)
        except ChangedMeanwhile:
            lost.append(number)

    threads = [threading.Thread(target=write, args=(number,)) for number in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert (len(won), len(lost)) == (1, 7)
    assert plan.read_text() == f"a: {won[0]}\n"


# --- what fails


def fail(number: int):
    def failing(*_: object, **__: object) -> None:
        raise OSError(number, os.strerror(number), "some file beside it")

    return failing


@pytest.mark.parametrize("step", ["replace", "fsync", "open", "chmod"])
@pytest.mark.parametrize("number", [errno.ENOSPC, errno.EACCES, errno.EROFS, errno.EIO])
def test_a_failure_at_any_step_leaves_the_old_file_whole(plan, monkeypatch, step, number):
    """Full disk, read-only folder or disk, failing disk."""
    stamp = load(plan).stamp
    with monkeypatch.context() as patch:
        patch.setattr(store.os, step, fail(number))
        with pytest.raises(OSError, match=os.strerror(number)) as failed:
            save(plan, "ours: 1\n", stamp)
    assert (failed.value.errno, failed.value.filename) == (number, str(plan))
    assert isinstance(failed.value, PermissionError) == (number == errno.EACCES)
    assert plan.read_bytes() == TEXT.encode()
    assert os.listdir(plan.parent) == ["van.yaml"]
    save(plan, "ours: 1\n", stamp)  # and it can be tried again


def test_a_disk_that_is_full_after_half_of_the_text(plan, monkeypatch):
    stamp = load(plan).stamp
    really_open = open

    def small_disk(*args, **kwargs):
        file = really_open(*args, **kwargs)
        monkeypatch.setattr(store.os, "fsync", fail(errno.ENOSPC))
        file.write(b"ours")
        return file

    monkeypatch.setattr(store, "open", small_disk, raising=False)
    with pytest.raises(OSError, match=os.strerror(errno.ENOSPC)):
        save(plan, "ours: 1\n" * 1000, stamp)
    assert plan.read_bytes() == TEXT.encode()
    assert os.listdir(plan.parent) == ["van.yaml"]


@pytest.mark.parametrize("step", ["fsync", "replace"])
def test_a_process_killed_in_the_middle_leaves_the_old_file_whole(plan, step):
    """The process ends at once, without any clearing up, as by a signal or a power cut."""
    script = (
        "import os, sys\n"
        "from loomwright import store\n"
        "stamp = store.load(sys.argv[1]).stamp\n"
        "setattr(os, sys.argv[2], lambda *_: os._exit(9))\n"
        "store.save(sys.argv[1], 'ours: 1', stamp)\n"
    )
    stamp = load(plan).stamp
    ended = subprocess.run([sys.executable, "-c", script, str(plan), step], check=False)
    assert ended.returncode == 9
    assert load(plan).text == TEXT
    save(plan, "ours: 2\n", stamp)
    assert plan.read_text() == "ours: 2\n"


def test_a_read_only_file_is_not_written_over(plan, monkeypatch):
    stamp = load(plan).stamp
    monkeypatch.setattr(store.os, "access", lambda *_: False)
    with pytest.raises(PermissionError, match="this file is read-only"):
        save(plan, "ours: 1\n", stamp)
    assert plan.read_bytes() == TEXT.encode()


def test_a_folder_that_can_not_be_synced_is_no_failure(plan, monkeypatch):
    sync = os.fsync

    def of_files_only(number: int) -> None:
        if stat.S_ISDIR(os.fstat(number).st_mode):
            raise OSError(errno.EINVAL, "not on this drive")
        sync(number)

    monkeypatch.setattr(store.os, "fsync", of_files_only)
    save(plan, "ours: 1\n", load(plan).stamp)
    assert plan.read_text() == "ours: 1\n"


@pytest.mark.parametrize("text", ["a: \ud800", "a: " + "x" * 500_000, "a: \0"])
def test_what_could_not_be_read_again_is_not_written(plan, text):
    with pytest.raises(PlanError):
        save(plan, text, load(plan).stamp)
    assert plan.read_bytes() == TEXT.encode()


def test_what_is_no_plan_file(tmp_path):
    with pytest.raises(FileNotFoundError):
        load(tmp_path / "none.yaml")
    with pytest.raises(IsADirectoryError):
        load(tmp_path)
    os.mkfifo(tmp_path / "pipe")
    with pytest.raises(PlanError, match="a device or a pipe, not a file"):
        load(tmp_path / "pipe")
    (tmp_path / "large").write_bytes(b"#" * 500_001)
    with pytest.raises(PlanError, match=r"large:1:1  500,001 bytes are too many"):
        load(tmp_path / "large")
    (tmp_path / "old").write_bytes(b"a: 2 mm\xb2")
    with pytest.raises(PlanError, match=r"old:1:8  .* not UTF-8"):
        load(tmp_path / "old")


# --- files beside it


def test_a_parent_is_read_from_the_same_folder(plan):
    (plan.parent / "base 2.yaml").write_text("a: 1\n")
    read = parent_reader(plan)
    assert read("base 2.yaml") == "a: 1\n"
    assert parent_reader(str(plan))("van.yaml") == TEXT


@pytest.mark.parametrize(
    "name",
    [
        "",
        ".",
        "..",
        "../van.yaml",
        "/x.yaml",
        "sub/x.yaml",
        "..\\x.yaml",
        "c:x",
        "a\0b",
        ".hidden",
        "out.yaml",
    ],
)
def test_no_name_leads_out_of_the_folder(plan, tmp_path, name):
    inside = tmp_path / "inside"
    (inside / "sub").mkdir(parents=True)
    (inside / "sub" / "x.yaml").write_text(TEXT)
    (inside / ".hidden").write_text(TEXT)
    (inside / "out.yaml").symlink_to(plan)
    with pytest.raises(LookupError):
        parent_reader(inside / "van.yaml")(name)


def test_a_parent_that_is_missing_or_no_text(plan):
    with pytest.raises(FileNotFoundError):
        parent_reader(plan)("none.yaml")
    (plan.parent / "old.yaml").write_bytes(b"\xb2")
    with pytest.raises(PlanError, match=r"old\.yaml:1:1"):
        parent_reader(plan)("old.yaml")


def test_a_stamp_is_of_the_bytes():
    assert store._stamp_of(b"") == Stamp(
        "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855", bom=False, newline=""
    )  # the empty message, from NIST's example values for FIPS 180-4 (from memory)
