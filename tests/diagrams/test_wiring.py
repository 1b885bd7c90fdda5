"""The wiring diagram of the example vans: complete, kept apart, its figures those of the check.

Spacing is measured on the scene, before any writer. The pictures of the six vans are left in
tests/out/wiring, to be looked at, in colour at A3 and without colour at A4.
"""

import re
from functools import cache
from pathlib import Path

import pymupdf
import pytest

from loomwright.diagrams.wiring import wiring_sheets
from loomwright.diagrams.wiring.network import low_wires
from loomwright.documents.report import Report
from loomwright.drawing.frame import column_row
from loomwright.drawing.ink import BUSBAR
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Polyline, Sheet, Symbol, Text, Wire, texts_of
from loomwright.drawing.spacing import is_finding_sign
from loomwright.drawing.spacing_wires import bend_faults, score, wiring_violations
from loomwright.drawing.svg import to_svg
from loomwright.plan.read import read_plan
from loomwright.rules.check import Checked, check_plan

VANS = ("mossgrove", "alderford", "highcol", "amberquay", "saltpan", "planeshed")
EXAMPLES = Path(__file__).parents[2] / "examples"
OUT = Path(__file__).parents[1] / "out" / "wiring"


@cache
def checked(van: str) -> Checked:
    """Return an example van with its findings."""
    return check_plan(read_plan((EXAMPLES / f"{van}.yaml").read_text("utf-8"), f"{van}.yaml"))


@cache
def sheets(van: str) -> tuple[Sheet, ...]:
    """Return the wiring diagram of an example van."""
    return wiring_sheets(checked(van))


def words(sheet: Sheet) -> list[str]:
    """Return all texts of a sheet."""
    return [text.text for item in sheet.items for text in texts_of(item)]


@pytest.mark.parametrize("van", VANS)
def test_nothing_is_too_near_to_anything(van: str):
    for sheet in sheets(van):
        assert [str(fault) for fault in wiring_violations(sheet.items)] == []
        assert bend_faults(sheet.items, 3) == ()


@pytest.mark.parametrize("van", VANS)
def test_few_crossings(van: str):
    for sheet in sheets(van):
        assert score(sheet.items).crossings <= 19 / 2


@pytest.mark.parametrize("van", VANS)
def test_every_wire_stands_on_one_sheet(van: str):
    """A wire that runs across to its unit on another sheet is the only one that stands on two."""
    job = checked(van).assessment
    on: dict[str, set[int]] = {}
    across: set[str] = set()
    for place, sheet in enumerate(sheets(van)):
        for item in sheet.items:
            if isinstance(item, Wire) and item.of is not None and item.of.kind == "wire":
                on.setdefault(item.of.id, set()).add(place)
            if isinstance(item, Symbol) and item.sign.name == "goes_on" and item.of is not None:
                across.add(item.of.id)
    assert set(on) == set(low_wires(job.wiring))
    assert {id for id, places in on.items() if len(places) > 1} <= across


@pytest.mark.parametrize("van", VANS)
def test_no_mains_wire_is_drawn(van: str):
    wiring = checked(van).assessment.wiring
    mains = {piece.id for flat in wiring.runs.values() if flat.mains for piece in flat.pieces}
    drawn = {
        item.of.id for sheet in sheets(van) for item in sheet.items if item.of and item.of.kind == "wire"
    }
    assert not drawn & mains


@pytest.mark.parametrize("van", VANS)
def test_every_wired_part_is_named(van: str):
    """Each part that a 12/24 V wire ends on carries its link somewhere on the sheets."""
    wiring = checked(van).assessment.wiring
    shown = {
        item.of.id for sheet in sheets(van) for item in sheet.items if item.of and item.of.kind == "part"
    }
    low = set(low_wires(wiring))
    met = {wiring.part_of(point) for p in wiring.pieces() if p.id in low for point in (p.a, p.b)}
    plain_splices = {id for id, part in wiring.parts.items() if part.kind == "splice"}
    single_boxes = {id for id, part in wiring.parts.items() if part.kind == "fuse_box" and part.ways == 1}
    assert {id for id in met if id} - plain_splices - single_boxes <= shown


