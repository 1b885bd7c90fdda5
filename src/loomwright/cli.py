"""The command line: read, call, print, exit code.

Exit codes: 0 clean or watch only, 1 danger or fault (`check`), 2 unreadable plan or usage, 3 our own bug.
"""

from __future__ import annotations

import gc
import io
import json
import math
import os
import sys
import threading
import time
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path

import click

# The matrices of a van are small: threads of the linear algebra would only wait for each other.
os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")

#: What takes longer than this is said on a terminal. [s]
_MOMENT_S = 1.0
CLEAN, TO_MEND, UNREADABLE, OUR_BUG = 0, 1, 2, 3


class _Number(click.FloatRange):
    """A number within a range; "nan" is none."""

    def convert(self, value: float, param: click.Parameter | None, ctx: click.Context | None) -> float:
        number = float(super().convert(value, param, ctx))
        return number if math.isfinite(number) else self.fail(f"{value} is no number.", param, ctx)


_PLAN = click.argument("plan", type=click.Path(path_type=Path, dir_okay=False))
_JSON = click.option("--json", "as_json", is_flag=True, help="Print one JSON object instead of text.")


@click.group()
@click.version_option(package_name="loomwright")
def commands() -> None:
    """Plan, size and check the electrics of a camper van."""


@commands.command()
@_PLAN
@_JSON
def check(plan: Path, as_json: bool) -> None:
    """List what is dangerous, faulty or doubtful in PLAN, then its wires and circuits."""
    from loomwright import api
    from loomwright.errors import PlanError

    try:
        report = api.check(api.read(plan))
        if as_json:
            with _counting("What figures may be") as count:
                report.bands(count)
        with _patience("Trying cures on the plan ..."):
            printed = json.dumps(report.as_dict(), ensure_ascii=False) if as_json else report.as_text()
    except PlanError as unreadable:
        _say_unreadable(unreadable, as_json)
        sys.exit(UNREADABLE)
    except OSError as missing:
        click.echo(f"{plan}: {missing.strerror or missing}. Give the path of a plan file.", err=True)
        sys.exit(UNREADABLE)
    click.echo(printed)
    sys.exit(TO_MEND if report.dangers or report.faults else CLEAN)


@commands.command()
@_PLAN
@click.option(
    "--sheet",
    type=click.Choice(
        [
            "system",
            "wiring",
            "van",
            "loom",
            "board",
            "labels",
            "modes",
            "faults",
            "energy",
            "mains",
            "fuse-label",
        ]
    ),
    required=True,
    help="What to draw.",
)
@click.option("--to", type=click.Choice(["svg", "dxf", "pdf"]), default="svg", show_default=True)
@click.option("--mode", default="", help="Draw the wiring as it stands in this mode, such as driving.")
@click.option(
    "--by", type=click.Choice(["current", "drop", "opening"]), help="What the bands of the van sheet say."
)
@click.option(
    "--month", default="", help="Whose mean day the system sheet shows, such as jul; none leaves it out."
)
@click.option("--paper", type=click.Choice(["a4", "a3"]), default="a4", help="What a board is cut into.")
@click.option("--out", default="", help="Folder to write into, else beside PLAN; - prints one sheet.")
@_JSON
def draw(
    plan: Path,
    sheet: str,
    to: str,
    mode: str,
    by: str | None,
    month: str,
    paper: str,
    out: str,
    as_json: bool,
) -> None:
    """Draw a sheet of PLAN into files and print their paths."""
    from loomwright import api
    from loomwright.errors import NoSuchModeError, PlanError

    try:
        drawn = api.draw(api.read(plan), sheet, to, mode, by or "", paper, month)
    except PlanError as unreadable:
        _say_unreadable(unreadable, as_json)
        sys.exit(UNREADABLE)
    except NoSuchModeError as unknown:
        click.echo(f"{plan}: {unknown}", err=True)
        sys.exit(UNREADABLE)
    except OSError as missing:
        click.echo(f"{plan}: {missing.strerror or missing}. Give the path of a plan file.", err=True)
        sys.exit(UNREADABLE)
    if not drawn:
        click.echo(f"{plan}: nothing to draw: this van has nothing for the sheet {sheet}.", err=True)
    if out == "-":
        if len(drawn) > 1:
            click.echo(f"{plan}: this takes {len(drawn)} sheets; give a folder with --out.", err=True)
            sys.exit(UNREADABLE)
        sys.stdout.buffer.write(b"".join(drawn))
        return
    one_file = to == "pdf"
    sheet = "-".join(filter(None, (sheet, mode, by, month)))
    names = [f"{sheet}{'' if one_file else f'-{n}'}.{to}" for n in range(1, len(drawn) + 1)]
    _write(plan, out, dict(zip(names, drawn, strict=True)), as_json)


