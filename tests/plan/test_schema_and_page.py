"""The JSON Schema, and the manual page that is made from the field table."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from loomwright.errors import PlanError
from loomwright.plan.columns import Typed, columns
from loomwright.plan.docs import PAGE, filled
from loomwright.plan.kinds import KINDS
from loomwright.plan.misread import Misread
from loomwright.plan.model import RECORDS, Plan
from loomwright.plan.read import read_data, read_plan
from loomwright.plan.schema import pattern_of, plan_schema
from loomwright.plan.tree import parse, to_data

ROOT = Path(__file__).parents[2]
EXAMPLES = sorted((ROOT / "examples").glob("*.yaml"))


@pytest.fixture(scope="module")
def validator() -> Draft202012Validator:
    """Return a validator of draft 2020-12 with our schema, which is one itself."""
    schema = plan_schema()
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


@pytest.mark.parametrize("path", EXAMPLES, ids=lambda path: path.stem)
def test_examples_are_of_the_schema(validator, path):
    data = to_data(parse(path.read_text(encoding="utf-8")))
    assert not [error.message for error in validator.iter_errors(data)]


CHANGES = {
    "unknown section": lambda data: data.update(wireing={}),
    "unknown field": lambda data: data["parts"]["pump"].update(runnig="3 A"),
    "field of another kind": lambda data: data["parts"]["pump"].update(capacity="3 Ah"),
    "unknown kind": lambda data: data["parts"]["pump"].update(kind="pomp"),
    "no kind": lambda data: data["parts"]["pump"].pop("kind"),
    "field that a kind needs": lambda data: data["parts"]["leisure"].pop("chemistry"),
    "no unit": lambda data: data["wiring"]["W3"].update(area="2.5"),
    "wrong unit": lambda data: data["wiring"]["W3"].update(length="2 A"),
    "no end": lambda data: data["wiring"]["W3"].pop("to"),
    "unknown word": lambda data: data["vehicle"].update(body="stel"),
    "id of a wrong shape": lambda data: data["parts"].update({"roof fan": {"kind": "fan"}}),
    "point of two": lambda data: data["places"].update(bed=["1", "2"]),
}


@pytest.mark.parametrize("change", CHANGES)
def test_schema_and_reader_refuse_the_same(validator, change):
    text = (ROOT / "examples" / "mossgrove.yaml").read_text(encoding="utf-8")
    data = to_data(parse(text))
    CHANGES[change](data)
    assert list(validator.iter_errors(data))
    with pytest.raises(PlanError):
        read_data(data)


def test_numbers_and_booleans_of_json(validator):
    text = (ROOT / "examples" / "mossgrove.yaml").read_text(encoding="utf-8")
    data = to_data(parse(text))
    data["places"]["bed"] = [1, 0.5, -0.25]
    data["parts"]["lamps"].update(count=4, own_switch=True)
    assert not list(validator.iter_errors(data))
    assert read_data(data).parts["lamps"].own_switch is True


AMOUNTS = {
    (column.kind.says, column.kind.unit): column.kind
    for record in RECORDS.values()
    for column in columns(record).values()
    if isinstance(column.kind, Typed) and column.kind.unit
}
TEXTS = "1.5 1,5 5 0.3 1..2 unknown auto none"
UNITS = "A mA V Ω mohm kW kWh Ah m cm in mm² mm^2 AWG s years °C °F kg l W/m W/K % Hz Ah/h amps"


@pytest.mark.parametrize("kind", AMOUNTS.values(), ids=lambda kind: kind.says)
def test_pattern_takes_what_the_reader_takes(kind):
    """For texts that are out of range (negative, nothing at all) the reader is the stricter one."""
    pattern = re.compile(pattern_of(kind))
    with_units = [f"{number} {unit}" for number in ("1.5", "2", "1..2") for unit in UNITS.split()]
    for text in [*TEXTS.split(), *with_units]:
        try:
            kind.read(text)
            reads = True
        except Misread:
            reads = False
        assert bool(pattern.match(text)) == reads, text


def test_page_is_up_to_date():
    page = (ROOT / PAGE).read_text(encoding="utf-8")
    assert filled(page) == page, "run: python -m loomwright.plan.docs --write"


def test_page_has_every_record_field_and_kind():
    page = (ROOT / PAGE).read_text(encoding="utf-8")
    for name, record in RECORDS.items():
        if name not in ("Plan", "Part", "Inside", "Labels"):
            assert f"<!-- table {name} -->" in page
        for field in columns(record):
            assert field in ("note", "photo") or f"`{field}`" in page, f"{name}.{field}"
    for kind in KINDS:
        assert f"| `{kind}` |" in page


def test_plans_on_the_page_load():
    page = (ROOT / PAGE).read_text(encoding="utf-8")
    first, unit = re.findall(r"```yaml\n(.*?)```", page, re.DOTALL)
    assert read_plan(first).title == "Night cabin"
    head = "loomwright: 1\ntitle: Van\nregion: eu\nparts:\n"
    assert read_plan(head + re.sub(r"^", "  ", unit.strip(), flags=re.MULTILINE)).parts["U1"].inside


def test_every_column_is_explained():
    for record in RECORDS.values():
        for column in columns(record).values():
            assert column.says, column.name
            assert column.default, column.name


def test_sections_of_the_plan_are_columns():
    sections = (
        "vehicle site basis places paths studs parts wiring supplies modes use promises questions cargo"
    )
    assert set(f"{sections} prices labels revisions accepted readings".split()) <= set(columns(Plan))