@pytest.mark.parametrize("van", VANS)
def test_figures_are_those_of_the_check(van: str):
    """Volts and percents in the feet, areas and lengths on the wires: each is one of `check --json`."""
    report = Report(checked(van)).as_dict()
    circuits = report["circuits"]
    assert isinstance(circuits, list)
    drops = {
        f"{c[volts]:.2f} V {c[pct]:.1f} %"
        for c in circuits
        for volts, pct in (("drop_v", "drop_pct"), ("start_drop_v", "start_drop_pct"))
        if c[volts] is not None
    }
    wires = report["wires"]
    assert isinstance(wires, list)
    lengths = {f"{wire['length_m']:.1f} m" for wire in wires if wire["length_m"]}
    seen = 0
    for sheet in sheets(van):
        for item in sheet.items:
            for text in texts_of(item):
                if item.layer == "frame" and (found := re.search(r"\d+\.\d\d V \d+\.\d %", text.text)):
                    seen += 1
                    assert found.group() in drops
                if item.of is not None and item.of.kind == "wire":
                    for metres in re.findall(r"\d+\.\d m(?=\*|$)", text.text):
                        seen += 1
                        assert metres in lengths
    assert seen > 3


@pytest.mark.parametrize("van", VANS)
def test_colour_and_size_stand_beside_the_wire(van: str):
    report = Report(checked(van)).as_dict()
    wires = report["wires"]
    assert isinstance(wires, list)
    by_id = {wire["id"]: wire for wire in wires}
    full = 0
    for sheet in sheets(van):
        for item in sheet.items:
            if item.layer != "text" or item.of is None or item.of.id not in by_id:
                continue
            for text in texts_of(item):
                found = re.match(r"(?:.* )?([A-Z]{2}(?:[A-Z]{2})?) (\d+(?:\.\d+)?)(?=\*|,| |$)", text.text)
                if found and "AWG" not in text.text:
                    wire = by_id[item.of.id]
                    assert found.group(1) == wire["colour"]
                    assert float(found.group(2)) == pytest.approx(wire["area_mm2"])
                    full += 1
    assert full >= 0.8 * sum(
        1 for wire in by_id.values() if wire["area_mm2"] and wire["id"] in shown_ids(van)
    )


def shown_ids(van: str) -> set[str]:
    """Return the ids of the wires on the sheets of a van."""
    return {item.of.id for sheet in sheets(van) for item in sheet.items if isinstance(item, Wire) and item.of}


@pytest.mark.parametrize("van", VANS)
def test_signs_stand_where_the_margin_says(van: str):
    for place, sheet in enumerate(sheets(van)):
        in_field = {
            dict(item.values)["number"]: column_row(item.at, 19)
            for item in sheet.items
            if isinstance(item, Symbol) and is_finding_sign(item) and item.at[0] < 360.0 and item.values
        }
        margin = [item for item in sheet.items if item.of and item.of.kind == "finding"]
        listed = {item.of.id for item in margin if isinstance(item, Text) and item.of}
        for number, spot in in_field.items():
            told = {
                item.text for item in margin if isinstance(item, Text) and item.of and item.of.id == number
            }
            assert number not in listed or spot in told, (place, number, spot)


@pytest.mark.parametrize("van", ["mossgrove", "highcol", "saltpan", "alderford"])
def test_each_finding_on_a_shown_thing_has_its_sign(van: str):
    signs = {
        dict(item.values)["number"]
        for sheet in sheets(van)
        for item in sheet.items
        if isinstance(item, Symbol) and is_finding_sign(item) and item.values and item.at[0] < 360.0
    }
    shown = shown_ids(van)
    wanted = {str(n) for n, one in enumerate(checked(van).findings, 1) if one.where in shown}
    assert wanted <= signs


@pytest.mark.parametrize("van", VANS)
def test_same_plan_same_bytes(van: str):
    again = wiring_sheets(check_plan(checked(van).assessment.plan))
    assert [to_svg(a, inline_fonts=False) for a in again] == [
        to_svg(b, inline_fonts=False) for b in sheets(van)
    ]


def test_terminal_numbers_stand_on_the_rails():
    assert {"30", "30a", "D+", "87", "85", "86"} <= set(words(sheets("amberquay")[0]))
    assert {"31", "body, steel"} <= set(words(sheets("mossgrove")[0]))


