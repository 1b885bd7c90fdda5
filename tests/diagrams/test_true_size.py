"""Boards and labels at true size: measured on the PDF, 100 mm are 100 mm within 0.2 mm."""

from __future__ import annotations

import math
from functools import cache
from itertools import pairwise

import pymupdf
import pytest

from loomwright import draw, read_text
from loomwright.assessment.looms import Looms
from loomwright.diagrams.loom import board_sheets, label_sheets
from loomwright.diagrams.loom.board import LEAST_TAIL, Board
from loomwright.diagrams.loom.ends import Ends
from loomwright.diagrams.loom.picture import Picture
from loomwright.diagrams.loom.tiles import OVERLAP, PAPERS, Tiled
from loomwright.drawing.geometry import Box, length_along
from loomwright.drawing.pdf import to_pdf
from loomwright.drawing.scene import Circle, Polygon, Polyline, Sheet, Text, Wire, texts_of
from loomwright.drawing.spacing import outside, text_on_ink, text_on_text
from loomwright.rules.check import check_plan
from tests.diagrams.test_loom import NAMED, SILL, van_with_paths
from tests.diagrams.test_modes import checked
from tests.scenarios.lines import VANS

MM = 72 / 25.4
TRUE_MM = 0.2


@cache
def boards(van: str) -> tuple[Board, ...]:
    job = checked(van).assessment
    looms = Looms(job)
    return tuple(
        Board(Picture(looms, one, Ends(job), (30.0, 358.0), 210.0)) for one in looms.looms if one.known
    )


def level_lines(page: pymupdf.Page) -> list[float]:
    """Return how long the level lines of a page are. [mm]"""
    return [
        abs(item[2].x - item[1].x) / MM
        for drawing in page.get_drawings()
        for item in drawing["items"]
        if item[0] == "l" and abs(item[1].y - item[2].y) < 0.01
    ]


# --- boards -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("paper", PAPERS)
def test_every_page_is_its_paper_and_has_100_mm(paper: str):
    """Read off the PDF as a printer gets it."""
    (pdf,) = draw(read_text(SILL), "board", "pdf", paper=paper)
    with pymupdf.open(stream=pdf) as document:
        assert len(document) > 5
        for page in document:
            assert (page.rect.width / MM, page.rect.height / MM) == pytest.approx(PAPERS[paper], abs=TRUE_MM)
            assert any(abs(long - 100.0) <= TRUE_MM for long in level_lines(page))


def test_pegs_on_the_printed_sheets_are_as_far_apart_as_in_the_van():
    """The circles of the pegs, found on the PDF, put together by the steps of the sheets."""
    van = check_plan(read_text(SILL))
    looms = Looms(van.assessment)
    tiled = Tiled(Board(Picture(looms, looms.looms[0], Ends(van.assessment), (30.0, 358.0), 210.0)), "a4")
    with pymupdf.open(stream=to_pdf(board_sheets(van))) as document:
        found: list[tuple[float, float]] = []
        for tile, page in zip(tiled.tiles, list(document)[1:], strict=True):
            for drawing in page.get_drawings():
                box = drawing["rect"]
                if [item[0] for item in drawing["items"]].count("c") == 4 and box.width > 7.5 * MM:
                    x, y = (box.x0 + box.x1) / 2 / MM - 10.0, (box.y0 + box.y1) / 2 / MM - 10.0
                    found.append((x + tile.box.left, y + tile.box.top))
    for x, y in tiled.board.pegs.values():
        assert min(math.dist((x, y), one) for one in found) <= TRUE_MM
    on_trunk = sorted(x for x, y in tiled.board.pegs.values() if y == 0.0)
    assert [b - a for a, b in pairwise(on_trunk)] == pytest.approx([2000.0, 1000.0, 1000.0], abs=100.0)


def drawn_mm(line: Wire, peg: tuple[float, float]) -> float:
    """Return how long an end is from its peg: along its line, or up the bundle first, then level. [mm]"""
    if line.points[0] == peg:
        return length_along(line.points)
    return abs(line.points[0][1] - peg[1]) + abs(line.points[-1][0] - peg[0])


