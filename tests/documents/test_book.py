"""The van book: what `check` says stands in it, to the last wire and finding; tagged, steady, harmless.

What PDF/A-2a (ISO 19005-2) and PDF/UA-1 (ISO 14289-1) ask of the document as a whole is read back with pypdf;
Typst refuses to write what breaks them further in.
"""

from __future__ import annotations

import json
import re
from functools import cache
from io import BytesIO

import pymupdf
import pypdf
import pytest
from click.testing import CliRunner

import loomwright
from loomwright.assessment.energy.year import year_of
from loomwright.cli import commands
from loomwright.diagrams.common import mains_notice
from loomwright.diagrams.loom import label_sheets
from loomwright.documents.book import book_pdf
from loomwright.documents.book.cautions import all_cautions, cautions_of
from loomwright.documents.book.content import printable
from loomwright.documents.promised import promised_of
from loomwright.documents.year import YearReport
from loomwright.rules.check import Checked, check_plan
from tests.printed import book
from tests.printed import report as reported
from tests.rules.cases import CASES, plan
from tests.scenarios.lines import EXAMPLES, VANS
from tests.scenarios.lines import checked as of_van

SMALLEST_PT = 7.0
LAMP = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
LAMP_WIRE = "C1: {from: P1.1, fuse: 3 A, to: lamp, area: 1 mm², length: 3 m, return: wire}"


@cache
def text_of(pdf: bytes) -> str:
    """Return the text of all pages."""
    with pymupdf.open(stream=pdf) as document:
        return "\n".join(page.get_text() for page in document)


@cache
def words(pdf: bytes) -> str:
    """Return the text of all pages on one line, without the places where a line may break."""
    return flat(text_of(pdf))


def flat(text: str) -> str:
    """Return a text without blanks and breaks: where a line ends is for the page to say."""
    return re.sub(r"[\s\u200b]", "", text)


def checked(text: str) -> Checked:
    return check_plan(loomwright.read_text(text))


@pytest.mark.parametrize("name", VANS)
def test_every_wire_of_check_stands_in_the_table(name):
    text, report = words(book(name)), reported(name).as_dict()
    for wire in json.loads(json.dumps(report))["wires"]:
        own = re.escape(flat(wire["id"]))
        size = "–" if wire["area_mm2"] is None else f"{wire['area_mm2']:g}"
        gauge = of_van(name).assessment.wires[wire["id"]].gauge
        assert re.search(rf"{own}.{{1,160}}?{re.escape(flat(gauge or size))}", text), wire["id"]
        for fuse in wire["fuses"]:
            rating = "?A" if fuse["rating_a"] is None else f"{fuse['rating_a']:g}A"
            assert re.search(rf"{own}.{{1,260}}?{re.escape(rating)}", text), (wire["id"], rating)


@pytest.mark.parametrize("name", VANS)
def test_every_finding_stands_in_it_with_its_reason(name):
    text = words(book(name))
    for finding in of_van(name).findings:
        says = flat(finding.says)
        assert says[1:] in text, finding.says
        assert flat(finding.rule) in text
        assert flat(str(finding.source)) in text
    grave = [one for one in of_van(name).findings if one.severity in ("danger", "fault")]
    assert ("Reasons" in text) == bool(grave)


@pytest.mark.parametrize("name", VANS)
def test_every_promise_stands_in_it(name):
    text = words(book(name))
    for one in promised_of(of_van(name)):
        for said in (one.says, one.often, one.instead, *(how for _, how in one.hangs_on)):
            assert flat(said) in text
    assert (flat("it is no guarantee") in text) == bool(of_van(name).assessment.plan.promises)


def test_sums_of_a_fault_stand_in_full():
    """Mossgrove's pump by hand: 6 A through 140.5 mΩ (6.6 m of 1 mm², fuse, joints) loses 0.84 V."""
    text = words(book("mossgrove"))
    for sum in ("19.5mΩ/m×6.2m120.9mΩ", "140.5mΩ", "6A×140.5mΩ0.84V", "14A×140.5mΩ1.97V"):
        assert sum in text


@pytest.mark.parametrize("name", ["alderford", "mossgrove"])
def test_it_is_tagged_and_names_itself(name):
    reader = pypdf.PdfReader(BytesIO(book(name)))
    root = reader.trailer["/Root"]
    assert root["/MarkInfo"]["/Marked"]
    assert root["/Lang"] == "en"
    assert root["/StructTreeRoot"]
    assert root["/ViewerPreferences"]["/DisplayDocTitle"]
    assert reader.metadata.title == f"{name.capitalize()}, van book"
    claims = root["/Metadata"].get_object().get_data()
    for claim in (b"<pdfaid:part>2", b"<pdfaid:conformance>A", b"<pdfuaid:part>1"):
        assert claim in claims
    titles = re.findall(r"/Title': '([^']+)", str(reader.outline))
    for title in (
        "Contents",
        "Cautions",
        "Findings",
        "Wires",
        "Fuses",
        "Fuse labels",
        "Sources",
        "Revisions",
    ):
        assert title in titles
    assert any(title.startswith("Labels of wires") for title in titles)
    assert all(not page.images for page in reader.pages)


