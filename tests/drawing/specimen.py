"""A small wiring diagram set by hand in the drawing language, as a layout engine would set it."""

from loomwright.drawing.frame import column_middle
from loomwright.drawing.ink import LEADER, LINKAGE, PLACE
from loomwright.drawing.scene import Drawn, Link, Polyline, Symbol, Text, Wire, rectangle
from loomwright.drawing.symbols import FINDINGS, SIGNS, bar, body_rail, rail, rail_head
from loomwright.drawing.symbols_marks import charging_way
from loomwright.drawing.symbols_parts import joint
from loomwright.drawing.wires import broken_at_crossings

BODY = 205.0


def x(column: int) -> float:
    """Return the middle of a column of 19."""
    return column_middle(column, 19)


def sign(name: str, at: tuple[float, float], part: str = "", **values: str) -> Symbol:
    """Return a sign of a part, with texts in its slots."""
    of = Link("part", part) if part else None
    return Symbol(SIGNS[name], at, values=tuple(values.items()), of=of)


def label(wire: str, colours: str, length: str, at: tuple[float, float]) -> list[Drawn]:
    """Return the three lines that stand beside a wire."""
    (left, y), of = at, Link("wire", wire)
    return [
        Text((left, y), wire, 3.6, 600, of=of),
        Text((left, y + 3.8), colours, 3.6, 500, of=of),
        Text((left, y + 7.6), length, 2.9, ink="grey", of=of),
    ]


def sources() -> list[Drawn]:
    """Return the alternator, the vehicle battery and the feed that lacks a fuse."""
    return [
        *rail_head("30", "vehicle battery plus, always live", (30, 26)),
        rail(30, x(4) + 3, 28),
        Wire(((x(1), 28), (x(1), 114)), 0.7),
        Symbol(SIGNS["generator"], (x(1), 120), of=Link("part", "alternator")),
        Wire(((x(1), 126), (x(1), BODY)), 0.7),
        Symbol(joint(), (x(1), 28)),
        Text((x(1) + 2, 60), "factory", 2.9, ink="grey"),
        Text((x(1) + 2, 131), "alternator", 3.0, 600),
        Wire(((x(2), 28), (x(2), 116.5)), 0.7),
        Symbol(SIGNS["battery"], (x(2), 120), of=Link("part", "starter")),
        Wire(((x(2), 123.5), (x(2), BODY)), 0.7),
        Symbol(joint(), (x(2), 28)),
        sign("stud", (x(2), BODY), "E0"),
        Text((x(2) + 3, BODY + 7.6), "E0", 5.0, 600),
        Wire(((x(3), 28), (x(3), 104)), 1.0, ("RD", "GY"), of=Link("wire", "T1")),
        Symbol(SIGNS["fuse_missing"], (x(3), 43), of=Link("wire", "T1")),
        Symbol(FINDINGS["danger"], (x(3) - 8, 43), values=(("number", "1"),), of=Link("finding", "1")),
        *label("T1", "RDGY 1.5", "5.7 m", (x(3) + 2.4, 60)),
        Symbol(charging_way(1.0), (x(3), 92), of=Link("wire", "T1")),
        rectangle(x(3) - 8, 104, 16, 14),
        sign("terminal", (x(3), 104)),
        Text((x(3), 112), "regulator", 3.0, 600, "middle"),
        *(Symbol(SIGNS["stud"], (x(9), BODY), of=Link("stud", "E2")),),
        Text((x(9) + 3, BODY + 7.6), "E2", 5.0, 600),
    ]  # fmt: skip


def fuse_box() -> list[Drawn]:
    """Return a fuse box with two ways in use and one free, in the outline of its place."""
    items: list[Drawn] = [
        *rail_head("30a", "leisure battery plus, always live", (x(5), 26)),
        rail(x(5), x(10), 28),
        Wire(((x(6), 28), (x(6), 52)), 2.0, ("RD",), of=Link("wire", "W2")),
        bar(x(6) - 3, x(8) + 3, 52),
        rectangle(x(6) - 11, 42, x(8) - x(6) + 24, 40, pen=PLACE, layer="places"),
        Text((x(7) + 2, 47), "P1 fuse box", 3.6, 600),
        *label("W2", "RD 16", "0.6 m", (x(6) + 3, 32)),
    ]
    for way, (column, rating) in enumerate(((6, "10 A"), (7, "5 A"), (8, ""))):
        name = "fuse" if rating else "way_free"
        items += [
            Wire(((x(column), 52), (x(column), 58)), 0.35, dash=() if rating else (1.6, 1.2)),
            sign(name, (x(column), 63), f"P1.{way + 1}"),
            Wire(((x(column), 68), (x(column), 82)), 0.35, dash=() if rating else (1.6, 1.2)),
            sign("terminal", (x(column), 82)),
            Text(
                (x(column) + 3.2, 64.2),
                rating or "free",
                3.6 if rating else 2.9,
                ink="ink" if rating else "grey",
            ),
            Text((x(column) - 3.4, 80.4), str(way + 1), 2.9),
        ]
    return items