def test_relay_halves_name_each_other():
    """Coil on one column, contact on another: each carries the column.row of the other one."""
    for relay in ("KS", "KM", "KL", "KP"):
        coil, contact = half("coil", relay), half("contact", relay)
        assert told(coil[0], relay, r"(?:\d+/)?\d+\.[A-F]") == [spot_from(coil[0], *contact)]
        assert told(contact[0], relay, r"coil .*") == [f"coil {spot_from(contact[0], *coil)}"]


def half(name: str, relay: str) -> tuple[int, str]:
    """Return sheet and column.row of the coil or the contact of a relay in Alderford's unit."""
    found = [
        (place, column_row(item.at, 19))
        for place, sheet in enumerate(sheets("alderford"))
        for item in sheet.items
        if isinstance(item, Symbol) and item.of and item.of.id == f"U1/{relay}"
        if item.sign.name != "terminal" and ("coil" in item.sign.name) == (name == "coil")
    ]
    assert len(found) == 1, (relay, name)
    return found[0]


def spot_from(here: int, there: int, spot: str) -> str:
    """Return how a spot is written on a sheet: with the other sheet's number if it stands there."""
    return spot if here == there else f"{there + 1}/{spot}"


def told(place: int, relay: str, pattern: str) -> list[str]:
    """Return the words of a pattern beside a relay on a sheet."""
    return [
        item.text
        for item in sheets("alderford")[place].items
        if isinstance(item, Text)
        and item.of
        and item.of.id == f"U1/{relay}"
        and re.fullmatch(pattern, item.text)
    ]


def test_bars_that_go_on_say_where():
    first, second, third = (words(sheet) for sheet in sheets("alderford"))
    assert any(re.fullmatch(r"2/\d+\.[A-F]", word) for word in first)
    assert any(re.fullmatch(r"3/\d+\.[A-F]", word) for word in second)
    assert any(re.fullmatch(r"2/\d+\.[A-F]", word) for word in third)


@pytest.mark.parametrize("van", VANS)
def test_leave_pictures_to_look_at(van: str):
    """A3 in colour, and A4 without colour: no text may come out under 1.7 mm there."""
    OUT.mkdir(parents=True, exist_ok=True)
    document = pymupdf.open(stream=to_pdf(sheets(van)))
    for number, page in enumerate(document, 1):
        page.get_pixmap(dpi=130).save(OUT / f"{van}-{number}-a3.png")
        page.get_pixmap(dpi=92, colorspace=pymupdf.csGRAY).save(OUT / f"{van}-{number}-a4-grey.png")
    assert len(document) == len(sheets(van))
    sizes = [text.size for sheet in sheets(van) for item in sheet.items for text in texts_of(item)]
    assert min(sizes) >= 2.5


def arrowheads(van: str, title: str) -> dict[str, int]:
    """Return the arrowheads that lie in wires: id of the wire -> turn, 0 up, 180 down."""
    return {
        item.of.id: item.turn
        for sheet in sheets(van)
        for item in sheet.items
        if isinstance(item, Symbol) and item.of and item.of.kind == "wire" and item.sign.title == title
    }


@pytest.mark.parametrize(
    ("van", "down", "up"),
    [
        ("mossgrove", {"W1.relay"}, {"W1", "W7"}),
        ("alderford", {"V1"}, {"V2", "P2", "T1", "U1/charge"}),
        ("highcol", {"W1"}, {"W2", "W8_bar"}),
        ("amberquay", {"split.K1"}, {"split", "charge"}),
        ("saltpan", {"W0.K1"}, {"W0", "W11_bus"}),
    ],
)
def test_arrowheads_where_a_feed_comes_down_and_goes_up_again(van: str, down: set[str], up: set[str]):
    """Down into what charges, up out of it: the plan says which battery lies where."""
    wanted = dict.fromkeys(down, 180) | dict.fromkeys(up, 0)
    assert arrowheads(van, "charging this way") == wanted


def test_a_converter_feeds_and_charges_nothing():
    assert arrowheads("saltpan", "feeds this way") == {"W2": 180, "W3": 0}