def alts(node, seen) -> list[str]:
    """Return the texts for pictures of a tree of tags."""
    node = node.get_object()
    if not isinstance(node, dict) or id(node) in seen:
        return [one for kid in node for one in alts(kid, seen)] if isinstance(node, list) else []
    seen.add(id(node))
    own = [str(node["/Alt"])] if "/Alt" in node else []
    return own + (alts(node["/K"], seen) if "/K" in node else [])


def test_each_drawing_has_a_text_in_its_place():
    reader = pypdf.PdfReader(BytesIO(book("alderford")))
    found = alts(reader.trailer["/Root"]["/StructTreeRoot"], set())
    drawings = [page for page in reader.pages if page.mediabox.width > page.mediabox.height]
    strips = len(label_sheets(of_van("alderford")))
    assert len(found) == len(drawings) + 1 + strips  # and the fuse label, and the labels of wires
    assert all(len(text) > 20 for text in found)


@pytest.mark.parametrize("name", VANS)
def test_no_letter_is_too_small_and_no_page_empty(name):
    with pymupdf.open(stream=book(name)) as document:
        for page in document:
            spans = [
                span
                for block in page.get_text("dict")["blocks"]
                for line in block.get("lines", ())
                for span in line["spans"]
                if span["text"].strip()
            ]
            assert len(spans) > 6, page.number
            assert min(span["size"] for span in spans) >= SMALLEST_PT
            inside = pymupdf.Rect(page.rect).contains
            assert all(inside(pymupdf.Rect(span["bbox"])) for span in spans)


def test_a_book_with_its_year_has_the_sheet_and_tells_how_often():
    """Its figures are those of the year: the sentence of the promise stands on the sheet and on the page."""
    text = plan(LAMP, LAMP_WIRE).replace("region: eu", "region: eu\nsite: {lat: 51.5}", 1)
    text += "\nuse: {july: {months: [jul], loads: {lamp: 24 h}}}"
    text += "\npromises: {stay: {says: Two days, season: july, days: 2, sun: none}}\n"
    done = checked(text)
    year = YearReport(done.assessment, year_of(done.assessment, 3))
    found = words(book_pdf(done, {}, year))
    assert flat("Charge at the end of each day, 3 years of weather") in found
    assert flat(f"{year.year.promises[0].of_100:.0f} keep it.") in found
    assert flat("Years of weather are not in this book") not in found
    assert flat("Years of weather are not in this book") in words(book("alderford"))


def test_same_plan_same_bytes():
    assert book_pdf(of_van("mossgrove")) == book("mossgrove")


# Bands and cautions


def test_an_open_danger_is_banded_with_its_page():
    pdf = book_pdf(checked(CASES["battery_shorted"].trips))
    with pymupdf.open(stream=pdf) as document:
        for page in document:
            if page.rect.width < page.rect.height:
                assert "DO NOT ENERGISE: 1 danger" in page.get_text(), page.number
        cover = document[0].get_text()
        number = int(re.search(r"see page (\d+)", cover)[1])
        assert "Findings" in document[number - 1].get_text()
    assert "DO NOT ENERGISE" not in words(book("mossgrove"))


def test_a_mains_side_that_is_not_judged_is_banded():
    band = flat("230/120 V side not checked by this version")
    assert band not in words(book("alderford"))
    text = (EXAMPLES / "alderford.yaml").read_text(encoding="utf-8")
    cable = next(line for line in text.splitlines() if line.startswith("  M1: "))
    without = loomwright.assess(loomwright.read_text(text.replace(cable, "")))
    assert flat(mains_notice(without)) == band


def test_cautions_are_those_of_the_parts_present():
    heads = {name: {one.head for one in cautions_of(of_van(name).assessment)} for name in VANS}
    assert {"Mains, 230 or 120 V", "Crossed or unearthed pitch", "Lead on its reel"} <= heads["alderford"]
    assert "Two sources" not in heads["alderford"]  # it has no inverter
    assert "Mains, 230 or 120 V" not in heads["mossgrove"]
    assert "Solar panel" in heads["mossgrove"]
    assert "Lithium battery" not in heads["mossgrove"]
    assert all("Battery short circuit" in found for found in heads.values())
    locker = plan(LAMP, LAMP_WIRE).replace(
        "  kitchen:", "  gas: {at: [1, 0, 0], zones: [gas_locker]}\n  kitchen:"
    )
    assert "Gas locker" in {one.head for one in cautions_of(checked(locker).assessment)}
    assert len({one.head for one in all_cautions()}) == len(all_cautions()) >= 17


