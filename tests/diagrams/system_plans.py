"""What the tests of the system sheet share: example vans, plans of many consumers, what is on a sheet."""

from functools import cache
from pathlib import Path

from loomwright.diagrams.system import system_sheets
from loomwright.drawing.frame import FIELD_BOX
from loomwright.drawing.scene import Sheet, Symbol, Text, texts_of
from loomwright.drawing.spacing import is_finding_sign
from loomwright.drawing.spacing_wires import score, wiring_violations
from loomwright.plan.read import read_plan
from loomwright.rules.check import Checked, check_plan
from tests.plans import random_plan

VANS = ("mossgrove", "alderford", "highcol", "amberquay", "saltpan", "planeshed")
RANDOM = ((0, 5), (1, 12), (2, 25), (3, 40), (4, 60), (5, 90), (0, 120))
EXAMPLES = Path(__file__).parents[2] / "examples"


@cache
def van(name: str) -> Checked:
    """Return an example van, checked."""
    return check_plan(read_plan((EXAMPLES / f"{name}.yaml").read_text("utf-8"), name))


@cache
def random_van(seed: int, wires: int) -> Checked:
    """Return a random van, checked."""
    return check_plan(read_plan(random_plan(seed, wires)))


@cache
def van_sheet(name: str) -> Sheet:
    """Return the system sheet of an example van."""
    return system_sheets(van(name))[0]


@cache
def random_sheet(seed: int, wires: int) -> Sheet:
    """Return the system sheet of a random van."""
    return system_sheets(random_van(seed, wires))[0]


def broken(sheet: Sheet) -> list[str]:
    """Return the spacing rules that a sheet breaks; bends are counted apart."""
    return [str(found) for found in wiring_violations(sheet.items) if found.rule != "bends"]


def most_bends(sheet: Sheet) -> int:
    """Return the bends of the wire that has most."""
    return score(sheet.items).most_bends


def texts(sheet: Sheet) -> list[Text]:
    """Return all texts of a sheet."""
    return [text for item in sheet.items for text in texts_of(item)]


def signs_of(sheet: Sheet) -> list[Symbol]:
    """Return the signs of findings in the field."""
    return [
        item
        for item in sheet.items
        if isinstance(item, Symbol) and is_finding_sign(item) and item.at[0] < FIELD_BOX.right
    ]


@cache
def with_consumers(count: int, *, name: str = "") -> Checked:
    """Return a plan whose fuse boxes feed so many consumers."""
    boxes = range(1, (count - 1) // 12 + 2)
    lines = ["loomwright: 1", "title: Many", "region: eu", "parts:"]
    lines += ["  battery: {kind: battery, chemistry: agm, capacity: 100 Ah}", "  bar: {kind: busbar}"]
    lines += [f"  P{box}: {{kind: fuse_box, ways: 12}}" for box in boxes]
    given = f", name: {name}" if name else ""
    lines += [f"  load_{k}: {{kind: load, running: 1.5 A{given}}}" for k in range(count)]
    lines += ["wiring:", "  main: {from: battery, fuse: 150 A bolted, to: bar, area: 35 mm², length: 1 m}"]
    lines += [f"  B{box}: {{from: bar, fuse: 30 A, to: P{box}, area: 6 mm², length: 1 m}}" for box in boxes]
    for k in range(count):
        way = f"P{k // 12 + 1}.{k % 12 + 1}"
        lines.append(
            f"  C{k}: {{from: {way}, fuse: 5 A, to: load_{k}, area: 2.5 mm², length: 3 m, return: wire}}"
        )
    return check_plan(read_plan("\n".join(lines)))