@commands.command()
@_PLAN
@click.option("--out", default="", help="Folder to write into, else beside PLAN.")
@click.option(
    "--number", is_flag=True, help="First write a label number for each wire without one into PLAN."
)
@click.option("--year", "with_year", is_flag=True, help="Run years of weather, and put their sheet into it.")
@_JSON
def book(plan: Path, out: str, number: bool, with_year: bool, as_json: bool) -> None:
    """Print the van book of PLAN: one PDF, and its lists as CSV; then the paths written."""
    from loomwright import api
    from loomwright.errors import ChangedMeanwhile, MissingExtra, NoYearError, PlanError

    try:
        if number:
            click.echo(f"{plan}: {api.give_numbers(plan)} wires have got a number", err=True)
        with _patience("Trying cures on the plan, then printing ..."):
            read = api.read(plan)
            made = api.book_files(read, api.year(read) if with_year else None)
    except PlanError as unreadable:
        _say_unreadable(unreadable, as_json)
        sys.exit(UNREADABLE)
    except ChangedMeanwhile as changed:
        click.echo(f"{plan}: {changed}", err=True)
        sys.exit(UNREADABLE)
    except (NoYearError, MissingExtra) as lacking:
        click.echo(f"{plan}: {lacking}.", err=True)
        sys.exit(UNREADABLE)
    except OSError as missing:
        click.echo(f"{plan}: {missing.strerror or missing}. Give the path of a plan file.", err=True)
        sys.exit(UNREADABLE)
    _write(plan, out, made, as_json)


@commands.command()
@_PLAN
@click.option("--years", default=100, type=click.IntRange(1, 1000), help="How many years of weather.")
@click.option("--seed", default=0, type=click.IntRange(0), help="Another number, another weather.")
@_JSON
def year(plan: Path, years: int, seed: int, as_json: bool) -> None:
    """Run PLAN through years of weather: energy by month, flat nights, how long it holds out, promises."""
    from loomwright import api
    from loomwright.errors import MissingExtra, NoYearError, PlanError

    try:
        with _counting("Years of weather") as count:
            report = api.year(api.read(plan), years, seed, count)
    except PlanError as unreadable:
        _say_unreadable(unreadable, as_json)
        sys.exit(UNREADABLE)
    except (NoYearError, MissingExtra) as lacking:
        click.echo(f"{plan}: {lacking}.", err=True)
        sys.exit(UNREADABLE)
    except OSError as missing:
        click.echo(f"{plan}: {missing.strerror or missing}. Give the path of a plan file.", err=True)
        sys.exit(UNREADABLE)
    click.echo(json.dumps(report.as_dict(), ensure_ascii=False) if as_json else report.as_text())


@commands.command()
@_PLAN
@click.option("--budget", type=_Number(0.0), help="For battery, panels and charger, in the plan's money.")
@click.option("--payload", type=_Number(), help="So many kg may be added; else what the plan leaves.")
@click.option("--roof", type=_Number(0.0), help="Room for panels on the roof, in m².")
@click.option(
    "--nights",
    type=_Number(0.0),
    default=1.0,
    show_default=True,
    help="Flat nights a year put up with.",
)
@click.option("--years", default=100, type=click.IntRange(1, 1000), help="How many years of weather.")
@click.option("--seed", default=0, type=click.IntRange(0), help="Another number, another weather.")
@_JSON
def choose(
    plan: Path,
    budget: float | None,
    payload: float | None,
    roof: float | None,
    nights: float,
    years: int,
    seed: int,
    as_json: bool,
) -> None:
    """Try other batteries, panels, chargers on PLAN: flat nights against price and weight; what to take."""
    from loomwright import api
    from loomwright.errors import MissingExtra, NoYearError, PlanError

    try:
        with _counting("Designs") as count:
            report = api.choose(
                api.read(plan), budget=budget, payload_kg=payload, roof_m2=roof, nights=nights, years=years,
                seed=seed, progress=count,
            )  # fmt: skip
    except PlanError as unreadable:
        _say_unreadable(unreadable, as_json)
        sys.exit(UNREADABLE)
    except (NoYearError, MissingExtra) as lacking:
        click.echo(f"{plan}: {lacking}.", err=True)
        sys.exit(UNREADABLE)
    except OSError as missing:
        click.echo(f"{plan}: {missing.strerror or missing}. Give the path of a plan file.", err=True)
        sys.exit(UNREADABLE)
    click.echo(json.dumps(report.as_dict(), ensure_ascii=False) if as_json else report.as_text())


