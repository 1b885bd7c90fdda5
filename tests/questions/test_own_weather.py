"""A plan with a weather file of its own: what `check` and `year` make of it, and how a bad one is told."""

from __future__ import annotations

import json

import numpy as np
import pytest
from click.testing import CliRunner

from loomwright import check, read, read_text, year
from loomwright.assessment.energy.own_weather import own_weather
from loomwright.cli import commands
from loomwright.errors import NoYearError, PlanError
from loomwright.plan.edit import Edit
from loomwright.plan.edited import edited
from tests.energy.conftest import pvlib_data
from tests.scenarios.lines import text_of

FILE = "723170TYA.CSV"


@pytest.fixture
def van(tmp_path):
    """Return a function that writes Alderford with a weather file, its own sun and air left out."""

    def write(name: str = "w.csv", data: bytes | None = None):
        text = text_of("alderford", "")
        head, rest = text.split("\nsite:\n", 1)
        site, rest = rest.split("\n\n", 1)
        kept = [line for line in site.splitlines() if line.split(":")[0].strip() in ("lat", "lon")]
        lines = "\n".join([f"  weather: {json.dumps(name)}", *kept])
        path = tmp_path / "van.yaml"
        path.write_text(f"{head}\nsite:\n{lines}\n\n{rest}", encoding="utf-8")
        (tmp_path / "w.csv").write_bytes((pvlib_data() / FILE).read_bytes() if data is None else data)
        return path

    return write


def test_check_counts_with_its_months_and_year_with_its_hours(van):
    """Greensboro, TMY3: 131.8 kWh/m² in March, 188.6 in July, sums that pvlib gives of the file."""
    plan = read(van())
    own = own_weather(plan)
    assert own is not None
    months = np.array(own.climate.ghi_kwh_m2_day)
    assert (31 * months[[2, 6]]).tolist() == pytest.approx([131.8, 188.6], abs=0.05)
    report = check(plan)
    day = report.as_dict()["energy"]
    assert day["solar_ah_per_day"]["jul"] == pytest.approx(180 * months[6] * 0.75 / 13.2, rel=1e-6)
    told = year(plan, 3).as_dict()
    assert told["solar_ah_per_day"]["jul"] == pytest.approx(day["solar_ah_per_day"]["jul"], rel=0.01)
    assert told["sun_band_pct"] == 0.0
    assert "w.csv" in told["weather"]
    assert "km from the site" in told["weather"]
    assert "2 strung" in told["weather"]
    assert "duller than any of the file" in year(plan, 1).as_text()


def test_an_edit_keeps_the_weather_and_a_text_alone_has_none(van):
    path = van()
    tried = edited(read(path), [Edit("parts.panel.power", "200 Wp")])
    assert own_weather(tried) is not None
    alone = read_text(path.read_text(encoding="utf-8"))
    assert check(alone).as_dict()["energy"]["solar_ah_per_day"], "by latitude and longitude"
    with pytest.raises(NoYearError, match=r"w\.csv was not read"):
        year(alone, 1)


@pytest.mark.parametrize("name", ["../w.csv", "/etc/hostname", "none.csv", ".w", "C:w"])
def test_only_a_plain_file_of_the_folder_is_read(van, name):
    with pytest.raises(PlanError, match=r"van\.yaml:\d+:12  site\.weather") as refused:
        read(van(name))
    assert "b2b" not in str(refused.value)


def test_a_broken_file_is_told_with_its_lines(van):
    lines = (pvlib_data() / FILE).read_bytes().split(b"\n")
    lines[40] = lines[40].replace(b",", b",x", 4)
    path = van(data=b"\n".join(lines))
    for command in ("check", "year"):
        done = CliRunner().invoke(commands, [command, str(path)])
        assert done.exit_code == 2
        assert "w.csv:41:1" in done.output
        assert "van.yaml:" in done.output
