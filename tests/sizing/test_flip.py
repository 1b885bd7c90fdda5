"""What would flip a verdict, checked by writing it into the plan and judging both sides of it again.

By hand for Alderford's pump feed (start 16 A, 12 V): the loop is 84.9 mΩ, of it 64.35 mΩ the 3.3 m of 1 mm²
at 19.5 mΩ/m (IEC 60228, Table 3). At 1.5 mm² (13.3 mΩ/m) the start takes 16 A × 64.4 mΩ = 1.03 V, 8.6 %; at
2.5 mm² (7.98 mΩ/m) 16 A × 46.9 mΩ = 0.75 V, 6.3 %. The workshop watches from 8 % on (common practice).
"""

from __future__ import annotations

import pytest

from loomwright import read_text
from loomwright.plan.edit import Edit, apply_edits
from loomwright.rules.check import check_plan
from loomwright.sizing.flip import Flip, flips
from loomwright.sizing.search import first_flip
from loomwright.sizing.trial import OutOfTrialsError, Verdict
from tests.scenarios.lines import EXAMPLES, VANS


def text_of(van: str) -> str:
    return (EXAMPLES / f"{van}.yaml").read_text(encoding="utf-8")


def matters(text: str) -> set[tuple[str, str, str]]:
    """Return the findings of a text that are more than notes."""
    findings = check_plan(read_text(text)).findings
    return {(f.rule, f.where, f.severity) for f in findings if f.severity != "note"}


def by_field(found: list[Flip]) -> dict[str, Flip]:
    return {flip.field: flip for flip in found}


def test_alderford_pump_needs_2_5_mm2():
    found = by_field(list(flips(text_of("alderford"), "finding", "2")))
    area = found["area"]
    assert (area.typed_now, area.keeps, area.typed_then) == ("1 mm²", "1.5 mm²", "2.5 mm²")
    assert area.edits == (Edit("wiring.C4.area", "2.5 mm²"),)
    assert [finding.rule for finding in area.change.gone] == ["start_drop_too_large"]
    assert area.words == "2.5 mm² instead of 1 mm² clears it; 1.5 mm² does not."


def test_alderford_pump_length_by_hand():
    """8 % of 12 V is 0.96 V, 60 mΩ at 16 A; 1 m of 1 mm², there and back by the body, is 19.5 mΩ.

    On the leisure battery 84.9 mΩ: 1.28 m too many. On the vehicle battery 97.1 mΩ: 1.91 m too many, and
    only 2.7 − 1.91 = 0.79 m clears both.
    """
    length = by_field(list(flips(text_of("alderford"), "wire", "C4")))["length"]
    assert (length.keeps, length.typed_then) == ("0.8 m", "0.7 m")


@pytest.mark.parametrize("van", VANS)
def test_both_sides_of_what_clears_a_finding(van):
    """Written into the text, the figure clears the finding, and the one before it does not."""
    text = text_of(van)
    findings = check_plan(read_text(text)).findings
    for number, finding in enumerate(findings, 1):
        for flip in flips(text, "finding", str(number)):
            if not flip.typed_then:
                continue
            key = (finding.rule, finding.where)
            assert key not in {one[:2] for one in matters(apply_edits(text, flip.edits))}, flip
            near = text if flip.keeps == flip.typed_now else apply_edits(text, [Edit(flip.at, flip.keeps)])
            assert flip.exact
            assert key in {one[:2] for one in matters(near)} or matters(near) - matters(text), flip


@pytest.mark.parametrize(("van", "wire"), [("alderford", "C8"), ("mossgrove", "W5"), ("saltpan", "W8")])
def test_both_sides_of_how_far_a_clean_wire_may_go(van, wire):
    text = text_of(van)
    base, found = matters(text), by_field(list(flips(text, "wire", wire)))
    assert set(found) == {"area", "length", "running"}
    for flip in found.values():
        if flip.keeps != flip.typed_now:
            assert matters(apply_edits(text, [Edit(flip.at, flip.keeps)])) <= base, flip
        if flip.typed_then:
            assert matters(apply_edits(text, flip.edits)) - base, flip
            assert flip.change.come
            assert flip.words.startswith(f"No finding {'down' if flip.field == 'area' else 'up'} to")


