"""Every way to type a scalar, as the plan format lists them."""

from __future__ import annotations

import datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.plan import quantities, scalars
from loomwright.plan.misread import Misread
from loomwright.plan.quantities import quantity
from loomwright.plan.spellings import UNITS
from loomwright.plan.values import AUTO, NONE, UNKNOWN, Quantity
from loomwright.tables import awg

TYPED = [
    ("15 A", "A", 15.0),
    ("60 mA", "A", 0.060),
    ("2 kA", "A", 2000.0),
    ("15A", "A", 15.0),
    ("12.8 V", "V", 12.8),
    ("40 mV", "V", 0.040),
    ("50 Ω", "Ω", 50.0),
    ("50 ohm", "Ω", 50.0),
    ("5 mΩ", "Ω", 0.005),
    ("7.5 mΩ", "Ω", 0.0075),
    ("5 mohm", "Ω", 0.005),
    ("700 W", "W", 700.0),
    ("3 kW", "W", 3000.0),
    ("3000 VA", "W", 3000.0),
    ("3 kVA", "W", 3000.0),
    ("175 Wp", "W", 175.0),
    ("1.2 kWh", "Wh", 1200.0),
    ("60 Wh", "Wh", 60.0),
    ("95 Ah", "Ah", 95.0),
    ("800 mAh", "Ah", 0.8),
    ("6.2 m", "m", 6.2),
    ("40 cm", "m", 0.40),
    ("20 mm", "m", 0.020),
    ("11 ft", "m", 3.3528),
    ("6 in", "m", 0.1524),
    ("2.5 mm²", "mm²", 2.5),
    ("2.5 mm2", "mm²", 2.5),
    ("2.5 mm^2", "mm²", 2.5),
    ("2,5 mm²", "mm²", 2.5),
    ("0,125 A", "A", 0.125),
    ("80 ms", "s", 0.080),
    ("30 s", "s", 30.0),
    ("4 min", "s", 240.0),
    ("1.5 h", "s", 5400.0),
    ("3 days", "s", 259_200.0),
    ("1 day", "s", 86_400.0),
    ("3 years", "s", 94_672_800.0),
    ("-12 °C", "°C", -12.0),
    ("-12 C", "°C", -12.0),
    ("−12 °C", "°C", -12.0),
    ("23 °F", "°C", -5.0),
    ("-40 °F", "°C", -40.0),
    ("212 °F", "°C", 100.0),
    ("24 kg", "kg", 24.0),
    ("800 g", "kg", 0.8),
    ("50 lb", "kg", 22.6796185),
    ("80 l", "l", 80.0),
    ("20 gal", "l", 75.70823568),
    ("14.4 W/m", "W/m", 14.4),
    ("1.0 W/K", "W/K", 1.0),
    ("30 %", "fraction", 0.30),
    ("0.30", "fraction", 0.30),
    ("0,30", "fraction", 0.30),
    ("100 %", "fraction", 1.0),
    ("1.0", "fraction", 1.0),
    ("200 Hz", "Hz", 200.0),
    ("25 Ah/h", "Ah/h", 25.0),
]


@pytest.mark.parametrize(("text", "unit", "value"), TYPED)
def test_quantity(text, unit, value):
    """The inch, foot, pound and US gallon by definition: NIST Handbook 44, Appendix C."""
    read = quantity(text, unit)
    assert isinstance(read, Quantity)
    assert read.low == read.high == pytest.approx(value, rel=1e-12)
    assert (read.unit, read.typed) == (unit, text)


@pytest.mark.parametrize(
    ("gauge", "printed_mm2"),
    [
        *(("18 AWG", 0.823), ("16 AWG", 1.31), ("14 AWG", 2.08), ("12 AWG", 3.31), ("10 AWG", 5.261)),
        *(("8 AWG", 8.367), ("6 AWG", 13.30), ("4 AWG", 21.15), ("2 AWG", 33.62), ("1 AWG", 42.41)),
        *(("1/0 AWG", 53.49), ("2/0 AWG", 67.43), ("3/0 AWG", 85.01), ("4/0 AWG", 107.2)),
    ],
)
def test_awg_area(gauge, printed_mm2):
    """NFPA 70, Chapter 9, Table 8, area in mm² as printed there (from memory).

    The table goes by circular mils rounded to four digits, so its areas are up to 0.05 % off the rule.
    """
    read = quantity(gauge, "mm²")
    assert isinstance(read, Quantity)
    half_a_digit = 0.5 * 10.0 ** -len(str(printed_mm2).partition(".")[2])
    assert read.low == pytest.approx(printed_mm2, rel=0.0005, abs=half_a_digit)