@contextmanager
def _patience(says: str) -> Iterator[None]:
    """Say on a terminal what is going on, if it takes longer than a moment."""
    if not sys.stderr.isatty():
        yield
        return
    later = threading.Timer(_MOMENT_S, click.echo, (says,), {"err": True})
    later.start()
    try:
        yield
    finally:
        later.cancel()


@contextmanager
def _counting(says: str) -> Iterator[Callable[[int, int], None] | None]:
    """Give a function that counts steps on a terminal, if they take longer than a moment."""
    if not sys.stderr.isatty():
        yield None
        return
    began, told = time.monotonic(), False

    def count(done: int, of: int) -> None:
        nonlocal told
        if time.monotonic() - began > _MOMENT_S:
            told = True
            click.echo(f"\r{says}: {100 * done // of} %", nl=False, err=True)

    try:
        yield count
    finally:
        if told:
            click.echo(err=True)


def _write(plan: Path, out: str, made: Mapping[str, bytes], as_json: bool) -> None:
    """Write files named after the plan beside it, or into the folder `out`, and print their paths."""
    folder = Path(out) if out else plan.parent
    paths = [folder / f"{plan.stem}-{name}" for name in made]
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path, data in zip(paths, made.values(), strict=True):
            path.write_bytes(data)
    except OSError as refused:
        click.echo(f"{folder}: {refused.strerror or refused}. Give a folder that can be written.", err=True)
        sys.exit(UNREADABLE)
    shown = [str(path) for path in paths]
    click.echo(json.dumps(shown, ensure_ascii=False) if as_json else "\n".join(shown))


@commands.command("open")
@click.argument("plan", type=click.Path(path_type=Path, dir_okay=False), required=False)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port to use, else a free one.")
@click.option("--browser/--no-browser", default=True, help="Open a browser where there is a screen.")
def open_(plan: Path | None, port: int, browser: bool) -> None:
    """Open PLAN in the browser; without one, a copy of the demo van.

    If there is no such file yet, the start sheet asks how to begin; the first save makes it.
    """
    from loomwright.errors import PlanError
    from loomwright.web.serve import serve
    from loomwright.web.start import table_for
    from loomwright.web.work import Work

    try:
        serve(Work(table_for(plan)), port=port, browser=browser, say=click.echo)
    except PlanError as unreadable:
        _say_unreadable(unreadable, False)
        sys.exit(UNREADABLE)
    except OSError as refused:
        click.echo(f"{plan or port}: {refused.strerror or refused}.", err=True)
        sys.exit(UNREADABLE)


@commands.command()
@_JSON
def schema(as_json: bool) -> None:
    """Print the JSON Schema of a plan."""
    from loomwright.plan.schema import plan_schema

    del as_json  # it is JSON either way
    click.echo(json.dumps(plan_schema(), ensure_ascii=False, indent=2))


def _say_unreadable(error: Exception, as_json: bool) -> None:
    from loomwright.errors import PlanError

    assert isinstance(error, PlanError)
    if as_json:
        problems = [
            {"file": p.file, "line": p.line, "column": p.column, "path": p.path, "says": p.says}
            for p in error.problems
        ]
        click.echo(json.dumps({"problems": problems}, ensure_ascii=False))
    else:
        click.echo(str(error), err=True)


#: What is worked out lives long and is thrown away whole: seldom looking for rings of objects saves a fifth.
SELDOM_COLLECTED = (50_000, 20, 50)


#: Networks are small: more threads of linear algebra wait for each other, and for whatever else runs.
ONE_THREAD = ("OPENBLAS_NUM_THREADS", "1")


def main() -> None:
    """Run the command line; a bug of ours ends with 3 and one line to report."""
    gc.set_threshold(*SELDOM_COLLECTED)
    os.environ.setdefault(*ONE_THREAD)
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(encoding="utf-8", errors="backslashreplace")
    try:
        commands.main(standalone_mode=True)
    except Exception as bug:
        where = _where(bug)
        click.echo(
            f"This is a bug of ours: {type(bug).__name__}: {bug} ({where}). Please report this line.",
            err=True,
        )
        sys.exit(OUR_BUG)


def _where(bug: BaseException) -> str:
    trace = bug.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    return "unknown" if trace is None else f"{Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno}"