def pump() -> list[Drawn]:
    """Return a pump with its pressure switch, in a box with terminals."""
    w4, w4_return = Link("wire", "W4"), Link("wire", "W4.return")
    return [
        Wire(((x(6), 82), (x(6), 120)), 0.7, ("RD", "YE"), of=w4),
        *label("W4", "RDYE 1.0", "6.2 m", (x(6) - 15, 92)),
        rectangle(x(6) - 9.5, 120, 17, 37),
        sign("terminal", (x(6), 120), "pump"),
        Wire(((x(6), 120), (x(6), 126)), 0.35),
        sign("pressure_switch", (x(6), 131), "pump"),
        Wire(((x(6), 136), (x(6), 140)), 0.35),
        sign("motor", (x(6), 146), "pump"),
        Wire(((x(6), 152), (x(6), 157)), 0.35),
        sign("terminal", (x(6), 157), "pump"),
        Text((x(6) + 8.6, 140), "pump", 3.0, 600),
        Symbol(FINDINGS["fault"], (x(6) + 12.4, 146), values=(("number", "2"),), of=Link("finding", "2")),
        Wire(((x(6), 157), (x(6), 195)), 0.7, ("BK",), of=w4_return),
        *label("W4.return", "BK 1.0", "0.4 m", (x(6) - 17, 172)),
        bar(x(6) - 3, x(9) + 3, 195),
        Wire(((x(9), 195), (x(9), BODY)), 1.0, ("BK",)),
    ]


def lamps() -> list[Drawn]:
    """Return two lamps behind a switch and a plug, their returns on the bar."""
    w5 = Link("wire", "W5")
    return [
        Wire(((x(7), 82), (x(7), 90)), 0.7, ("WH",), of=w5),
        sign("switch", (x(7), 95), "S1"),
        Wire(((x(7), 100), (x(7), 107)), 0.7, ("WH",), of=w5),
        sign("plug", (x(7), 112), "X3"),
        Text((x(7) + 3.6, 113), "X3:1", 2.9, 600),
        Wire(((x(7), 117), (x(7), 150)), 0.7, ("WH",), of=w5),
        sign("lamp", (x(7), 155), "lamp_1"),
        Wire(((x(7), 160), (x(7), 195)), 0.7, ("BK",), of=Link("wire", "W5.return")),
        Symbol(joint(), (x(7), 126), of=w5),
        Wire(((x(7), 126), (x(8), 126), (x(8), 150)), 0.7, ("WH",), of=w5),
        sign("lamp", (x(8), 155), "lamp_2"),
        Wire(((x(8), 160), (x(8), 195)), 0.7, ("BK",), of=Link("wire", "W5.return")),
        *label("W5", "WH 1.0", "2.4 m", (x(7) + 2.4, 132)),
        Text((x(8) - 6.4, 96), "S1", 3.6, 600),
    ]


def relay() -> list[Drawn]:
    """Return a sensing relay that a wire passes on its way, with both heavy terminals above."""
    top, left, right = 128.0, x(10), x(11)
    return [
        rail(x(10) - 14, x(12), 100),
        Wire(((left, 100), (left, top)), 2.0, ("RD",), of=Link("wire", "W1")),
        Wire(((right, 100), (right, top)), 2.0, ("RD",), of=Link("wire", "W1")),
        rectangle(left - 8, top, right - left + 16, 36),
        sign("terminal", (left, top), "K1"),
        sign("terminal", (right, top), "K1"),
        Text((left + 2, top + 4), "30", 2.9),
        Text((right - 5, top + 4), "87", 2.9),
        Wire(((left, top), (left, top + 12), (left + 3.8, top + 12)), 0.35),
        Symbol(SIGNS["relay_contact"], (left + 8.8, top + 12), 270, of=Link("part", "K1")),
        Wire(((left + 13.8, top + 12), (right, top + 12), (right, top)), 0.35),
        sign("sensing", (left + 1, top + 24), "K1"),
        Polyline(((left + 6, top + 24), (left + 8.8, top + 24), (left + 8.8, top + 14.2)), LINKAGE),
        Text((right - 7, top + 28), "≥ 13.3 V", 2.9),
        Text((left - 8, top + 40), "K1", 3.6, 600),
        Symbol(FINDINGS["watch"], (left + 4, top + 41), values=(("number", "3"),), of=Link("finding", "3")),
        Polyline(((left - 3, top + 41), (left - 0.2, top + 41)), LEADER, of=Link("finding", "3")),
        Wire(((x(9) + 4, 60), (x(12), 60)), 0.7, ("BU",), of=Link("wire", "D1")),
        sign("terminal", (x(9) + 4, 60)),
        sign("goes_on", (x(12), 60)),
        Text((x(12) + 5, 61), "3/1.A", 2.9, ink="grey"),
        Wire(((x(10), 28), (x(10), 100)), 1.0, ("VT",), of=Link("wire", "W6")),
    ]


def wiring() -> tuple[Drawn, ...]:
    """Return the whole specimen."""
    items = [*body_rail(29, 358, BODY), *sources(), *fuse_box(), *pump(), *lamps(), *relay()]
    return broken_at_crossings(items)
