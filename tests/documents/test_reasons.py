"""The reasons slip: every printed row works out again, rows sum up to their totals, words for a workshop.

By hand for Alderford's pump (C4): 1 mm² copper 19.5 mΩ/m (IEC 60228, Table 3), 2.7 m make 52.65 mΩ and the
return of 0.6 m 11.7 mΩ; fuse 7.5, four crimps 2.0, stud E3 and its half of the body 0.9, the pump's relay
2.0, and 8.13 mΩ in what the unit, H1, H3, E2 and the carrier share: 84.88 mΩ. A start of 16 A loses 1.358 V.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cache

import pytest

from loomwright import read_text
from loomwright.documents.reasons import Reasons, Row, Table, reasons
from loomwright.documents.reasons.figures import figure, quantity, summed
from loomwright.documents.reasons.record import Kind
from loomwright.rules.check import Checked, check_plan
from loomwright.source import Source
from loomwright.steps import Given, Step, evaluate
from loomwright.tables.iec_60228 import CLASS_5_OHM_PER_KM
from tests.plans import random_plan
from tests.scenarios.lines import EXAMPLES, VANS

CHECKED = (
    "read in the work",
    "published, second hand",
    "one source",
    "computed",
    "common practice",
    "from memory",
)
#: Words that no screen or sheet carries.
REFUSED = re.compile(
    r"\b(node|null|None|nan|instance|complies|certified|safe|approved|violation)\b", re.IGNORECASE
)


@cache
def van(name: str) -> Checked:
    return check_plan(read_text((EXAMPLES / f"{name}.yaml").read_text(encoding="utf-8")))


def things(checked: Checked) -> Iterator[tuple[Kind, str]]:
    """Give everything of a van that has a slip."""
    job = checked.assessment
    yield from (("wire", id) for id in job.wires)
    yield from (("part", id) for id in job.wiring.parts)
    yield from (("stud", id) for id in job.studs)
    yield from (("finding", str(number)) for number in range(1, len(checked.findings) + 1))
    yield from (("terminal", point) for point in job.wiring.by_point if job.wiring.terminal_of(point))


def slips(checked: Checked) -> Iterator[Reasons]:
    yield from (reasons(checked, kind, id) for kind, id in things(checked))


def rows_of(table: Table) -> Iterator[Row]:
    """Give all rows of a table, details too."""
    waiting = list(table.rows)
    while waiting:
        row = waiting.pop()
        yield row
        waiting.extend(row.details)


def table(slip: Reasons, key: str) -> Table:
    return next(table for table in slip.tables if table.key == key)


def number(row: Row) -> float:
    return float(row.value.replace("\N{MINUS SIGN}", "-"))


RANDOM = [random_plan(seed, 20) for seed in range(4)]
CASES = [*VANS, *(f"random {k}" for k in range(len(RANDOM)))]


def case(name: str) -> Checked:
    if name in VANS:
        return van(name)
    return check_plan(read_text(RANDOM[int(name.removeprefix("random "))]))


@pytest.mark.parametrize("name", CASES)
def test_every_printed_row_works_out_again(name):
    count = 0
    for slip in slips(case(name)):
        for one in slip.tables:
            for row in rows_of(one):
                if row.step is None:
                    continue
                count += 1
                again = evaluate(row.step)
                assert again == pytest.approx(row.step.value, rel=1e-9, abs=1e-9), (slip.id, row)
                printed = [figure(again, row.step.unit, fine) for fine in (False, True)]
                assert (row.value, row.unit) in printed, (slip.id, row)
    assert count > 100


@pytest.mark.parametrize("name", CASES)
def test_details_and_rows_sum_up_as_printed(name):
    """The rows of a loop make the loop, and its details the rows, within half a digit of each."""
    loops = 0
    for slip in slips(case(name)):
        for one in slip.tables:
            if one.key == "loop":
                *rows, whole = one.rows
                loops += 1
                assert whole.is_total
                assert sum(map(number, rows)) == pytest.approx(number(whole), abs=0.05 * (len(rows) + 1))
                for row in rows:
                    if row.details:
                        total = sum(map(number, row.details))
                        assert total == pytest.approx(number(row), abs=0.05 * (len(row.details) + 1))
            if one.key == "gives":
                *rows, whole = one.rows
                assert sum(map(number, rows)) == pytest.approx(number(whole), rel=0.01, abs=0.05)
    assert loops > 3


@pytest.mark.parametrize("name", CASES)
def test_a_slip_prints_the_drop_of_the_report(name):
    """Running and at the start, for the circuit of each wire that loses most."""
    checked, seen = case(name), 0
    circuits = [one for one in checked.assessment.circuits.values() if one.drop_pct is not None]
    for wire in {one.wire for one in circuits}:
        worst = max((one for one in circuits if one.wire == wire), key=lambda one: one.drop_pct or 0.0)
        slip = reasons(checked, "wire", wire)
        lost = next(row for row in table(slip, "lost").rows if row.what == "Lost, running")
        assert f"{lost.value} {lost.unit}" == quantity(worst.drop_v, "V"), wire
        if worst.start_drop_v is not None:
            start = table(slip, "start").rows[0]
            assert f"{start.value} {start.unit}" == quantity(worst.start_drop_v, "V"), wire
        seen += 1
    assert seen > 0


@pytest.mark.parametrize("name", CASES)
def test_words_and_sources(name):
    for slip in slips(case(name)):
        texts = [slip.head.what, slip.head.runs, *(one.title for one in slip.tables)]
        texts += [one.result for one in slip.tables]
        for one in slip.tables:
            for row in rows_of(one):
                texts += [row.what, row.sum]
                assert row.what
                assert re.fullmatch(r"[\N{MINUS SIGN}]?\d+(\.\d+)?|\?|–", row.value), row
                assert row.source is None or row.source.checked in CHECKED
                assert "-" not in row.value
        for text in texts:
            assert not REFUSED.search(text), text
            assert "  " not in text, text
            assert "None" not in text


@pytest.mark.parametrize("name", VANS)
def test_things_that_rows_lead_to_exist(name):
    checked = van(name)
    known = set(things(checked))
    for slip in slips(checked):
        for one in slip.tables:
            for row in rows_of(one):
                assert row.of is None or row.of in known, row


@pytest.mark.parametrize("name", VANS)
def test_every_finding_stands_on_the_slip_of_its_thing(name):
    checked = van(name)
    for number_, finding in enumerate(checked.findings, 1):
        slip = reasons(checked, "finding", str(number_))
        assert slip.findings[0].number == number_
        assert slip.findings[0].says == finding.says
        assert set(finding.unknown) <= set(slip.unknown)
        mains = (run := checked.assessment.wiring.runs.get(finding.where)) is not None and run.mains
        assert slip.tables or mains or finding.rule in ("not_wired", "load_not_fed", "size_unknown"), finding


def test_alderford_pump_by_hand():
    slip = reasons(van("alderford"), "wire", "C4")
    assert slip.head.what == "C4 · BU 1 mm²"
    assert slip.head.runs == "U1 way 4 to the pump, 2.7 m, by cross_floor, right_sill"
    assert (slip.head.colours, slip.head.area_mm2) == (("BU",), 1.0)
    loop = table(slip, "loop")
    assert [(row.what.split(",")[0].split(":")[0], row.value) for row in loop.rows] == [
        ("Wire C4", "52.7"),
        ("Return C4.return", "11.7"),
        ("Fuse", "7.5"),
        ("Crimps", "2.0"),
        ("Stud and body E3", "0.9"),
        ("On its way", "2.0"),
        ("Shared with others", "8.1"),
        ("Whole loop", "84.9"),
    ]
    assert loop.rows[0].sum == "19.5 mΩ/m × 2.7 m"
    assert CLASS_5_OHM_PER_KM[1.0] == 19.5
    assert loop.rows[0].source is not None
    assert loop.rows[0].source.work == "IEC 60228"
    assert loop.rows[3].sum == "4 × 0.5 mΩ"
    assert loop.result == "4.5 A × 84.9 mΩ = 0.38 V, ÷ 12 V = 3.2 %, copper at 20 °C"
    start = table(slip, "start")
    assert [(row.sum, row.value, row.unit) for row in start.rows] == [
        ("16 A × 84.9 mΩ", "1.36", "V"),
        ("1.36 V ÷ 12 V", "11.3", "%"),
        ("12 V \N{MINUS SIGN} 1.36 V", "10.64", "V"),
    ]
    assert start.result == "loses 1.36 V (11.3 %) at 16 A"
    held = {one.what: one for one in slip.limits}["drop at its start"]
    assert (held.value, held.watch, held.fault, held.level) == ("11.3 %", "8.0 %", "10.0 %", "fault")


def test_alderford_cable_by_hand():
    """DIN VDE 0298-4: 19 A for 1 mm²; three together 0.70; 30 °C 1.00: 13.3 A, filled by 4.5 A to 34 %.

    Its copper is then at 30 + (70 - 30) (4.5 / 13.3)² = 35 °C.
    """
    cable = table(reasons(van("alderford"), "wire", "C4"), "cable")
    assert [row.value for row in cable.rows] == ["19", "0.70", "1.00", "13.3", "4.5", "33.8", "35"]
    assert cable.rows[3].sum == "19 A × 0.70 × 1.00"
    assert cable.result == "BU 1 mm² is good for 13.3 A, carries 4.5 A"


def test_a_feeder_tells_whose_current_it_carries():
    """H1 brings the unit all that Alderford's leisure battery gives: 19.6 A, fridge and pump first."""
    checked = van("alderford")
    carried = next(row for row in table(reasons(checked, "wire", "H1"), "cable").rows if row.details)
    assert carried.value == "19.6"
    assert [detail.what for detail in carried.details[:2]] == ["the fridge", "the pump"]
    gives = table(reasons(checked, "part", "leisure"), "gives")
    assert gives.rows[-1].value == "19.6"
    assert gives.result == "the leisure battery gives 19.6 A"


