"""Set Loomwright up and run it.

    python3 start.py          set it up, then try it on the example van
    python3 start.py test     every check that a change has to pass
    python3 start.py bench    how fast it is, on this machine
    python3 start.py lock     write the two lock files anew (for maintainers; needs the network)
    python3 start.py help     this text

On Windows: py start.py. Packages go into .venv beside this file, never into the system;
only `test` may bring a system package, and says so.
"""

# Standard library only, and readable by Python 3.8: an old Python shall get a sentence, not a traceback.
from __future__ import annotations

import hashlib
import os
import shutil
import subprocess
import sys
import threading
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
SUFFIX = ".exe" if os.name == "nt" else ""
PYTHON = BIN / ("python" + SUFFIX)
LOOMWRIGHT = BIN / ("loomwright" + SUFFIX)
DEMO = Path("examples", "alderford.yaml")
OLDEST = (3, 11)

#: Which lock a task installs. The test lock holds all that the runtime lock holds, at the same versions.
LOCKS = {"run": "requirements.lock", "test": "requirements-test.lock"}

#: Programs that the tests call: command, Debian package, what for.
TEST_PROGRAMS = (
    ("chromium", "chromium", "the browser that the page is tried in"),
    ("ngspice", "ngspice", "the solver that ours is compared with"),
)

#: Each file of tests in one process: what it works out of the example vans is worked out once.
BY_FILE = ("--dist", "loadfile", "--no-loadscope-reorder")

LINT_IMPORTS = "import importlinter.cli; importlinter.cli.lint_imports_command()"

#: The checks, in order: name, what it says it runs, arguments of the Python in .venv (its tools are called
#: through Python, since their own scripts break when the folder is moved).
CHECKS = (
    ("format", "ruff format --check .", ["-m", "ruff", "format", "--check", "."]),
    ("lint", "ruff check .", ["-m", "ruff", "check", "."]),
    ("types", "mypy", ["-m", "mypy"]),
    ("imports", "lint-imports", ["-c", LINT_IMPORTS, "--no-logo"]),
    ("tests", "pytest -n 2 --durations=10", ["-m", "pytest", "-n", "2", *BY_FILE, "--durations=10"]),
)

LOCK_OPTIONS = (
    "--quiet --universal --python-version 3.11 --fork-strategy fewest --generate-hashes --no-annotate"
)


class SetUpError(Exception):
    """Something is missing that this script can't bring; the text says what to do."""


def say(text: str = "") -> None:
    """Print at once, so that progress is seen where it happens."""
    print(text, flush=True)


def call(program: Path, *arguments: str) -> int:
    """Run a program of .venv from the project's folder; return its exit code."""
    sys.stdout.flush()
    return subprocess.call([str(program), *arguments], cwd=str(ROOT), env=dict(os.environ, PYTHONUTF8="1"))


# Setting up .venv


def stamp_text(task: str) -> str:
    """Return what must be as it was at the last set-up: Python, this folder, project file and lock."""
    digest = hashlib.sha256("{} {}".format(sys.version, ROOT).encode())
    for name in ("pyproject.toml", LOCKS[task]):
        digest.update((ROOT / name).read_bytes())
    return digest.hexdigest()


def is_ready(task: str) -> bool:
    """Return whether .venv holds what `task` needs."""
    stamp = VENV / ("ready-" + task)
    return PYTHON.exists() and stamp.exists() and stamp.read_text() == stamp_text(task)


def make_venv() -> None:
    """Make .venv, or make it again if the Python that it was made with is gone."""
    probe = "import pip, sys; sys.exit(sys.version_info < {})".format(OLDEST)
    if PYTHON.exists() and subprocess.call([str(PYTHON), "-c", probe], stderr=subprocess.DEVNULL) == 0:
        return
    try:
        import ensurepip  # noqa: F401
        import venv  # noqa: F401
    except ImportError:
        raise SetUpError(
            "This Python can't make a virtual environment: its venv module is missing. Bring it with\n"
            "    sudo apt-get install python3.{}-venv\n"
            "(other systems: the package of that name), then run this again.".format(sys.version_info[1])
        ) from None
    say("Making .venv ...")
    if subprocess.call([sys.executable, "-m", "venv", "--clear", str(VENV)]) != 0:
        raise SetUpError("Making {} failed; the lines above say why.".format(VENV))


def pip_install(*arguments: str) -> None:
    """Install into .venv and name each package as it comes; on failure show all that pip said."""
    command = [str(PYTHON), "-m", "pip", "install", "--no-input", "--disable-pip-version-check", *arguments]
    said = []
    with subprocess.Popen(
        command,
        cwd=str(ROOT),
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
        errors="replace",
    ) as pip:
        for line in pip.stdout or ():
            said.append(line)
            if line.startswith("Collecting "):
                say("  " + line.split()[1].replace("==", " "))
            elif line.startswith("Installing collected"):
                say("  unpacking ...")
    if pip.returncode != 0:
        say("".join(said[-30:]))
        raise SetUpError(
            "Installing the Python packages failed; pip's last words are above.\n"
            "The first run needs the network; later runs don't."
        )


def set_up(task: str) -> None:
    """Bring .venv to what `task` ("run" or "test") needs; do nothing if it is so already."""
    if is_ready(task):
        return
    began = time.monotonic()
    make_venv()
    for stamp in VENV.glob("ready-*"):
        stamp.unlink()
    say("Installing Python packages into .venv (only the first time, or after a change) ...")
    pip_install("--require-hashes", "-r", LOCKS[task])
    pip_install("--no-deps", "--no-build-isolation", "-e", ".")
    for done in ("run", "test") if task == "test" else ("run",):
        (VENV / ("ready-" + done)).write_text(stamp_text(done))
    say("Set up in {:.0f} s.\n".format(time.monotonic() - began))