# What the plan says about itself


def test_an_accepted_watch_is_shown_with_its_reason():
    text = (EXAMPLES / "saltpan.yaml").read_text(encoding="utf-8")
    watch = next(one for one in of_van("saltpan").findings if one.severity == "watch")
    entry = f"{{rule: {watch.rule}, where: {watch.where}, because: old loom stays, by: AB, date: 2026-11-25}}"
    done = checked(f"{text}\naccepted:\n  a1: {entry}\n")
    found = words(book_pdf(done, {}))
    assert flat("Accepted: Old loom stays (AB, 2026-11-25).") in found
    assert flat("1 accepted") in found
    fault = next(one for one in of_van("saltpan").findings if one.severity == "fault")
    text += f"\naccepted:\n  a1: {{rule: {fault.rule}, where: {fault.where}, because: no, by: AB}}\n"
    assert not any(finding.accepted for finding in checked(text).findings)


def test_revisions_and_who_checked_are_shown():
    head = "revision: B\ndate: 2026-11-25\nserials: [unit 1]\n"
    head += "revisions:\n  A: {says: first}\n  B: {says: pump moved, by: CD}"
    text = plan(LAMP, LAMP_WIRE).replace("region: eu", f"region: eu\n{head}", 1)
    found = words(book_pdf(checked(text)))
    for said in ("serial unit 1 · revision B · 2026-11-25 · checked by: open", "Pump moved.", "First."):
        assert flat(said) in found


# Texts of strangers

HOSTILE = (
    "#let x = 1; #panic()",
    '"); #read("/etc/passwd") //',
    "*bold* _it_ $a$ `c` @ref <findings> \\u{41} [x] ] }",
    "<script>alert(1)</script> &amp;",
)


@pytest.mark.parametrize("typed", HOSTILE)
def test_user_text_is_text(typed):
    quoted = json.dumps(typed)
    text = plan(
        f"lamp: {{kind: lamp, name: {quoted}, note: {quoted}, place: kitchen, running: 1 A}}", LAMP_WIRE
    )
    text = text.replace("title: One rule", f"title: {quoted}\ncustomer: {quoted}")
    promised = f"promises: {{p: {{says: {json.dumps('promised ' + typed)}, days: 2}}}}"
    found = words(book_pdf(checked(f"{text}\n{promised}\n")))
    assert flat(typed) in found
    assert flat(f"promised {typed}") in found


@pytest.mark.parametrize(
    ("typed", "shown"),
    [("🚐 van", "□ van"), ("a\u202eb\x00", "a□b□"), ("x" * 40, f"{'x' * 28}\u200b{'x' * 12}")],
)
def test_letters_that_cannot_be_set_are_replaced_and_long_words_may_break(typed, shown):
    assert printable(typed) == shown


# The command


def test_command_writes_the_book_and_its_lists(tmp_path):
    file = tmp_path / "my van.yaml"
    file.write_text((EXAMPLES / "mossgrove.yaml").read_text(encoding="utf-8"), encoding="utf-8")
    done = CliRunner().invoke(commands, ["book", str(file), "--number", "--json"])
    assert done.exit_code == 0
    assert "14 wires have got a number" in done.stderr
    before, after = (
        (EXAMPLES / "mossgrove.yaml").read_text(encoding="utf-8"),
        file.read_text(encoding="utf-8"),
    )
    assert after.startswith(before.rstrip())  # comments and all
    assert len(loomwright.read_text(after).labels.numbers) == 14
    names = ["book.pdf", "wires.csv", "fuses.csv", "studs.csv", "joints.csv", "findings.csv", "parts.csv"]
    loom = ("cuts", "reels", "ends", "splices", "earths", "holes", "order", "weights")
    loom += ("days", "promises", "settings")
    names += [f"{name}.csv" for name in loom]
    assert json.loads(done.stdout) == [str(tmp_path / f"my van-{name}") for name in names]
    assert (tmp_path / "my van-book.pdf").read_bytes() == loomwright.book(loomwright.read(file))
    assert CliRunner().invoke(commands, ["book", str(tmp_path / "no.yaml")]).exit_code == 2
    (tmp_path / "bad.yaml").write_text("loomwright: 1\n", encoding="utf-8")
    assert CliRunner().invoke(commands, ["book", str(tmp_path / "bad.yaml")]).exit_code == 2
    assert CliRunner().invoke(commands, ["book", str(file), "--out", str(file)]).exit_code == 2
