"""What a page shows of the plan at one moment: the sheet, the findings, the chosen thing and its slip.

One request brings all of it, so that a page never shows a drawing of one revision beside figures of another.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from loomwright.assessment.energy.day_flows import day_flows, months_of_use
from loomwright.assessment.looms import Looms
from loomwright.assessment.which import seen
from loomwright.diagrams.modes import told_rows
from loomwright.diagrams.van import By
from loomwright.documents.energy import HEADS, energy_rows
from loomwright.documents.lists import Lists
from loomwright.documents.report import is_listed
from loomwright.documents.year import MONTH_HEADS
from loomwright.drawing.svg import to_svg
from loomwright.errors import PlanError
from loomwright.plan.calendar import MONTH_NAMES
from loomwright.plan.kinds import has_terminal, usual_passage
from loomwright.plan.tree import Map, Node, parse
from loomwright.rules.finding import SEVERITIES

from . import mains, slip, van
from .accepting import taken_of
from .entries import is_there
from .forms import PASSED
from .grouping import SEVERITY, grouped
from .markup import fill
from .playing import Play, Played
from .reading import SELDOM, Reading
from .thing import Thing
from .work import Moment

#: The sheets, in the order of their tabs, with the names on them.
SHEETS = {
    "system": "System",
    "wiring": "Wiring",
    "van": "Van",
    "loom": "Loom",
    "modes": "Modes",
    "faults": "Faults",
    "energy": "Energy",
    "mains": "Mains",
    "list": "Lists",
}
#: Of these there may be several.
_SEVERAL = ("wiring", "loom", "modes", "faults")
#: The lists of the Lists sheet that every van has, by the names of their heads.
LISTED = (
    ("findings", "Findings"),
    ("wires", "Wires"),
    ("circuits", "Circuits"),
    ("modes", "Who feeds what"),
    ("studs", "Studs"),
    ("parts", "Parts"),
)
#: The sheet of the year, only where there is a season of use and a house battery.
ENERGY = "energy"
#: The sheet that may have the mean day of a month.
SYSTEM = "system"
#: First shown.
FIRST = "wiring-1"


@dataclass(frozen=True, slots=True)
class Tab:
    """One sheet of paper: its key in addresses, and what stands on its tab."""

    key: str
    number: int
    name: str


@dataclass(frozen=True, slots=True)
class Group:
    """The sheets of one kind, under one tab: its number key, its name, the sheets in order."""

    number: int
    name: str
    sheets: tuple[Tab, ...]


@dataclass(frozen=True, slots=True)
class Wanted:
    """What a page asks to see.

    Attributes
    ----------
    sheet : str
        Key of a sheet; the first one if there is no such sheet.
    chosen : Thing or None
        The thing whose reasons are shown.
    evening : bool
        In the evening colours.
    by : str
        What findings are grouped by: "severity" or "place".
    played : Played or None
        The state that is played; None: all is at rest.
    band : str
        What the bands of the van sheet say: "current", "drop", "opening"; "" for none.
    as_list : bool
        The van sheet as a list of places and paths.
    month : str
        Whose mean day the system sheet has: "" for that of the smallest margin, "none" for none.
    mains : mapping of str to str
        What is chosen on the sheet Mains.
    """

    sheet: str = FIRST
    chosen: Thing | None = None
    evening: bool = False
    by: str = SEVERITY
    played: Played | None = None
    band: By = ""
    as_list: bool = False
    month: str = ""
    mains: Mapping[str, str] = field(default_factory=dict)


def board(moment: Moment, wanted: Wanted) -> dict[str, Any]:
    """Return all that a page shows, as JSON: texts, and pieces of markup ready to be put in their places."""
    reading = moment.reading
    name = wanted.sheet.partition("-")[0]
    if name in SELDOM:
        reading.sheets(name)
    tabs = tabs_of(reading)
    tab = next((tab for tab in tabs if tab.key == wanted.sheet), None) or _first(tabs, name)
    things = things_of(reading, tabs)
    chosen = _chosen(reading, wanted, things)
    play = Play(reading, wanted.played) if wanted.played is not None else None
    return {
        "rev": moment.rev,
        "title": reading.plan.title,
        "file": moment.file,
        "unsaved": moment.unsaved,
        "has_file": moment.path is not None,
        "readable": not moment.problems,
        "undo": moment.undo,
        "redo": moment.redo,
        "sheet": tab.key,
        "drawing": _drawing(reading, tab, wanted, play),
        "mains": mains.told(reading, wanted.mains) if tab.key == mains.MAINS else None,
        "playing": None if play is None else play.told(),
        "play": "" if play is None else play.strip(),
        "chosen": None if chosen is None else chosen._asdict(),
        "marks": [thing._asdict() for thing in slip.marked(reading, chosen)] if chosen else [],
        "things": [thing._asdict() | told for thing, told in things.items()],
        "lines": entry_lines(moment.text, slip.entry_of(reading, chosen)) if chosen else None,
        **_of_van(reading, tab, wanted),
        "loom": _beside(reading, tab, wanted),
        "caution": _caution(reading, play),
        "tabs": fill("tabs.html", groups=groups_of(tabs), shown=tab.key),
        "ledge": _ledge(moment, chosen, wanted.by),
        "block": fill("block.html", moment=moment, tab=tab, tabs=tabs, plan=reading.plan),
        "problems": [
            {"line": problem.line, "at": problem.path, "says": problem.says} for problem in moment.problems
        ],
        "slip": slip.slip(moment, chosen, things, play.fed_now(chosen) if play else "") if chosen else "",
    }


def month_of(reading: Reading, asked: str) -> str:
    """Return the month that a page asks for; the one of the smallest margin if the van is not used then."""
    return asked if asked in ("none", *months_of_use(reading.checked.assessment)) else ""


def _of_van(reading: Reading, tab: Tab, wanted: Wanted) -> dict[str, Any]:
    """Return what the van sheet needs beside its drawing, and shorts along the wires."""
    name, _, number = tab.key.partition("-")
    nothing = {"van": "", "moving": None, "along": None, "figures": None}
    if name == "faults":
        return nothing | {"along": van.along_of_wiring(reading, int(number) - 1)}
    if tab.key != van.VAN_SHEET:
        return nothing
    drawing = reading.van(wanted.band)
    drawn = bool(drawing.spots) and not wanted.as_list
    return {
        "van": van.strip(reading, wanted.band, wanted.as_list),
        "moving": van.moving(drawing) if drawn else None,
        "along": van.along_of_van(drawing) if drawn and wanted.band == van.OPENING else None,
        "figures": van.figures_of_van(drawing) if drawn and wanted.band in van.FIGURED else None,
    }


def _beside(reading: Reading, tab: Tab, wanted: Wanted) -> str:
    """Return what stands over a sheet beside its drawing."""
    if tab.key == ENERGY:
        return _of_energy(reading, wanted.evening)
    return _of_system(reading, wanted.month) if tab.key == SYSTEM else _of_loom(reading, tab)


def _of_system(reading: Reading, month: str) -> str:
    """Return the months whose day the system sheet may have; nothing for a van of which no use is known."""
    tightest = day_flows(reading.checked.assessment)
    if tightest is None:
        return ""
    months = {one: MONTH_NAMES[one] for one in months_of_use(reading.checked.assessment)}
    shown = month_of(reading, month) or tightest.month
    return fill("system_strip.html", months=months, shown=shown, tightest=tightest.month)


def _of_loom(reading: Reading, tab: Tab) -> str:
    """Return what stands over a loom sheet: what of it can be printed."""
    if tab.key.partition("-")[0] != "loom":
        return ""
    looms = Looms(reading.checked.assessment).looms
    return fill("loom_strip.html", boards=any(loom.known for loom in looms))


def _of_energy(reading: Reading, evening: bool) -> str:
    """Return the year in words, once it is there, what may be supposed, and what else could be fitted."""
    came = reading.yearly.came
    if came is None:
        return ""
    report = came.report
    rows, said = (report.months(), report.said()) if report is not None else ([], [])
    heads: tuple[str, ...] = MONTH_HEADS
    if report is None:
        heads, rows = HEADS, energy_rows(reading.checked.assessment)
    words = fill("energy_strip.html", why=came.why, said=said, heads=heads, rows=rows)
    if report is None:
        return words
    return words + reading.supposing.markup() + reading.choosing.markup(evening)


def _caution(reading: Reading, play: Play | None) -> str:
    state = play.title.replace("_", " ") if play is not None else ""
    return fill("caution.html", dangers=reading.report.dangers, title=reading.plan.title, state=state)


def _ledge(moment: Moment, chosen: Thing | None, by: str) -> str:
    findings = moment.reading.checked.findings
    taken = [taken_of(moment.reading.plan, finding) for finding in findings]
    groups = grouped(findings, by)
    return fill("ledge.html", groups=groups, by=by, taken=taken, chosen=chosen, moment=moment)


def tabs_of(reading: Reading) -> list[Tab]:
    """Return the sheets of a plan, in order."""
    keys: list[str] = []
    names: list[str] = []
    for sheet, name in SHEETS.items():
        if sheet == ENERGY and not reading.yearly.has_tab():
            continue
        if sheet not in _SEVERAL:
            keys, names = [*keys, sheet], [*names, name]
            continue
        like = "wiring" if sheet == "faults" else sheet  # the same sheets; drawn when they are asked for
        count = max(1, len(reading.shown(like)))
        keys += [f"{sheet}-{number}" for number in range(1, count + 1)]
        names += _numbered(name, count)
    return [Tab(key, number, name) for number, (key, name) in enumerate(zip(keys, names, strict=True), 1)]


def groups_of(tabs: list[Tab]) -> list[Group]:
    """Return the sheets by kind, in order: each kind has one tab, and its sheets are chosen inside it."""
    kinds = [[tab for tab in tabs if tab.key.partition("-")[0] == sheet] for sheet in SHEETS]
    there = [(name, sheets) for name, sheets in zip(SHEETS.values(), kinds, strict=True) if sheets]
    return [Group(number, name, tuple(sheets)) for number, (name, sheets) in enumerate(there, 1)]


def things_of(reading: Reading, tabs: list[Tab]) -> dict[Thing, dict[str, Any]]:
    """Return everything that can be chosen: its name, and the wiring sheets that show it in their field."""
    shown: dict[Thing, list[str]] = {}
    for tab in tabs[1:]:
        name, _, number = tab.key.partition("-")
        if name not in ("faults", ENERGY, mains.MAINS, "list"):
            on_it = [Thing(*one) for one in next(iter(reading.shown(name)[int(number or 1) - 1 :]), ())]
            for thing in on_it:
                if name not in SELDOM or _is_there(reading, thing):
                    shown.setdefault(thing, []).append(tab.key)
    for keys in shown.values():
        keys += [key.replace("wiring", "faults") for key in keys if key.startswith("wiring")]
    job = reading.checked.assessment
    things = [*shown]
    things += [Thing("part", id) for id in reading.plan.parts]
    things += [Thing("stud", id) for id in reading.plan.studs]
    things += [Thing("place", id) for id in reading.plan.places]
    things += [Thing("wire", id) for id in job.wires]
    things += [Thing("finding", str(number)) for number in range(1, len(reading.checked.findings) + 1)]
    wires = {id: f"{one.words}; {one.where}" for id, one in seen(job).items()}
    return {
        thing: _told(reading, thing, shown.get(thing, []))
        | ({"said": wires[thing.id]} if thing.kind == "wire" and thing.id in wires else {})
        for thing in dict.fromkeys(things)
    }


def _is_there(reading: Reading, thing: Thing) -> bool:
    """Say whether a thing that stood on a sheet before the last change is still in the plan."""
    plan, job = reading.plan, reading.checked.assessment
    known = {"part": job.wiring.parts, "stud": plan.studs, "place": plan.places, "wire": job.wires}
    if thing.kind == "entry":
        section, _, id = thing.id.partition(".")
        return section == "paths" and id in plan.paths
    return thing.id in known.get(thing.kind, ())


def _told(reading: Reading, thing: Thing, sheets: list[str]) -> dict[str, Any]:
    part = reading.plan.parts.get(thing.id) if thing.kind == "part" else None
    passes = part is not None and part.kind in PASSED and usual_passage(part) is not None
    return {"name": slip.name_of(reading, thing), "sheets": sheets, "passes": passes}


def entry_lines(text: str, at: tuple[str, ...]) -> tuple[int, int] | None:
    """Return the first and last line of an entry, such as ("wiring", "W4"); None if it has none."""
    if not at:
        return None
    try:
        node: Node = parse(text)
    except PlanError:
        return None
    first = 1
    for name in at:
        entries = {key.text: (key, value) for key, value in node.entries} if isinstance(node, Map) else {}
        if name not in entries:
            return None
        key, node = entries[name]
        first = key.line
    last = text.count("\n", 0, max(node.end - 1, 0)) + 1
    return first, max(first, last)


def _chosen(reading: Reading, wanted: Wanted, things: Mapping[Thing, Any]) -> Thing | None:
    """Return what is chosen: of a finding the thing it is about, for its number changes when another goes."""
    thing = wanted.chosen
    if thing is None or thing.kind == "add":
        return thing
    if thing.kind == "entry":
        return thing if is_there(reading.plan, thing) else None
    if thing.kind == "terminal":
        return thing if _has_terminal(reading, thing) else None
    if thing not in things:
        return None
    return slip.subject(reading, thing) if thing.kind == "finding" else thing


def _has_terminal(reading: Reading, thing: Thing) -> bool:
    id, _, terminal = thing.id.partition(".")
    part = reading.checked.assessment.wiring.parts.get(id) or reading.plan.parts.get(id)
    return part is not None and has_terminal(part, terminal)


def _drawing(reading: Reading, tab: Tab, wanted: Wanted, play: Play | None) -> str:
    if tab.key == "list":
        return _lists(reading, wanted.by)
    if tab.key == mains.MAINS:
        return mains.sheet(reading, wanted.mains)
    name, _, number = tab.key.partition("-")
    if tab.key == van.VAN_SHEET:
        if wanted.as_list or not reading.van(wanted.band).spots:
            return van.listed(reading)
        name = reading.van_name(wanted.band)
    if name == SYSTEM:
        name = reading.system_name(month_of(reading, wanted.month))
    if name == ENERGY and reading.yearly.came is None:
        rows = energy_rows(reading.checked.assessment)
        return fill("energy.html", heads=HEADS, rows=rows)
    if not reading.sheets(name):
        return fill("undrawn.html", name=SHEETS[tab.key.partition("-")[0]])
    if play is not None and name == "wiring":
        sheet = reading.wiring.sheet(int(number) - 1, play.figure, play.flow)
        return to_svg(sheet, inline_fonts=False, evening=wanted.evening).decode()
    return reading.svg(name, int(number or 1) - 1, wanted.evening)


def _lists(reading: Reading, by: str) -> str:
    """Return what the drawings say once more as tables."""
    job, loom = reading.checked.assessment, Lists(reading.checked.assessment).every
    return fill(
        "list.html",
        index=(*LISTED, *((one.name, one.title) for one in loom)),
        loom=loom,
        report=reading.report,
        plan=reading.plan,
        severities=SEVERITIES,
        groups=grouped(reading.checked.findings, by),
        by=by,
        taken=[taken_of(reading.plan, finding) for finding in reading.checked.findings],
        wires=[wire for wire in job.wires.values() if is_listed(wire)],
        circuits=[one for one in job.circuits.values() if one.path != "signal" and "/" not in one.id],
        known={
            "wire": job.wires.keys(),
            "part": reading.plan.parts.keys(),
            "stud": job.studs.keys(),
            "place": reading.plan.places.keys(),
        },
        modes=[name.replace("_", " ") for name in job.modes.figures],
        fed=told_rows(job),
    )


def _first(tabs: list[Tab], name: str) -> Tab:
    """Return the last sheet of a name, where there are fewer by now; else the first one of all."""
    like = [tab for tab in tabs if tab.key.partition("-")[0] == name]
    return like[-1] if like else next(tab for tab in tabs if tab.key == FIRST)


def _numbered(name: str, count: int) -> list[str]:
    return [name] if count == 1 else [f"{name} {number}" for number in range(1, count + 1)]
