"""Sheets that the drawing tests share: every sign, and a small scene with every kind of item."""

from dataclasses import replace

import pytest

from loomwright.drawing.frame import Border, border_items
from loomwright.drawing.frame_foot import TitleBlock
from loomwright.drawing.frame_margin import MarginEntry
from loomwright.drawing.geometry import Placement, Point, Turn
from loomwright.drawing.scene import Drawn, Sheet, Symbol, Text, Wire
from loomwright.drawing.symbols import FINDINGS, SIGNS, bar, body_rail, rail, rail_head
from loomwright.drawing.symbols_contacts import selector
from loomwright.drawing.symbols_marks import charging_way
from loomwright.drawing.symbols_parts import converter, joint


@pytest.fixture(scope="session")
def all_signs() -> Sheet:
    """Return a sheet with every sign, its name and its terminals marked in the accent colour."""
    items: list[Drawn] = [Text((20, 15), "Signs", 5.0, 600)]
    extra = [selector(3, rests=None), selector(2, 17.6, 2), converter(49, 14), joint(2.0), charging_way(2.0)]
    signs = [*SIGNS.values(), *extra, *FINDINGS.values()]
    for index, sign in enumerate(signs):
        x, y = 32 + index % 9 * 43, 35 + index // 9 * 38
        if sign.name.startswith("charging"):
            items.append(Wire(((x, y - 8), (x, y + 8)), 2.0, ("RD", "YE")))
        values = (("number", "12"), ("in", "12"), ("out", "5 V"), ("text", "CO"))
        items.append(Symbol(sign, (x, y), values=values))
        for point in sign.terminals.values():
            at = (x + point[0], y + point[1])
            items.append(Symbol(SIGNS["terminal"], at, scale=0.3))
        items.append(Text((x, y + 17), sign.title, 2.9, anchor="middle", ink="grey"))
    return Sheet(width=420, height=297, title="Signs", description="All signs", items=tuple(items))


@pytest.fixture(scope="session")
def small_scene() -> Sheet:
    """Return a small sheet with rails, wires of all kinds, signs turned and mirrored, texts."""
    fuse, lamp, switch = SIGNS["fuse"], SIGNS["lamp"], SIGNS["switch"]
    items: list[Drawn] = [
        *rail_head("30a", "leisure battery plus, always live", (15, 20)),
        rail(15, 120, 22),
        *body_rail(15, 150, 110),
        bar(40, 90, 100),
    ]
    colours = [("RD", "YE"), ("BU",), ("WH",), ("GN", "YE"), ("BK",), ("PK",), ()]
    for column, pair in enumerate(colours):
        x = 25 + column * 14
        wire = Wire(((x, 22), (x, 45)), (0.7, 1.0, 2.0, 3.0)[column % 4], pair)
        items += [wire, Symbol(fuse, (x, 50)), Wire(((x, 55), (x, 70)), 0.7, pair)]
        turned = Symbol(lamp if column % 2 else switch, (x, 75), mirrored=column % 4 == 2)
        items += [turned, Wire(((x, 80), (x, 110)), 1.0, ("BK",))]
        items.append(Symbol(SIGNS["stud"], (x, 110)))
    turns: tuple[Turn, ...] = (0, 90, 180, 270)
    for place, turn in enumerate(turns):
        items.append(Symbol(SIGNS["diode"], (135, 20 + 20 * place), turn))
        items.append(Symbol(SIGNS["plug"], (150, 20 + 20 * place), turn, mirrored=True))
        items.append(
            Symbol(
                SIGNS["converter_12_15"], (170, 20 + 24 * place), turn, values=(("in", "12"), ("out", "5 V"))
            )
        )
    items += [
        Text((20, 122), "W4 RDYE 1.0 · 6.2 m · 141 mΩ ≥ 0.5 × −3", 3.6, 600),
        Text((20, 128), "second text, grey, 0.85 V 7.1 %", 2.9, ink="grey"),
        Text((110, 122), "mono 104", 3.6, mono=True),
        Text((160, 128), "on paper", 3.0, backed=True, anchor="end"),
        Text((190, 100), "ahead", 3.0, upright=False),
        Symbol(FINDINGS["danger"], (185, 20), values=(("number", "1"),)),
    ]
    return Sheet(width=200, height=135, title="Sample", description="", items=tuple(items))


