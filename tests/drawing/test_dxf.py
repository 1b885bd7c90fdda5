"""DXF: a clean audit, layers, blocks with attributes, texts between their ends, the same bytes again."""

from io import StringIO

import ezdxf
import pytest
from ezdxf import bbox
from ezdxf.tools.text import plain_text

from loomwright.drawing.dxf import plain, to_dxf
from loomwright.drawing.ink import DAY
from loomwright.drawing.lettering import CAP_HEIGHT_EM, clean, with_held_letters
from loomwright.drawing.scene import LAYERS, Link, Sheet, Symbol, Text, Wire, texts_of
from loomwright.drawing.symbols import SIGNS


def read(sheet):
    return ezdxf.read(StringIO(to_dxf(sheet).decode()))


def sheet_of(*items):
    return Sheet(width=100, height=50, title="t", description="", items=items)


@pytest.mark.parametrize("name", ["framed_sheet", "small_scene", "all_signs"])
def test_the_audit_is_clean_and_bytes_repeat(name, request):
    sheet = request.getfixturevalue(name)
    document = read(sheet)
    auditor = document.audit()
    assert (auditor.errors, auditor.fixes) == ([], [])
    assert to_dxf(sheet) == to_dxf(sheet)


def test_layers_units_and_size(framed_sheet):
    document = read(framed_sheet)
    assert set(LAYERS) <= {layer.dxf.name for layer in document.layers}
    assert document.units == ezdxf.units.MM
    used = {entity.dxf.layer for entity in document.modelspace()}
    assert used == {item.layer for item in framed_sheet.items}
    extents = bbox.extents(document.modelspace().query("LWPOLYLINE LINE"))
    assert extents.extmin.x >= 0.0
    assert extents.extmax.x <= 420.0
    assert extents.extmin.y >= 0.0
    assert extents.extmax.y <= 297.0


def test_signs_are_blocks_with_their_texts_as_attributes(small_scene):
    inserts = read(small_scene).modelspace().query("INSERT")
    symbols = [item for item in small_scene.items if isinstance(item, Symbol)]
    assert sorted(insert.dxf.name for insert in inserts) == sorted(item.sign.name for item in symbols)
    assert all(abs(insert.dxf.xscale) == insert.dxf.yscale == 1.0 for insert in inserts)
    converters = [insert for insert in inserts if insert.dxf.name.startswith("converter")]
    assert [(a.dxf.tag, plain_text(a.dxf.text)) for a in converters[0].attribs] == [
        ("IN", "12"),
        ("OUT", "5 V"),
    ]


@pytest.mark.parametrize("turn", [0, 90, 180, 270])
@pytest.mark.parametrize("mirrored", [False, True])
def test_a_placed_block_lies_where_the_scene_has_it(turn, mirrored):
    """Corner by corner: what the insert does to the block is what the placement does to the sign."""
    symbol = Symbol(SIGNS["switch"], (40.0, 20.0), turn, mirrored, 0.8)
    (insert,) = read(sheet_of(symbol)).modelspace().query("INSERT")
    drawn = {
        (round(point.x, 2), round(50.0 - point.y, 2))
        for entity in insert.virtual_entities()
        if entity.dxftype() == "LWPOLYLINE"
        for point in entity.vertices_in_wcs()
    }
    asked = {(round(x, 2), round(y, 2)) for shape in symbol.shapes() for x, y in getattr(shape, "points", ())}
    assert drawn == asked


def test_texts_run_between_their_measured_ends(framed_sheet):
    """So a reader with another face still keeps every text in its place."""
    texts = [item for item in framed_sheet.items if isinstance(item, Text) and item.upright]
    made = {
        (round(t.dxf.insert.x, 3), round(framed_sheet.height - t.dxf.insert.y, 3)): t
        for t in read(framed_sheet).modelspace().query("TEXT")
    }
    for text in texts:
        start = {"start": 0.0, "middle": text.width / 2, "end": text.width}[text.anchor]
        entity = made[round(text.at[0] - start, 3), round(text.at[1], 3)]
        assert entity.dxf.align_point.x - entity.dxf.insert.x == pytest.approx(text.width, abs=1e-6)
        assert entity.dxf.height == pytest.approx(CAP_HEIGHT_EM * text.size)
        assert entity.dxf.halign == 5  # DXF reference, group 72: fit between two points


@pytest.mark.parametrize(
    "typed",
    [
        "%%d 50%% off %",
        "x^I 5 ^ 2",
        "\\U+00B0 \\M+1",
        "</svg>",
        "=cmd|'/c'!A0",
        "🚐",
        "a\nb\x00",
        "Ω ² µ Łódź",
        "{\\C1;x}",
    ],
)
def test_hostile_text_is_text(typed):
    sheet = sheet_of(Text((5, 10), typed, of=Link("part", typed)), Text((5, 20), typed))
    document = read(sheet)
    assert not document.audit().errors
    (first, second) = document.modelspace().query("TEXT")
    shown = with_held_letters(clean(typed)).replace("\\U", "\\ U").replace("\\M", "\\ M")
    assert plain_text(first.dxf.text) == plain_text(second.dxf.text) == shown


def test_percent_and_caret_are_kept_from_meaning_something():
    """DXF reference: %%d is a degree sign, %%% a percent sign; ^I is a tab, "^ " a caret."""
    assert plain("50 %") == "50 %"
    assert plain("%%d") == "%%%%%%d"
    assert plain_text(plain("%%d")) == "%%d"
    assert plain("^I") == "^ I"


def test_wires_keep_colour_width_and_link():
    wire = Wire(((10, 10), (10, 40)), 1.0, ("RD", "YE"), of=Link("wire", "W4.return"), gaps=((10.0, 13.0),))
    lines = read(sheet_of(wire)).modelspace().query("LWPOLYLINE")
    red, yellow = (int(DAY[letters][1:], 16) for letters in ("RD", "YE"))
    outlines = [line for line in lines if line.dxf.const_width == pytest.approx(1.36)]
    cores = [line for line in lines if line.dxf.get("true_color") == red]
    bands = [line for line in lines if line.dxf.get("true_color") == yellow]
    assert len(outlines) == len(cores) == 2
    reached = sorted((50 - a[1] - 10, 50 - b[1] - 10) for a, b in (line.get_points("xy") for line in bands))
    assert reached == [pytest.approx(ends) for ends in ((0, 2), (6, 8), (13, 14), (18, 20), (24, 26))]
    assert {tuple(tag.value for tag in line.get_xdata("LOOMWRIGHT")) for line in lines} == {
        ("wire", "W4.return")
    }


def test_numbers_of_signs_show_on_light_and_on_dark():
    """Ink follows the screen, but not under a text of paper: there both have their true colours."""
    document = read(sheet_of(*(Symbol(SIGNS[name], (20, 20)) for name in ("fuse", "stud"))))
    assert all(entity.dxf.color == 256 for entity in document.blocks["fuse"].query("LWPOLYLINE"))
    assert document.layers.get("symbols").color == 7


def test_every_text_of_a_sheet_is_in_the_file(framed_sheet):
    document = read(framed_sheet)
    held = {plain_text(t.dxf.text) for t in document.modelspace().query("TEXT")}
    held |= {plain_text(a.dxf.text) for i in document.modelspace().query("INSERT") for a in i.attribs}
    assert {text.text for item in framed_sheet.items for text in texts_of(item)} <= held
