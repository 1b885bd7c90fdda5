"""SVG: well-formed for any text, no style in a page, faces inside a lone file, the same bytes again."""

import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.drawing.lettering import clean
from loomwright.drawing.scene import Link, Sheet, Text, Wire
from loomwright.drawing.svg import to_svg

SVG = "{http://www.w3.org/2000/svg}"
HOSTILE = [
    "</svg><script>alert(1)</script>",
    "\"quoted\" & 'single' <b>",
    "]]> <!-- &amp; &#0;",
    "\u202eevil \u2066isolate",
    "משאבת מים",
    "🚐🔋 van",
    "=cmd|'/c calc'!A0",
    "x" * 300,
    "\x00\x07\x1b[31m\ud83d",
]


def sheet_with(name):
    items = (
        Text((5, 10), name, of=Link("part", name)),
        Wire(((5, 12), (50, 12)), 0.7, ("RD",), of=Link("wire", name)),
    )
    return Sheet(width=100, height=50, title=name, description=name, items=items)


@pytest.mark.parametrize("name", HOSTILE)
@pytest.mark.parametrize("inline_fonts", [False, True])
def test_hostile_names_are_text(name, inline_fonts):
    root = ElementTree.fromstring(to_svg(sheet_with(name), inline_fonts=inline_fonts))
    assert root.find(f"{SVG}title").text == clean(name)
    assert root.find(f"{SVG}desc").text == clean(name)
    assert [text.text for text in root.iter(f"{SVG}text")] == [clean(name)]
    assert {group.get("data-id") for group in root.iter(f"{SVG}g")} - {None} == {clean(name)}
    assert {element.tag for element in root.iter()} <= {
        SVG + tag for tag in ("svg", "title", "desc", "style", "rect", "g", "path", "text")
    }


@given(st.text(max_size=40))
def test_any_text_gives_well_formed_xml(name):
    root = ElementTree.fromstring(to_svg(sheet_with(name), inline_fonts=False))
    assert [text.text or "" for text in root.iter(f"{SVG}text")] == [clean(name)]


@pytest.mark.parametrize("name", ["all_signs", "small_scene"])
def test_in_a_page_it_carries_no_style_and_no_script(name, request):
    """So it stands under a content policy that allows neither."""
    markup = to_svg(request.getfixturevalue(name), inline_fonts=False).decode()
    root = ElementTree.fromstring(markup)
    names = {name for element in root.iter() for name in element.attrib}
    assert not {name for name in names if name == "style" or name.startswith("on") or "href" in name}
    assert not list(root.iter(f"{SVG}style"))
    assert "url(" not in markup


def test_alone_it_carries_the_faces_it_uses_and_stays_small(small_scene):
    alone = to_svg(small_scene, inline_fonts=True)
    assert len(alone) < 300_000
    rules = re.findall(
        r"font-family:'([^']+)';font-weight:(\d+);src:url\(data:font/woff2;base64,", alone.decode()
    )
    assert rules == [("Loomwright Mono", "400"), *(("Loomwright Sans", str(w)) for w in (400, 600))]
    bare = Sheet(width=10, height=10, title="", description="", items=())
    assert b"@font-face" not in to_svg(bare, inline_fonts=True)


def test_same_sheet_same_bytes(small_scene):
    assert to_svg(small_scene, inline_fonts=True) == to_svg(small_scene, inline_fonts=True)


def test_evening_changes_colours_only(small_scene):
    day, evening = (to_svg(small_scene, inline_fonts=False, evening=dark).decode() for dark in (False, True))
    assert day != evening
    assert re.sub("#[0-9A-F]{6}", "#", day) == re.sub("#[0-9A-F]{6}", "#", evening)
    assert "#CE2420" in evening


def test_layers_come_bottom_up_and_things_are_grouped():
    items = (
        Text((5, 5), "W4", of=Link("wire", "W4")),
        Text((5, 9), "RDYE 1.0", of=Link("wire", "W4")),
        Text((5, 13), "pump"),
        Wire(((1, 1), (1, 20)), 0.7, ("RD", "YE"), of=Link("wire", "W4")),
    )
    root = ElementTree.fromstring(
        to_svg(Sheet(width=20, height=20, title="t", description="", items=items), inline_fonts=False)
    )
    layers = [group for group in root if group.get("data-layer")]
    assert [group.get("data-layer") for group in layers] == ["wires", "text"]
    linked, loose = layers[1]
    assert (linked.get("data-kind"), linked.get("data-id")) == ("wire", "W4")
    assert [text.text for text in linked] == ["W4", "RDYE 1.0"]
    assert loose.text == "pump"


def test_second_colour_runs_on_across_a_gap():
    """The bands of a broken wire lie where those of the whole wire lie: pattern 2 on, 4 off."""
    wire = Wire(((10, 0), (10, 30)), 0.7, ("RD", "YE"), gaps=((8.0, 11.0),))
    sheet = Sheet(width=20, height=30, title="t", description="", items=(wire,))
    paths = list(ElementTree.fromstring(to_svg(sheet, inline_fonts=False)).iter(f"{SVG}path"))
    bands = [path for path in paths if path.get("stroke-dasharray")]
    assert [path.get("d") for path in bands] == ["M10 0L10 8", "M10 11L10 30"]
    assert [path.get("stroke-dashoffset") for path in bands] == [None, "5"]
    assert {path.get("stroke-dasharray") for path in bands} == {"2 4"}


def test_letters_the_faces_lack_are_held_to_their_measure():
    root = ElementTree.fromstring(to_svg(sheet_with("🚐 van"), inline_fonts=False))
    text = next(root.iter(f"{SVG}text"))
    assert float(text.get("textLength")) == pytest.approx(Text((0, 0), "🚐 van").width, abs=0.01)