def test_a_fuse_that_clears_says_what_it_brings():
    """15 A on a cable good for 12.3 A (DIN VDE 0298-4, four together): 10 A fits it, and is then too full."""
    text = text_of("mossgrove")
    number = next(
        str(k)
        for k, finding in enumerate(check_plan(read_text(text)).findings, 1)
        if finding.rule == "fuse_above_cable_rating"
    )
    fuse = by_field(list(flips(text, "finding", number)))["fuse"]
    assert fuse.typed_then.startswith("10 A")
    assert "fuse_above_cable_rating" in {finding.rule for finding in fuse.change.gone}
    assert "fuse_overloaded" in {finding.rule for finding in fuse.change.come}
    assert "It brings:" in fuse.words


def test_a_fuse_keeps_its_type_and_place():
    text = text_of("alderford").replace("fuse: 25 A, to: U1.VB", "fuse: 60 A bolted at both, to: U1.VB")
    fuse = by_field(list(flips(text, "wire", "V3")))["fuse"]
    assert fuse.typed_then.endswith("A bolted at both")
    assert matters(apply_edits(text, fuse.edits))  # the text takes it


def test_a_wire_without_a_fuse_is_not_proposed_thinner():
    """Nothing judges yet how thin a battery's own minus lead or an earth may be."""
    text = text_of("alderford")
    assert "area" not in by_field(list(flips(text, "wire", "H3")))
    assert list(flips(text, "wire", "PE1")) == []
    assert list(flips(text, "wire", "M1")) == []


def test_things_without_figures_give_nothing():
    text = text_of("alderford")
    for kind, id in (
        ("stud", "E3"),
        ("part", "FC2"),
        ("finding", "99"),
        ("finding", "x"),
        ("wire", "nothing"),
    ):
        assert list(flips(text, kind, id)) == []


def test_a_terminal_and_a_load_lead_to_their_wire():
    text = text_of("mossgrove")
    assert next(flip.at for flip in flips(text, "terminal", "P1.3")) == "wiring.W5.area"
    assert [flip.at for flip in flips(text, "part", "fan")][-1] == "parts.fan.running"


def test_trials_are_counted_and_stopped():
    plan, wire = read_text(text_of("alderford")), "C8"
    asked = 0

    def go_on() -> bool:
        nonlocal asked
        asked += 1
        return asked <= 5

    list(flips(plan, "wire", wire, go_on=go_on))
    assert 5 < asked <= 8  # each of the three figures asks once more at most
    assert list(flips(plan, "wire", wire, trials=0)) == []


def test_what_is_known_when_the_trials_run_out_is_told():
    """Twelve candidates, the flip at 8: after 0, 1, 3, 7 and 11 three are left between the last two."""
    bad, good = Verdict((), {("rule", "W1"): 0}), Verdict((), {})
    left = 5

    def judge(value: int) -> Verdict:
        nonlocal left
        if left == 0:
            raise OutOfTrialsError
        left -= 1
        return bad if value >= 8 else good

    found = first_flip(range(12), judge, lambda verdict: bool(verdict.grades), 0)
    assert found is not None
    assert (found.near, found.at, found.exact) == (7, 11, False)


@pytest.mark.parametrize("at", range(12))
def test_the_first_flip_is_found_wherever_it_is(at):
    bad, good = Verdict((), {("rule", "W1"): 0}), Verdict((), {})
    for far in range(12):
        found = first_flip(
            range(12), lambda value: bad if value >= at else good, lambda verdict: bool(verdict.grades), far
        )
        assert found is not None
        assert (found.near, found.at, found.exact) == (at - 1 if at else None, at, True)
    assert first_flip(range(12), lambda _: good, lambda verdict: bool(verdict.grades), 3) is None