def test_a_shared_wire_tells_all_its_loads():
    """Mossgrove's W4: 6 A × 140.5 mΩ, as on the van's page (0.85 V by hand with rounded ohms)."""
    loads = table(reasons(van("mossgrove"), "wire", "W4"), "loads")
    assert [(row.what, row.value) for row in loads.rows] == [
        ("the pump", "0.84"),
        ("Twin USB", "0.31"),
        ("Rear lamps", "0.12"),
    ]


def test_what_a_start_takes_from_others():
    dips = table(reasons(van("mossgrove"), "part", "lamps"), "dips")
    assert dips.result == "falls by 2.02 V when the pump starts"
    worst = dips.rows[0].details[0]
    assert (worst.what, worst.sum, worst.value) == ("W4, copper 1 mm², 6.2 m", "120.9 mΩ × 14 A", "1.69")


def test_a_terminal_tells_its_fuse_and_its_wire():
    slip = reasons(van("mossgrove"), "terminal", "P1.3")
    assert slip.head.what == "P1 way 3 · 5 A blade · W5 · VT 1 mm²"
    assert slip.tables == reasons(van("mossgrove"), "wire", "W5").tables
    unit = reasons(van("alderford"), "terminal", "U1.way_4")
    assert unit.head.what == "U1 way 4 · 10 A blade · C4 · BU 1 mm²"


