"""The form of a combined unit, read: numbered fields gathered into rows, rows into answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.unit import PanelAnswer, RelayAnswer, UnitAnswers, WayAnswer


def rows_of(typed: Mapping[str, str], row: str, fields: Sequence[str]) -> list[dict[str, str]]:
    """Return the rows of a form that have a name: `way_name_1`, `way_fed_by_1`, `way_name_2` ...

    Examples
    --------
    >>> rows_of({"way_name_1": "pump", "way_fed_by_1": "", "way_name_2": ""}, "way", ("name", "fed_by"))
    [{'name': 'pump', 'fed_by': ''}]
    """
    numbers = [name.rpartition("_")[2] for name in typed if name.startswith(f"{row}_name_")]
    found = [
        {field: typed.get(f"{row}_{field}_{number}", "").strip() for field in fields} for number in numbers
    ]
    return [one for one in found if one["name"]]


def unit_answers(typed: Mapping[str, str]) -> tuple[UnitAnswers, str | None]:
    """Return the answers of the form of a combined unit, and the id that was asked for."""
    said = {name: value.strip() for name, value in typed.items()}
    ways = tuple(
        WayAnswer(name=row["name"], fed_by=row["fed_by"] or "always")
        for row in rows_of(typed, "way", ("name", "fed_by"))
    )
    outputs = tuple(name.strip() for name in said.get("panel_outputs", "").split(",") if name.strip())
    about = {name: said.get(f"panel_{name}", "") for name in ("place", "area", "length")}
    answers = UnitAnswers(
        name=said.get("name") or "Combined unit",
        place=said.get("place", ""),
        ways=ways,
        relays=tuple(_relay(row) for row in rows_of(typed, "relay", _RELAY)),
        panel_outputs=outputs,
        supply="two batteries with selector" if said.get("supply", "").startswith("two") else "one battery",
        charger_a=_number(said, "charger_a"),
        mains_ways=int(_number(said, "mains_ways") or 0),
        panel=PanelAnswer(**about) if outputs and "panel" in said else None,
    )
    return answers, said.get("new_id") or None


_RELAY = ("name", "fed_by", "works", "rating", "cut_out")


def _relay(row: Mapping[str, str]) -> RelayAnswer:
    return RelayAnswer(
        name=row["name"],
        fed_by=row["fed_by"] or "always",
        works="engine" if row["works"] == "engine" else "voltage" if row["works"] == "voltage" else "panel",
        rating=row["rating"],
        cut_out=row["cut_out"],
    )


def _number(said: Mapping[str, str], name: str) -> float | None:
    """Return a figure; a unit after it is taken for the one that was asked for."""
    text = said.get(name, "").removesuffix("A").strip().replace(",", ".")
    if not text:
        return None
    try:
        return float(text)
    except ValueError:
        refuse(f"unit.inside.{name}", f'"{text}" is no figure. Write it like 15, or leave it open.')