@pytest.mark.parametrize("number", [18, 10, 4, 0, -1, -3])
def test_awg_area_agrees_with_the_tables(number):
    assert quantities.awg_area_mm2(number) == pytest.approx(awg.area_mm2(number), rel=1e-9)


@pytest.mark.parametrize(
    ("text", "unit", "low", "high"),
    [
        ("1.0..1.5 mΩ", "Ω", 0.001, 0.0015),
        ("1.0 mΩ..1.5 mΩ", "Ω", 0.001, 0.0015),
        ("80 mA..1 A", "A", 0.08, 1.0),
        ("-5..28 °C", "°C", -5.0, 28.0),
        ("9..32 V", "V", 9.0, 32.0),
        ("20..100 %", "fraction", 0.2, 1.0),
        ("16 AWG..14 AWG", "mm²", 1.3088, 2.0809),
        ("14 AWG..16 AWG", "mm²", 1.3088, 2.0809),
    ],
)
def test_range(text, unit, low, high):
    read = quantity(text, unit)
    assert isinstance(read, Quantity)
    assert not read.known
    assert (read.low, read.high) == pytest.approx((low, high), rel=1e-4)


def test_words():
    assert quantity("unknown", "A") is UNKNOWN
    assert quantity("auto", "m", auto=True) is AUTO
    assert quantity("none", "°C", none=True) is NONE


REFUSED = [
    ("1.0", "mm²", '"1.0" has no unit. Write 1.0 mm² (or AWG).'),
    ("95", "Ah", '"95" has no unit. Write 95 Ah.'),
    ("30", "fraction", '"30" has no unit. Write 30 % (or a fraction like 0.30).'),
    ("1", "fraction", '"1" has no unit. Write 1 % (or a fraction like 0.30).'),
    ("15 V", "A", '"15 V" is a voltage; this field is a current. Write it like 15 A.'),
    ("4 mm", "mm²", '"4 mm" has a unit unknown here. Write 4 mm².'),
    ("4 awg", "mm²", '"4 awg" has a unit unknown here. Write 4 AWG.'),
    ("5 amps", "A", '"5 amps" has a unit unknown here. Write 5 A.'),
    ("5 a", "A", '"5 a": capital and small letters count in a unit. Write 5 A.'),
    ("2 metres", "m", '"2 metres" has a unit unknown here. Write 2 m.'),
    ("5 parsec", "m", '"5 parsec": "parsec" is no unit of a length. Write it like 2.4 m.'),
    ("1,000 W", "W", '"1,000 W" has a thousands separator. Write the figure without it, 1000 not 1,000.'),
    ("1 000 W", "W", '"1 000 W" has a thousands separator. Write the figure without it, 1000 not 1,000.'),
    ("1.000,5 W", "W", '"1.000,5 W" has a thousands separator. Write the figure without it, 1000 not 1,000.'),
    ("1'000 W", "W", '"1\'000 W" has a thousands separator. Write the figure without it, 1000 not 1,000.'),
    ("1e3 A", "A", '"1e3 A": "e3 A" is no unit of a current. Write it like 15 A.'),
    ("lots", "A", '"lots" is not a current. Write it like 15 A.'),
    ("-3 m", "m", '"-3 m" is negative; a length is not. Write it like 2.4 m.'),
    ("auto", "A", "this field has no auto. Write the figure or unknown."),
    ("none", "A", "this field has no none. Write the figure or unknown."),
    ("5..3 A", "A", '"5..3 A" runs from the larger to the smaller. Write the smaller first.'),
]


@pytest.mark.parametrize(("text", "unit", "says"), REFUSED)
def test_refused_with_advice(text, unit, says):
    with pytest.raises(Misread) as misread:
        quantity(text, unit)
    assert str(misread.value) == says


def test_above_zero():
    with pytest.raises(Misread, match="has to be above zero"):
        quantity("0 mm²", "mm²", zero=False)