def border(**changes: object) -> Border:
    """Return the border of an invented van's wiring sheet."""
    block = TitleBlock(
        van="Alderford", serial="001", region="UK, 12 V", title="Wiring diagram, 12 V side, part 1 of 2",
        revision="A", date="2026-11-25", sheet=2, sheets=9, drawn="own workshop",
        changes=(("A", "First issue, as the builder drew it; three findings"),),
        reads_with=("Sheet 1 system · 3 wiring, ways", "Set and checked by Loomwright"),
    )  # fmt: skip
    findings = (
        MarginEntry(
            number=1, severity="danger", name="T1, engine bay", spot="3.A",
            says="No fuse at the vehicle battery; T1 bypasses FC1. A chafe gives 896 A there, 154 A at the "
            "regulator: 160 °C after 0.06 to 1.9 s, and nothing opens.",
            cure="5 A blade in the spare way of FC1. Far short 126 A, 0.14 V at 1.5 A. Re-checked.",
        ),
        MarginEntry(
            number=2, severity="fault", name="Pump on C4", spot="3/12.D",
            says="1 mm² loses 1.36 V (11.3 %) at the 16 A start, on vehicle 1.55 V (12.9 %); limit 10 %.",
            cure="4 mm² feed and return, fuse 10 A stays: 0.59 V (4.9 %), on vehicle 6.5 %. Re-checked.",
        ),
        MarginEntry(
            number=3, severity="watch", name="Lights dip, V3", spot="12.C",
            says="On vehicle: lights dip 0.41 V when the pump starts, 0.19 V on leisure; limit 0.3 V.",
            cure="Bridge of KP from bar S to bar L: dip 0.00 V on vehicle. Re-checked.",
        ),
    )  # fmt: skip
    cautions = (
        "Take both battery minus leads off first: minus off first, minus on last. Rings and tools off.",
        "The vehicle battery gives 2.54 kA, the leisure battery 3.2 kA: a slip burns skin and starts fires.",
        "T1 passes FC1 by: no fuse of the carrier makes it dead. Earth on bare metal.",
        "Drawn at rest: engine off, selector on leisure, relays dropped out. No 230 V here.",
        "This sheet helps a competent person. It is not a certificate and replaces no local rule.",
    )
    names = (
        "fuse",
        "fuse_missing",
        "way_free",
        "relay_coil",
        "bus",
        "terminal",
        "joint_1.05",
        "switch",
        "stud",
    )
    asked: dict[str, object] = {
        "columns": 19, "title_block": block, "findings": findings, "cautions": cautions,
        "key": "Wire id · colour letters (IEC 60757) and mm² · length one way. Symbols after IEC 60617.",
        "signs": tuple(SIGNS[name] for name in names),
    }  # fmt: skip
    return Border(**{**asked, **changes})


@pytest.fixture(scope="session")
def sample_border():
    """Return the maker of a sample border, which takes changes to it."""
    return border


@pytest.fixture(scope="session")
def framed_sheet(small_scene: Sheet) -> Sheet:
    """Return a whole A3 sheet: a border around the small scene."""
    items = (*border_items(border()), *(moved(item, (40.0, 25.0)) for item in small_scene.items))
    return Sheet(width=420, height=297, title="Wiring diagram", description="A sample", items=items)


def moved(item: Drawn, by: Point) -> Drawn:
    """Return an item shifted."""
    shift = Placement(by)
    if isinstance(item, Wire):
        return replace(item, points=tuple(map(shift.point, item.points)))
    if isinstance(item, Text | Symbol):
        return replace(item, at=shift.point(item.at))
    return item.placed(shift)