def test_every_section_and_every_end_is_as_long_as_it_is():
    """Along its line: of each section the metres of the tree, of each end half of what its length leaves."""
    for board in boards("alderford"):
        tree, looms = board.picture.tree, board.picture.looms
        for one in tree.sections:
            (x, y), (x_2, y_2) = board.pegs[one.a], board.pegs[one.b]
            assert abs(x - x_2) + abs(y - y_2) == pytest.approx(1000.0 * one.metres, abs=TRUE_MM), one.path
        lines = [one for one in board.items if isinstance(one, Wire)]
        for end in tree.ends:
            wanted = max(1000.0 * (looms.tail_m(end.wire, tree) or 0.0), LEAST_TAIL)
            drawn = [drawn_mm(one, board.pegs[end.spot]) for one in lines if one.of and one.of.id == end.wire]
            assert any(abs(long - wanted) <= TRUE_MM for long in drawn), (end, wanted, drawn)


def test_sheets_overlap_cross_on_cross_and_none_is_blank():
    (board, *_) = boards("alderford")
    tiled = Tiled(board, "a4")
    rows, columns = tiled.count
    assert len(tiled.tiles) < rows * columns
    wide, tall = tiled.size
    for one in tiled.tiles:
        assert any(isinstance(item, Polyline | Wire | Polygon | Text) for item in tiled.items(one))
        right = tiled.box_of(one.row, one.column + 1)
        assert right.left == pytest.approx(one.box.right - OVERLAP)
        assert tiled.box_of(one.row + 1, one.column).top == pytest.approx(one.box.bottom - OVERLAP)
        assert (one.box.width, one.box.height) == pytest.approx((wide, tall))
    shown = [item for one in tiled.tiles for item in tiled.items(one) if isinstance(item, Circle)]
    assert len(shown) >= len(board.pegs)


@pytest.mark.parametrize(("seed", "wires"), [(3, 14)])
def test_no_words_of_a_board_lie_on_others(seed: int, wires: int):
    job = check_plan(read_text(van_with_paths(seed, wires))).assessment
    looms = Looms(job)
    random = Board(Picture(looms, looms.looms[0], Ends(job), (30.0, 358.0), 210.0))
    for board in (random, *boards("alderford")):
        assert text_on_text(board.items) == ()


def test_guessed_lengths_have_no_board_but_words():
    (sheet,) = board_sheets(check_plan(read_text(NAMED)))
    words = " ".join(text.text for item in sheet.items for text in texts_of(item))
    assert "no board" in words.lower()
    assert "sill" in words
    assert text_on_text(sheet.items) == ()


# --- labels -------------------------------------------------------------------------------------------


@cache
def labels(van: str) -> tuple[Sheet, ...]:
    return label_sheets(checked(van))


def frames(sheet: Sheet) -> list[Polygon]:
    return [item for item in sheet.items if isinstance(item, Polygon) and item.of is not None]


@pytest.mark.parametrize("van", VANS)
def test_both_ends_of_every_wire_have_a_label_that_goes_around_it(van: str):
    job = checked(van).assessment
    ends = Ends(job)
    found = [one for sheet in labels(van) for one in frames(sheet) if one.of and one.of.kind == "wire"]
    texts = {item.text for sheet in labels(van) for item in sheet.items if isinstance(item, Text)}
    for id in ends.wires:
        if job.wires[id].factory:
            continue
        mine = [one for one in found if one.of and one.of.id == id]
        assert len(mine) == 2, id
        around = math.pi * (job.loom.thick_mm(id) or 3.0)
        for one in mine:
            tall = one.points[2][1] - one.points[0][1]
            assert tall <= max(around, 3.4) + 0.01
        for side in "ab":
            assert any(
                text == ends.label(id, side) or text.startswith(f"{ends.label(id, side)}  ") for text in texts
            )


@pytest.mark.parametrize("van", VANS)
def test_labels_keep_apart_and_their_texts_inside(van: str):
    for sheet in labels(van):
        assert text_on_text(sheet.items) == ()
        assert text_on_ink(sheet.items) == ()
        assert outside(sheet.items, Box(5.0, 5.0, 205.0, 292.0), 292.0) == ()
        boxes = [one.box() for one in frames(sheet)]
        for n, one in enumerate(boxes):
            assert all(one.gap(other) > 1.0 for other in boxes[n + 1 :])


def test_labels_on_the_pdf_are_as_large_as_on_the_sheet():
    with pymupdf.open(stream=to_pdf(labels("mossgrove"))) as document:
        page = document[0]
        assert any(abs(long - 100.0) <= TRUE_MM for long in level_lines(page))
        printed = [(one["rect"].width / MM, one["rect"].height / MM) for one in page.get_drawings()]
    for one in frames(labels("mossgrove")[0]):
        (left, top), _, (right, bottom), _ = one.points
        assert any(
            abs(wide - (right - left)) <= TRUE_MM and abs(tall - (bottom - top)) <= TRUE_MM
            for wide, tall in printed
        )