def test_signed_where_asked():
    read = quantity("-0.2 V", "V", signed=True)
    assert isinstance(read, Quantity)
    assert read.low == -0.2


@pytest.mark.parametrize(
    ("read", "text", "value"),
    [
        (scalars.count, "6", 6),
        (scalars.count, "012", 12),
        (scalars.count, "unknown", UNKNOWN),
        (scalars.at_least_one, "1", 1),
        (scalars.yes_no, "yes", True),
        (scalars.yes_no, "on", True),
        (scalars.yes_no, "true", True),
        (scalars.yes_no, "no", False),
        (scalars.yes_no, "off", False),
        (scalars.yes_no, "false", False),
        (scalars.yes_no, "unknown", UNKNOWN),
        (scalars.clock, "22:00", "22:00"),
        (scalars.clock, "8:30", "08:30"),
        (scalars.date, "2026-11-25", datetime.date(2026, 11, 25)),
        (scalars.colour, "RD", "RD"),
        (scalars.colour, "GNYE", "GNYE"),
    ],
)
def test_plain_scalars(read, text, value):
    assert read(text) == value


@pytest.mark.parametrize(
    ("read", "text", "low", "high", "unit"),
    [
        (scalars.number, "1.12", 1.12, 1.12, ""),
        (scalars.money, "48,50", 48.5, 48.5, "money"),
        (scalars.coordinate, "-0.45", -0.45, -0.45, "m"),
        (scalars.coordinate, "0.4..3.2", 0.4, 3.2, "m"),
        (scalars.coordinate, "-0.35..0.35", -0.35, 0.35, "m"),
        (scalars.coordinate, "60 cm", 0.6, 0.6, "m"),
        (scalars.degrees, "180", 180.0, 180.0, "°"),
        (scalars.degrees, "43.5 N", 43.5, 43.5, "°"),
        (scalars.degrees, "1.2 W", -1.2, -1.2, "°"),
        (scalars.degrees, "33,9 S", -33.9, -33.9, "°"),
    ],
)
def test_bare_numbers(read, text, low, high, unit):
    value = read(text)
    assert (value.low, value.high, value.unit) == (low, high, unit)


@pytest.mark.parametrize(
    ("read", "text", "says"),
    [
        (scalars.count, "6.5", "whole number"),
        (scalars.count, "6 A", "whole number"),
        (scalars.at_least_one, "0", "from 1 to 500"),
        (scalars.yes_no, "maybe", "neither yes nor no"),
        (scalars.clock, "25:00", "time of day"),
        (scalars.date, "25.11.2026", "2026-11-25"),
        (scalars.date, "2026-02-30", "calendar"),
        (scalars.money, "€48", "without a sign"),
        (scalars.money, "1,200", "thousands"),
        (scalars.coordinate, "left", "not a coordinate|not a length"),
        (scalars.degrees, "north", "43.5 N"),
        (scalars.colour, "red", "Write RD"),
        (scalars.colour, "rdbu", "Write RDBU"),
        (scalars.colour, "red blue", "Write RDBU"),
        (scalars.number, "-1", "negative"),
    ],
)
def test_plain_scalars_refused_with_advice(read, text, says):
    with pytest.raises(Misread, match=says):
        read(text)


@given(
    st.sampled_from(
        [(unit, spelling) for unit, entry in UNITS.items() for spelling in entry.spellings if unit != "°C"]
    ),
    st.decimals(min_value=0, max_value=99_999, places=3),
)
def test_every_spelling_round_trips(spelt, number):
    unit, spelling = spelt
    read = quantity(f"{number} {spelling}", unit)
    again = quantity(f"{number}{spelling}".replace(".", ",") if number < 1 else f"{number}{spelling}", unit)
    assert isinstance(read, Quantity)
    assert isinstance(again, Quantity)
    way = UNITS[unit].spellings[spelling]
    factor = 10.0**way if isinstance(way, int) else way
    assert read.low == again.low == pytest.approx(float(number) * factor, rel=1e-12)


@given(st.text(max_size=12), st.sampled_from(list(UNITS)))
def test_any_text_reads_or_is_refused_in_words(text, unit):
    try:
        read = quantity(text, unit)
    except Misread as misread:
        said = str(misread)
    else:
        said = "" if read is UNKNOWN or isinstance(read, Quantity) else "neither"
    assert not said or said.endswith((".", "?"))
