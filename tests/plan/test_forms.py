"""The short text forms, as the plan format lists them."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from loomwright.plan import forms
from loomwright.plan.misread import Misread
from loomwright.plan.values import (
    AUTO,
    NONE,
    UNKNOWN,
    Breaker,
    Drive,
    Fuse,
    HookUp,
    Joints,
    Limit,
    Passage,
    Quantity,
    Rcd,
    Running,
    Start,
    Use,
    Yield,
)


def one(value, unit, typed):
    """Return a definite quantity."""
    return Quantity(value, value, unit, typed)


READ = [
    (forms.running, "4.2 A", Running(one(4.2, "A", "4.2 A"))),
    (forms.running, "2.5 W", Running(one(2.5, "W", "2.5 W"))),
    (forms.running, "3 Ω", Running(one(3.0, "Ω", "3 Ω"))),
    (forms.running, "170 W at 12 V", Running(one(170.0, "W", "170 W"), at_v=12.0)),
    (forms.running, "1.8 A together", Running(one(1.8, "A", "1.8 A"), together=True)),
    (forms.running, "4..6 A", Running(Quantity(4.0, 6.0, "A", "4..6 A"))),
    (forms.running, "unknown", Running(UNKNOWN)),
    (forms.start, "14 A", Start(one(14.0, "A", "14 A"))),
    (forms.start, "14 A for 80 ms", Start(one(14.0, "A", "14 A"), one(0.08, "s", "80 ms"))),
    (forms.start, "9 A for 4 min", Start(one(9.0, "A", "9 A"), one(240.0, "s", "4 min"))),
    (forms.start, "4000 W for 2 s", Start(one(4000.0, "W", "4000 W"), one(2.0, "s", "2 s"))),
    (forms.start, "none", Start(NONE)),
    (forms.start, "unknown", Start(UNKNOWN)),
    (forms.limit, "10.4 V", Limit(one(10.4, "V", "10.4 V"))),
    (forms.limit, "10.5 V for 20 s", Limit(one(10.5, "V", "10.5 V"), for_s=one(20.0, "s", "20 s"))),
    (forms.limit, "15.0 V for 6 %", Limit(one(15.0, "V", "15.0 V"), share=one(0.06, "fraction", "6 %"))),
    (forms.limit, "none", Limit(NONE)),
    (forms.yield_, "75 % at 13.3 V", Yield(one(0.75, "fraction", "75 %"), one(13.3, "V", "13.3 V"))),
    (forms.joints, "6", Joints(6)),
    (forms.joints, "6 at 0.1 mΩ", Joints(6, one(0.0001, "Ω", "0.1 mΩ"))),
    (forms.joints, "unknown", UNKNOWN),
    (forms.fuse, "15 A", (Fuse(one(15.0, "A", "15 A")),)),
    (forms.fuse, "3A", (Fuse(one(3.0, "A", "3A")),)),
    (forms.fuse, "100 A bolted", (Fuse(one(100.0, "A", "100 A"), "bolted"),)),
    (forms.fuse, "40 A bolted at to", (Fuse(one(40.0, "A", "40 A"), "bolted", "to"),)),
    (
        forms.fuse,
        "60 A at both",
        (Fuse(one(60.0, "A", "60 A")), Fuse(one(60.0, "A", "60 A"), None, "to")),
    ),
    (
        forms.fuse,
        "250 A high_breaking at master",
        (Fuse(one(250.0, "A", "250 A"), "high_breaking", "master"),),
    ),
    (forms.fuse, "unknown at to", (Fuse(UNKNOWN, None, "to"),)),
    (forms.fuse, "none", ()),
    (forms.fuse, "unknown", UNKNOWN),
    (forms.fuse, "auto", AUTO),
    (forms.breaker, "16 A B 2-pole", Breaker(one(16.0, "A", "16 A"), "B", 2)),
    (forms.breaker, "15 A 1-pole 5 mA", Breaker(one(15.0, "A", "15 A"), None, 1, one(0.005, "A", "5mA"))),
    (forms.breaker, "10 A", Breaker(one(10.0, "A", "10 A"))),
    (forms.breaker, "none", Breaker(NONE)),
    (forms.breaker, "unknown", Breaker(UNKNOWN)),
    (forms.rcd, "30 mA", Rcd(one(0.03, "A", "30 mA"))),
    (forms.rcd, "30 mA 2-pole", Rcd(one(0.03, "A", "30 mA"), 2)),
    (forms.rcd, "30 mA 2-pole type A", Rcd(one(0.03, "A", "30 mA"), 2, "A")),
    (forms.rcd, "none", Rcd(NONE)),
    (forms.rcd, "unknown", Rcd(UNKNOWN)),
    (forms.use, "24 h at 30 %", Use(one(24.0, "h", "24 h"), at=one(0.3, "fraction", "30 %"))),
    (forms.use, "3.5 h at 0.85 A", Use(one(3.5, "h", "3.5 h"), at=one(0.85, "A", "0.85 A"))),
    (forms.use, "30 min", Use(one(0.5, "h", "30 min"))),
    (
        forms.use,
        "14 h at 1.5 A and 2 starts",
        Use(one(14.0, "h", "14 h"), at=one(1.5, "A", "1.5 A"), starts=2),
    ),
    (forms.use, "18:00..22:00", Use(span=("18:00", "22:00"))),
    (forms.use, "1.2 kWh", Use(energy=one(1200.0, "Wh", "1.2 kWh"))),
    (forms.use, "unknown", Use(UNKNOWN)),
    (forms.drive, "daily 08:30 for 45 min", Drive("daily", one(2700.0, "s", "45 min"), "08:30")),
    (forms.drive, "fri for 1.0 h", Drive("fri", one(3600.0, "s", "1.0 h"))),
    (forms.drive, "sat 9:00 for 3 h towing", Drive("sat", one(10_800.0, "s", "3 h"), "09:00", towing=True)),
    (forms.hook_up, "none", HookUp("none", 0.0)),
    (forms.hook_up, "always", HookUp("always", 7.0)),
    (forms.hook_up, "mostly", HookUp("mostly")),
    (forms.hook_up, "1 night per week", HookUp("1 night per week", 1.0)),
    (forms.hook_up, "2 nights per week", HookUp("2 nights per week", 2.0)),
    (forms.hook_up, "every 2 days", HookUp("every 2 days", 3.5)),
    (forms.criterion, "d_plus", "d_plus"),
    (forms.criterion, "above 13.2 V", "above 13.2 V"),
    (forms.passage, "S1", Passage("S1")),
    (forms.passage, "X5.1", Passage("X5", pin="1")),
    (forms.passage, "K1.30-87a", Passage("K1", ends=("30", "87a"))),
    (forms.contacts, "com-vehicle", ("com", "vehicle")),
]


@pytest.mark.parametrize(("read", "text", "value"), READ, ids=[f"{r.__name__}: {t}" for r, t, _ in READ])
def test_form(read, text, value):
    assert read(text) == value


REFUSED = [
    (forms.running, "3 V", '"3 V" is a voltage; a current or a power or a resistance is asked.'),
    (forms.running, "3", '"3" has no unit. Write it like 4.2 A'),
    (forms.running, "3 A at noon", '"noon" is not a voltage'),
    (forms.start, "14 A for ever", '"ever" is not a time'),
    (forms.start, "14 V", '"14 V" is a voltage; a current or a power is asked.'),
    (forms.limit, "10.5 A", '"10.5 A" is a current'),
    (forms.yield_, "75 %", "lacks the battery voltage"),
    (forms.fuse, "15 A boltd", 'no fuse type "boltd".*Did you mean "bolted"'),
    (forms.fuse, "15", '"15" has no unit. Write 15 A.'),
    (forms.fuse, "15 V", '"15 V" is a voltage'),
    (forms.fuse, "0 A", "above zero"),
    (forms.fuse, "none at to", "is not a fuse"),
    (forms.fuse, "fifteen", "is not a fuse"),
    (forms.breaker, "16 A E", '"E" is no part of a breaker'),
    (forms.rcd, "30 A", "milliamperes"),
    (forms.rcd, "big", "is not an RCD"),
    (forms.use, "24 at 30 %", '"24" has no unit'),
    (forms.use, "24", "Write 24 h, if hours are meant"),
    (forms.use, "24 h at 30", '"30" has no unit'),
    (forms.drive, "fri", "is not a drive"),
    (forms.drive, "friday for 1 h", 'Did you mean "fri"'),
    (forms.hook_up, "sometimes", "is not a hook-up"),
    (forms.hook_up, "9 nights per week", "7 nights"),
    (forms.joints, "few", "number of joints"),
    (forms.criterion, "engin", 'Did you mean "engine"'),
    (forms.passage, "S1-S2", "is no passage"),
    (forms.contacts, "vehicle", "com-vehicle"),
]


@pytest.mark.parametrize(("read", "text", "says"), REFUSED, ids=[f"{r.__name__}: {t}" for r, t, _ in REFUSED])
def test_form_refused_with_advice(read, text, says):
    with pytest.raises(Misread, match=says):
        read(text)


FORMS = sorted({read for read, _, _ in READ}, key=lambda read: read.__name__)


@given(st.text(alphabet="0123456789., AVWΩhmin%atforunkwbothBpole-:/", max_size=20), st.sampled_from(FORMS))
def test_any_text_reads_or_is_refused_in_words(text, read):
    said = "."
    try:
        read(text)
    except Misread as misread:
        said = str(misread)
    assert said.endswith((".", "?"))
