"""The forms of how a van is used: a beginner adds a season, a load of its days and a promise."""

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page, expect

from loomwright.plan.read import read_plan
from loomwright.web.work import Work


def test_a_season_is_filled_load_by_load(page: Page, work: Work):
    page.set_viewport_size({"width": 390, "height": 844})
    page.goto("/?sheet=energy&kind=entry&id=use.summer")
    slip = page.locator("#slip")
    slip.get_by_label("One more: What runs on a day of use").select_option("co_alarm")
    hours = slip.get_by_label("co_alarm", exact=True)
    expect(hours).to_be_focused()
    hours.fill("24")
    hours.press("Tab")
    expect(slip.locator(".help.wrong")).to_contain_text("Write 24 h")
    expect(hours).to_have_value("24")
    hours.fill("24 h")
    hours.press("Tab")
    expect(slip.locator(".help.wrong")).to_have_count(0)
    expect(page.locator("#block [data-act=undo]")).to_have_attribute(
        "title", "Take back: change of use.summer"
    )
    assert set(read_plan(work.now().text).use["summer"].loads) >= {"co_alarm", "fridge"}
    assert [one["id"] for one in Axe().run(page, context="#slip").response["violations"]] == []
    slip.get_by_role("button", name="Take fridge out").click()
    expect(slip.get_by_label("fridge", exact=True)).to_have_count(0)
    assert "fridge" not in read_plan(work.now().text).use["summer"].loads
    page.goto("/?sheet=energy&kind=add&id=season")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.locator("[id$=months-help]").first).to_contain_text("months is missing")
    slip.get_by_label("Months (needed)", exact=True).fill("dec")
    slip.get_by_label("Mains hook-up").fill("2 nights a week")
    slip.get_by_label("One more: What runs on a day of use").select_option("fridge")
    slip.get_by_label("fridge", exact=True).fill("all day")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.locator(".help.wrong")).to_contain_text("24 h at 30 %")
    slip.get_by_label("fridge", exact=True).fill("24 h")
    slip.get_by_label("Short name").fill("christmas")
    slip.get_by_role("button", name="Add it").click()
    expect(slip.locator("h1")).to_have_text("christmas")
    season = read_plan(work.now().text).use["christmas"]
    assert (season.months, season.hook_up.nights_per_week, list(season.loads)) == (("dec",), 2.0, ["fridge"])
