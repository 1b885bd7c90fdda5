"""What a builder asks of energy, answered through the public verbs on the example vans."""

from __future__ import annotations

from functools import cache

import pytest

from loomwright import check, read, read_text, year
from loomwright.documents.lists import Lists
from loomwright.plan.edit import Edit, apply_edits
from tests.scenarios.lines import EXAMPLES, text_of


@cache
def energy(van: str) -> dict:
    return check(read(EXAMPLES / f"{van}.yaml")).as_dict()["energy"]


@cache
def years(van: str) -> dict:
    return year(read(EXAMPLES / f"{van}.yaml"), 4).as_dict()


def test_how_long_will_the_fridge_run_if_it_rains_three_days_in_october():
    """Not three days: 1.2, and it is the battery that ends it, not the volts at the fridge."""
    assert energy("mossgrove")["days_in_rain_from_full"]["oct"] == pytest.approx(1.2, rel=0.15)
    (stop,) = years("mossgrove")["stops"]
    assert (stop["load"], stop["why"]) == ("fridge", "empty")
    thin = text_of("mossgrove", "").replace("cut_out: 10.4 V", "cut_out: 12.2 V")
    (stop,) = year(read_text(thin), 1).as_dict()["stops"]
    assert (stop["why"], stop["charge_pct"] > 50.0) == ("cut-out", True)


def test_when_do_i_have_to_start_the_engine_and_for_how_long():
    """Alderford in October: 32.2 Ah short a day, 25 A · 0.925 that stay: 1.4 h."""
    assert energy("alderford")["engine_h_per_day"]["oct"] == pytest.approx(32.2 / (0.925 * 25), rel=0.02)
    assert energy("alderford")["engine_h_per_day"]["jan"] == 0.0


def test_does_solar_keep_up_in_winter():
    keeps = energy("alderford")["keeps_up"]
    assert keeps["dec"], "stand-by alone is less than the sun of December"
    assert not energy("mossgrove")["keeps_up"]["oct"]
    spread = years("highcol")["autonomy_days"]["jan"]
    assert spread["p10"] < spread["p50"] < spread["p90"] < 5.0


def test_what_does_leaving_the_inverter_on_cost_me_a_day():
    assert energy("planeshed")["left_on_ah_per_day"] == {"inverter": 36.0}


def test_will_my_vehicle_battery_still_start_after_four_weeks_parked():
    (parked,) = years("alderford")["vehicle_battery_parked"]
    assert 50.0 < parked["after_four_weeks_pct"] < 90.0
    assert parked["half_days"][0] > 28.0


def test_how_long_from_half_empty_to_full_on_hook_up_driving_or_sun():
    hours = {one["by"]: one["hours"] for one in years("alderford")["half_to_full"]}
    assert hours["driving, through b2b"] == pytest.approx(75 / 25, rel=0.3)
    assert hours["hook-up"] == pytest.approx(75 / 0.925 / 18, rel=0.3)
    assert hours["sun of June, by day and night"] == pytest.approx(24 * 75 / 0.925 / 53.2, rel=0.02)


def test_how_old_will_the_battery_get():
    (life,) = years("alderford")["battery_life"]
    low, high = life["years"]
    assert 1.0 < low < high < 9.0


def test_can_i_charge_lithium_at_minus_five_here():
    findings = check(read(EXAMPLES / "highcol.yaml")).findings
    (frost,) = (one for one in findings if one.rule == "lithium_charged_in_frost")
    assert frost.value == pytest.approx(-9.2, abs=1.5)


def test_what_if_lithium_and_what_does_a_second_battery_bring():
    """95 Ah of lithium, four fifths usable: 1.6 times the rainy days; 200 Ah of AGM: 2.1 times."""

    def rainy(*edits: Edit) -> float:
        text = apply_edits(text_of("mossgrove", ""), edits)
        return check(read_text(text)).as_dict()["energy"]["days_in_rain_from_full"]["oct"]

    now = energy("mossgrove")["days_in_rain_from_full"]["oct"]
    lithium = rainy(
        Edit("parts.leisure.chemistry", "lifepo4"), Edit("parts.leisure.usable", "80 %"),
        Edit("parts.leisure.capacity", "95 Ah"),
    )  # fmt: skip
    assert lithium / now == pytest.approx(1.6, rel=0.1)
    assert rainy(Edit("parts.leisure.capacity", "200 Ah")) / now == pytest.approx(200 / 95, rel=0.02)


def test_what_did_i_promise_the_customer():
    lists = {one.name: one for one in Lists(check(read(EXAMPLES / "alderford.yaml")).assessment).every}
    says = [row[0] for row in lists["promises"].rows]
    assert says[0].startswith("Three July days and nights on one spot")
    kept = {one["promise"]: one["kept_of_100"] for one in years("alderford")["promises"]}
    assert 40.0 < kept["july"] < 95.0 < kept["october"]


def test_which_setting_goes_into_the_charger():
    """AGM: absorption 14.3 to 14.7 V, float 13.3 to 13.8 V; lithium: never equalised, no frost."""
    lists = {one.name: one for one in Lists(check(read(EXAMPLES / "alderford.yaml")).assessment).every}
    rows = {(row[0], row[1]): row for row in lists["settings"].rows}
    assert rows["b2b", "leisure"][3:6] == ("14.3 to 14.7 V", "13.3 to 13.8 V", "never")
    assert ("U1/charger", "leisure") in rows
    lists = {one.name: one for one in Lists(check(read(EXAMPLES / "highcol.yaml")).assessment).every}
    b2b = next(row for row in lists["settings"].rows if row[0] == "b2b")
    assert (b2b[3], b2b[5], b2b[6], b2b[9]) == ("14.0 to 14.4 V", "never", "nothing", 0.0)


def test_does_the_suns_second_output_keep_the_vehicle_battery_full_while_it_stands():
    """Alderford: 1.5 A for the hours of full sun; 5.2 h give 7.8 Ah in June, 0.8 Ah may be lost a day."""
    (parked,) = years("alderford")["vehicle_battery_parked"]
    low, high = parked["lost_ah_per_day"]
    second = parked["second_output_ah_per_day"]
    assert second["jun"] == pytest.approx(1.5 * 5.2, rel=0.02)
    assert second["dec"] < high < second["nov"]
    assert low == pytest.approx(40.0 / parked["half_days"][1], rel=0.02)
    (none,) = years("mossgrove")["vehicle_battery_parked"]
    assert none["second_output_ah_per_day"] is None
    told = year(read(EXAMPLES / "alderford.yaml"), 1).as_text()
    assert "it may fall in December" in told
