"""Signs of findings on the system sheet: near what they mean, nothing else nearer, told in the margin."""

import pytest

from loomwright.diagrams.system import COLUMNS, draw_field
from loomwright.drawing.frame import FIELD_BOX, column_row
from loomwright.drawing.geometry import Box, box_of_points
from loomwright.drawing.scene import Polyline, Sheet, Text, Wire
from loomwright.rules.check import Checked
from tests.diagrams.system_plans import (
    RANDOM,
    VANS,
    random_sheet,
    random_van,
    signs_of,
    texts,
    van,
    van_sheet,
)

SEVERITIES = ("danger", "fault", "watch", "note")
PLANS = [*VANS, *RANDOM]


def checked_of(plan: str | tuple[int, int]) -> Checked:
    return van(plan) if isinstance(plan, str) else random_van(*plan)


def sheet_of(plan: str | tuple[int, int]) -> Sheet:
    return van_sheet(plan) if isinstance(plan, str) else random_sheet(*plan)


def shown_things(checked: Checked, sheet: Sheet) -> list[tuple[Box, set[str]]]:
    """Return boxes, wires and words of the field, with the ids of what each stands for.

    The box of what is used tells its wire, so it stands for that too.
    """
    drawing = draw_field(checked.assessment)
    pictures = [drawing.main, *([drawing.mains] if drawing.mains is not None else [])]
    fed_by: dict[str, set[str]] = {id: {id} for picture in pictures for id in picture.boxes}
    things = []
    for picture in pictures:
        for strand in picture.strands:
            for id in set(strand.leads_to) & picture.rows:
                fed_by[id] |= {strand.wire, *strand.line.wires}
        things += [(box, fed_by[id]) for id, box in picture.boxes.items()]
        for strand in picture.strands:
            ids = {strand.wire or strand.line.start, *strand.line.wires}
            things += [
                (box_of_points(pair, 0.5), ids)
                for pair in zip(strand.points, strand.points[1:], strict=False)
            ]
    wires = {item.of.id for item in sheet.items if isinstance(item, Wire) and item.of}
    for item in sheet.items:
        if isinstance(item, Text) and item.of and item.layer == "text" and item.at[0] < FIELD_BOX.right:
            ids = {item.of.id} if item.of.id in wires else fed_by.get(item.of.id, {item.of.id})
            things.append((item.box(), ids))
    return things


def meant(checked: Checked, number: int) -> set[str]:
    """Return the ids that a finding is about, with all wires of their runs."""
    finding, wires = checked.findings[number - 1], checked.assessment.wires
    ids = {finding.where, *finding.also}
    runs = {wires[id].run for id in ids if id in wires} | ids
    return {id.partition("/")[0] for id in ids} | {id for id, wire in wires.items() if wire.run in runs}


@pytest.mark.parametrize("plan", PLANS, ids=str)
def test_a_sign_stands_near_what_it_means_and_nothing_is_nearer(plan):
    """Within 12 of it, a leader if further than 4; without a leader nothing else is nearer to its middle."""
    checked, sheet = checked_of(plan), sheet_of(plan)
    things = shown_things(checked, sheet)
    led = {
        item.of.id
        for item in sheet.items
        if isinstance(item, Polyline) and item.of and item.layer == "findings"
    }
    for sign in signs_of(sheet):
        ids = meant(checked, int(sign.of.id))
        own = [box for box, names in things if names & ids]
        assert min(box.gap(sign.box()) for box in own) <= (12.0 if sign.of.id in led else 4.0)
        if sign.of.id not in led:
            middle = box_of_points((sign.box().centre,))
            others = [box.gap(middle) for box, names in things if not names & ids]
            assert min(box.gap(middle) for box in own) <= min(others, default=99.0) + 0.01


@pytest.mark.parametrize("name", VANS)
def test_every_finding_of_a_van_has_its_sign(name):
    assert len(signs_of(van_sheet(name))) == len(van(name).findings)


@pytest.mark.parametrize("plan", PLANS, ids=str)
def test_a_finding_without_a_sign_is_listed(plan):
    checked, sheet = checked_of(plan), sheet_of(plan)
    signed = {int(sign.of.id) for sign in signs_of(sheet)}
    listed = " ".join(text.text for text in texts(sheet) if text.of is None)
    for number, finding in enumerate(checked.findings, 1):
        assert number in signed or f"{number} {finding.where}" in listed


@pytest.mark.parametrize("plan", PLANS, ids=str)
def test_the_margin_names_the_spot_of_each_sign(plan):
    sheet = sheet_of(plan)
    margin = [text for text in texts(sheet) if text.of and text.at[0] > FIELD_BOX.right]
    for sign in signs_of(sheet):
        entry = [text.text for text in margin if text.of.id == sign.of.id]
        assert not entry or column_row(sign.at, COLUMNS) in entry


@pytest.mark.parametrize("plan", PLANS, ids=str)
def test_the_margin_goes_from_grave_to_slight_then_from_left_to_right(plan):
    checked, sheet = checked_of(plan), sheet_of(plan)
    at = {sign.of.id: sign.at for sign in signs_of(sheet)}
    numbers = [
        text.of.id for text in texts(sheet) if text.of and text.at[0] > FIELD_BOX.right and text.size > 3.2
    ]
    order = list(dict.fromkeys(number for number in numbers if number in at))
    keys = [
        (SEVERITIES.index(checked.findings[int(n) - 1].severity), int(column_row(at[n], COLUMNS)[0]))
        for n in order
    ]
    assert keys == sorted(keys)