def test_a_stud_tells_its_rings():
    stud = table(reasons(van("alderford"), "stud", "E3"), "stud")
    assert [(row.what, row.value) for row in stud.rows[:4]] == [
        ("Ring of C4.return", "4.5"),
        ("Ring of C5.return", "2.4"),
        ("Ring of C8.return", "4.5"),
        ("Into the body", "11.4"),
    ]


def test_standards_stand_beside_the_limit_that_holds():
    held = reasons(van("alderford"), "wire", "C4").limits[0]
    assert held.source.work == "common practice"
    assert any(
        text.startswith("ISO 10133") and "check against a licensed copy" in text for text in held.beside
    )


def test_guesses_that_took_part_are_named():
    text = (EXAMPLES / "mossgrove.yaml").read_text(encoding="utf-8")
    unsure = re.sub(r"(W5: \{[^\n]*?length: )[\d.]+ m", r"\1unknown", text)
    assert unsure != text
    slip = reasons(check_plan(read_text(unsure)), "wire", "W5")
    assert "wiring.W5.length" in slip.unknown
    assert any(row.unknown == "wiring.W5.length" for one in slip.tables for row in rows_of(one))


def test_what_is_not_there_is_refused():
    for kind, id in (("wire", "pump"), ("part", "C4"), ("stud", "E9"), ("finding", "0"), ("finding", "99")):
        with pytest.raises(KeyError, match="no "):
            reasons(van("alderford"), kind, id)
    with pytest.raises(KeyError, match="no terminal"):
        reasons(van("alderford"), "terminal", "nothing.1")


@pytest.mark.parametrize(
    ("formula", "inputs", "text"),
    [
        ("a - (b - c)", {"a": 3.0, "b": 2.0, "c": 1.0}, "3 A − (2 A − 1 A)"),
        ("a / (b * c)", {"a": 3.0, "b": 2.0, "c": 1.0}, "3 A ÷ (2 A × 1 A)"),
        ("a * (b + c)", {"a": 3.0, "b": 2.0, "c": 1.0}, "3 A × (2 A + 1 A)"),
        ("a * b + c", {"a": 3.0, "b": 2.0, "c": 0.0}, "3 A × 2 A"),
        ("a * b**2", {"a": 3.0, "b": 2.0}, "3 A × 2 A²"),
        ("sqrt(max(a - b, 0))", {"a": 3.0, "b": 2.0}, "√(3 A − 2 A)"),
        ("-a * b", {"a": 3.0, "b": 2.0}, "−3 A × 2 A"),
    ],
)
def test_sums_are_printed_with_the_brackets_they_need(formula, inputs, text):
    given = tuple(Given(name, value, "A") for name, value in inputs.items())
    assert summed(Step("x", formula, given, 0.0, "A")).replace("\N{MINUS SIGN}", "−") == text


def test_figures_have_the_digits_that_matter():
    shown = {
        (0.00025, "Ω"): "0.25 mΩ",
        (0.0849, "Ω"): "84.9 mΩ",
        (0.0, "V"): "0 V",
        (12.0, "V"): "12 V",
        (-0.004, "V"): "\N{MINUS SIGN}0.004 V",
        (-0.0001, "V"): "0.000 V",
        (1234.0, "A"): "1234 A",
        (0.7, ""): "0.70",
        (3.0, ""): "3",
    }
    assert {quantity(value, unit) for value, unit in shown} == set(shown.values())


def test_a_source_from_memory_asks_for_a_licensed_copy():
    cable = table(reasons(van("alderford"), "wire", "C4"), "cable")
    source = cable.rows[0].source
    assert isinstance(source, Source)
    assert "check against a licensed copy" in str(source)
