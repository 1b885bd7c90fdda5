"""The year as a picture: its figures are those of the year, nothing stands over anything."""

from functools import cache

from loomwright import read_text
from loomwright.assessment.energy.year import year_of
from loomwright.assessment.energy.year_record import Year
from loomwright.diagrams.energy import energy_sheets, tightest
from loomwright.documents.year import YearReport, year_sheets
from loomwright.drawing.scene import Polygon, Polyline, Sheet, Text
from loomwright.drawing.spacing import outside, text_on_ink, text_on_text
from loomwright.rules.check import check_plan
from tests.diagrams.test_wiring import VANS, checked


@cache
def year(van: str) -> Year:
    return year_of(checked(van).assessment, 4)


@cache
def drawn(van: str) -> Sheet:
    report = YearReport(checked(van).assessment, year(van))
    (sheet,) = energy_sheets(checked(van), report.year, report.said())
    return sheet


def words(sheet: Sheet) -> list[str]:
    return [item.text for item in sheet.items if isinstance(item, Text)]


def test_nothing_stands_over_anything_and_no_sentence_is_lost():
    for van in VANS:
        sheet = drawn(van)
        assert (text_on_text(sheet.items), text_on_ink(sheet.items), outside(sheet.items)) == ((), (), ())
        told = " ".join(words(sheet))
        for head, sentences in YearReport(checked(van).assessment, year(van)).said():
            assert head in told
            assert all(one.split()[0] in told for one in sentences)
        assert "More stands in" not in told


def test_the_line_is_the_median_and_the_band_holds_it():
    items = drawn("alderford").items
    median, floor = (item for item in items if isinstance(item, Polyline) and len(item.points) == 365)
    (band,) = (item for item in items if isinstance(item, Polygon) and len(item.points) == 730)
    low, high = band.points[:365], band.points[:364:-1]
    full = year("alderford").held_pct
    for row, line in ((full[0], low), (full[1], median.points), (full[2], high)):
        ends = max(row), min(row)
        scale = (line[int(row.argmin())][1] - line[int(row.argmax())][1]) / (ends[0] - ends[1])
        assert abs(scale - 0.81) < 0.002  # 81 mm for 100 %
    assert all(a[1] >= b[1] >= c[1] for a, b, c in zip(low, median.points, high, strict=True))
    # the floor drawn is the mean of all years; that of a warm one lies up to 0.7 % lower
    assert all(point[1] <= under[1] + 0.6 for point, under in zip(low, floor.points, strict=True))


def test_the_figures_by_month_are_those_of_the_year():
    told = words(drawn("alderford"))
    for month in year("alderford").months:
        if month.flat_nights >= 0.05:
            assert f"{month.flat_nights:.1f}" in told
        assert f"{month.load_ah:.0f}" in told
    worst = tightest(year("alderford").months)
    assert worst is not None
    assert worst.flat_nights / 31.0 >= max(one.flat_nights for one in year("alderford").months) / 31.0 - 0.02


def test_a_van_without_a_year_says_why():
    (sheet,) = year_sheets(check_plan(read_text("loomwright: 1\ntitle: Bare\nregion: uk\n")))
    assert "There is no year to draw" in words(sheet)
    assert any("house battery" in text for text in words(sheet))
    assert text_on_text(sheet.items) == ()