def test_the_cable_of_a_panel_is_drawn_once_with_its_cores():
    """Cores, size and length stand at the ring; each core has its id and colour, no size of its own."""
    sheet = sheets("alderford")[1]
    assert any("6 × 0.75, 2.6 m" in word for word in words(sheet))
    cores = [f"X1_{pin}" for pin in (1, 3, 4, 5, 6)]
    for core in cores:
        own = [i.text for i in sheet.items if isinstance(i, Text) and i.of and i.of.id == core]
        assert own == [f"{core} GY"]


def test_the_bar_of_a_panel_is_fed():
    """A line leads from its plus, wherever that lies, to the bar that its contacts hang on."""
    sheet = sheets("alderford")[1]
    own = [
        i for i in sheet.items if isinstance(i, Polyline) and i.of and i.of.id == "S0" and len(i.points) == 2
    ]
    bar = next(item for item in own if item.pen == BUSBAR)
    terminals = {i.at for i in sheet.items if isinstance(i, Symbol) and i.sign.name == "terminal"}
    feeds = [line for line in own if set(line.points) & set(bar.points) and set(line.points) & terminals]
    assert len(feeds) == 1


@pytest.mark.parametrize("van", VANS)
def test_the_body_stands_on_every_sheet_with_its_number_at_the_same_place(van: str):
    """Terminal 31 (DIN 72552, from memory) names the body, whether or not a stud stands on the sheet."""
    found = {
        (round(item.at[0], 2), round(item.at[1], 2))
        for sheet in sheets(van)
        for item in sheet.items
        if isinstance(item, Text) and item.text == "31"
    }
    assert len(found) == 1
    assert all("31" in words(sheet) and "body, steel" in " ".join(words(sheet)) for sheet in sheets(van))


@pytest.mark.parametrize(
    ("van", "number", "behind"),
    [
        ("highcol", "plus_bar", "after master switch"),
        ("saltpan", "bus", "24 V bus, after master switch"),
        ("alderford", "bar_l", "Leisure bar, always live"),
        ("alderford", "bar_s", "Selected bar, after selector KS and relay KM"),
        ("planeshed", "30b", "battery_b plus"),
        ("amberquay", "D+", "alternator"),
    ],
)
def test_every_bar_of_the_feed_side_says_what_it_is(van: str, number: str, behind: str):
    """Its number or id in a box, behind it what it is fed through or when it is live."""
    boxes = [i for sheet in sheets(van) for i in sheet.items if i.layer == "rails" and isinstance(i, Text)]
    assert number in [text.text for text in boxes]
    told = " ".join(word for sheet in sheets(van) for word in words(sheet))
    assert behind in told


def test_what_goes_on_names_the_row_in_which_it_stands_there():
    """V3 runs across to sheet 2; the spot that each sheet names is where the wire stands on the other."""
    for place, other in ((0, 1), (1, 0)):
        ends = [
            item.points
            for item in sheets("alderford")[other].items
            if isinstance(item, Wire)
            and item.of
            and item.of.id == "V3"
            and item.points[0][1] == item.points[1][1]
        ]
        turn = max(ends[0], key=lambda at: abs(at[0] - (27.0 if other else 361.4)))
        assert f"{other + 1}/{column_row(turn, 19)}" in words(sheets("alderford")[place])


@pytest.mark.parametrize("van", VANS)
def test_every_wire_has_its_id_beside_it(van: str):
    """Broken over lines it may be, left out or cut it may not."""
    job = checked(van).assessment
    for sheet in sheets(van):
        drawn = {item.of.id for item in sheet.items if isinstance(item, Wire) and item.of}
        for id in drawn - {id for id, figure in job.wires.items() if figure.inner}:
            own = "".join(i.text for i in sheet.items if isinstance(i, Text) and i.of and i.of.id == id)
            assert id in own, (id, own)


@pytest.mark.parametrize("van", VANS)
def test_every_fuse_has_its_rating_beside_it(van: str):
    for sheet in sheets(van):
        ratings = [
            i for i in sheet.items if isinstance(i, Text) and re.fullmatch(r"(\?|[\d.]+) A\*?", i.text)
        ]
        for fuse in (i for i in sheet.items if isinstance(i, Symbol) and i.sign.name == "fuse" and i.of):
            own = [text for text in ratings if text.of == fuse.of]
            assert min(text.box().gap(fuse.box()) for text in own) < 6.0, fuse.of
