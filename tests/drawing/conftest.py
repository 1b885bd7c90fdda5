"""Sheets that the drawing tests share: every sign, and a small scene with every kind of item."""

import pytest

from loomwright.drawing.geometry import Turn
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