# The tasks


def open_page() -> int:
    """Open the page on the example van until it is put away by Ctrl+C; return the exit code."""
    with subprocess.Popen(
        [str(LOOMWRIGHT), "open"], cwd=str(ROOT), env=dict(os.environ, PYTHONUTF8="1")
    ) as page:
        try:
            return page.wait()
        except KeyboardInterrupt:  # the page has got it too, and puts itself away
            return page.wait(10)


def run() -> int:
    """Set up, open the page on the example van, and say what else can be tried."""
    set_up("run")
    command = LOOMWRIGHT.relative_to(ROOT)
    say("$ {} open".format(command))
    found = open_page()
    if found:
        return found
    say("\nTo go on, in {}:".format(ROOT))
    say("    {} open PLAN        your own van".format(command))
    say("    {} check {}".format(command, DEMO))
    say("    {} --help".format(command))
    return 0


def administrator() -> list[str] | None:
    """Return the words that let a command act as administrator without asking; None if there are none."""
    if getattr(os, "geteuid", lambda: 1)() == 0:
        return []
    if shutil.which("sudo") and subprocess.call(["sudo", "-n", "true"], stderr=subprocess.DEVNULL) == 0:
        return ["sudo", "-n"]
    return None


def missing_programs() -> list[tuple[str, str, str]]:
    """Return the programs that the tests call and that are not there."""
    return [row for row in TEST_PROGRAMS if shutil.which(row[0]) is None]


def fetch_programs() -> threading.Thread:
    """Begin to bring the programs that are missing, while the packages come; return what does it."""
    packages = [package for _, package, _ in missing_programs()]
    prefix = administrator() if packages and shutil.which("apt-get") else None

    def fetch() -> None:
        apt_get = [*(prefix or []), "env", "DEBIAN_FRONTEND=noninteractive", "apt-get", "-q"]
        for words in (["update"], ["install", "-y", "--no-install-recommends", *packages]):
            done = subprocess.run([*apt_get, *words], stdout=subprocess.PIPE, stderr=subprocess.STDOUT)
            if done.returncode != 0:
                say(done.stdout.decode("utf-8", "replace"))

    fetching = threading.Thread(target=fetch if packages and prefix is not None else lambda: None)
    if packages and prefix is not None:
        say("Installing system packages: {} ...".format(" ".join(packages)))
    fetching.start()
    return fetching


def has_programs() -> bool:
    """Return whether all programs that the tests call are there; say which are not."""
    missing = missing_programs()
    for command, package, purpose in missing:
        say("Missing: {} ({}). Install the system package {}, e.g.".format(command, purpose, package))
        say("    sudo apt-get install {}".format(package))
    return not missing


def test() -> int:
    """Run every check, whatever the ones before it gave; return 0 only if all passed."""
    began = time.monotonic()
    fetching = fetch_programs()
    try:
        set_up("test")
    finally:
        fetching.join()
    results = [("set-up", has_programs(), time.monotonic() - began)]
    for name, shown, arguments in CHECKS:
        say("\n-- {}: {}".format(name, shown))
        start = time.monotonic()
        results.append((name, call(PYTHON, *arguments) == 0, time.monotonic() - start))
    say()
    for name, passed, seconds in results:
        say("{:<10} {:<6} {:6.1f} s".format(name, "ok" if passed else "FAILED", seconds))
    say("{:<10} {:<6} {:6.1f} s".format("total", "", time.monotonic() - began))
    return 0 if all(passed for _, passed, _ in results) else 1


def bench() -> int:
    """Print the table of measured times."""
    set_up("test")
    fetch_programs().join()
    if not has_programs():
        return 1
    return call(PYTHON, "-m", "bench.run")


def lock() -> int:
    """Write both lock files anew from pyproject.toml, with hashes and without addresses."""
    make_venv()
    pip_install("uv")
    options = [*LOCK_OPTIONS.split(), "--extra", "build", "--extra", "year"]
    compile_lock = ["-m", "uv", "pip", "compile", "pyproject.toml", *options]
    code = call(PYTHON, *compile_lock, "-o", LOCKS["run"])
    return code or call(PYTHON, *compile_lock, "--extra", "test", "-c", LOCKS["run"], "-o", LOCKS["test"])


def show_help() -> int:
    """Print the top of this file."""
    say(__doc__.strip())
    return 0


TASKS = {
    "": run,
    "test": test,
    "bench": bench,
    "lock": lock,
    "help": show_help,
    "--help": show_help,
    "-h": show_help,
}


def main(words: list[str]) -> int:
    """Do the task named in `words`; return the exit code."""
    if sys.version_info < OLDEST:
        say("Loomwright needs Python {}.{} or newer; this is {}.".format(*OLDEST, sys.version.split()[0]))
        say("Install a newer one, then run this again with it. Debian 12, Ubuntu 24.04 and later:")
        say("    sudo apt-get install python3 python3-venv")
        say("Older ones, Windows and macOS: from the Python project's own pages.")
        return 1
    task = TASKS.get(" ".join(words))
    if task is None:
        say("There is no task {!r}.\n".format(" ".join(words)))
        show_help()
        return 2
    try:
        return task()
    except SetUpError as reason:
        say(str(reason))
        return 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
