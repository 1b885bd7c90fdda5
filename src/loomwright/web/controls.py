"""The controls of a form: each field with what may be chosen, and what holds if it is left out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any

from loomwright.assessment.record import WireFigure
from loomwright.errors import OutOfTableError
from loomwright.plan.changes.fields import Field, Form
from loomwright.plan.changes.starter import QUESTIONS
from loomwright.plan.kinds import way_of
from loomwright.plan.model import Part, Plan, Stud
from loomwright.tables import awg
from loomwright.tables.fuses import FUSE_TYPES
from loomwright.tables.iec_60228 import CLASS_5_OHM_PER_KM
from loomwright.tables.iec_60757 import COLOURS, colours_of

from .markup import figure
from .reading import Reading
from .shelf import words_of

#: The order in which the form of a wire asks: what is changed often first. A new wire begins with its ends.
_WIRE = ("area", "length", "fuse", "breaker", "colour", "via", "return", "from", "to", "through")
_NEW_WIRE = ("from", "to", "through", "fuse", "breaker", "area", "length", "colour", "via", "return")
#: What the program works out when it is asked to.
_AUTO = ("area", "length", "fuse")
_REGIONS = next(question.choices for question in QUESTIONS if question.name == "region")
#: Kinds of field that name things of the plan.
_NAMING = ("reference", "end", "ends", "list", "return", "pairs")
#: Largest fuses offered beside a blade: what a camper's main fuses go up to. Common practice. [A]
_LARGEST_FUSE = 300


@dataclass(frozen=True, slots=True)
class Control:
    """One control of a form.

    Attributes
    ----------
    field : Field
        What it writes.
    id, label : str
        Of the control in the page; as it is read out.
    options : tuple of (str, str)
        What may be chosen, each with its words.
    hint : str
        Stands in the empty control: what holds then.
    now : str
        What `auto` comes to at present.
    auto, many : bool
        `auto` is offered beside it; it takes several, one after the other.
    colours : tuple of str
        Letters of the specimen beside it.
    """

    field: Field
    id: str
    label: str
    options: tuple[tuple[str, str], ...]
    hint: str
    now: str = ""
    auto: bool = False
    many: bool = False
    colours: tuple[str, ...] = ()


def controls(
    reading: Reading, form: Form, of: str = "", prefix: str = "f", given: Mapping[str, str] | None = None
) -> tuple[list[Control], list[Control]]:
    """Return the controls that a form shows first, and the others.

    Parameters
    ----------
    reading : Reading
        Of the plan.
    form : Form
        Its form.
    of : str
        Added to each label, where a slip holds several forms: " of the return".
    prefix : str
        Of their ids in the page.
    given : mapping, optional
        What stands in the form of a new entry beforehand, by field.
    """
    now = _now(reading, form.at)
    fields = _sorted(form)
    given = given or {}
    made = [_control(reading.plan, form, field, of, prefix, now, given.get(field.name)) for field in fields]
    first = [one for one in made if one.field.main or one.field.needed]
    return first, [one for one in made if not (one.field.main or one.field.needed)]


def _sorted(form: Form) -> list[Field]:
    names = form.at.split(".")
    if names[0] != "wiring" or len(names) != 2:
        return list(form.fields)
    order = _NEW_WIRE if form.is_new else _WIRE
    return sorted(form.fields, key=lambda field: order.index(field.name) if field.name in order else 99)


def _control(
    plan: Plan, form: Form, field: Field, of: str, prefix: str, now: Mapping[str, str], given: str | None
) -> Control:
    typed = field if given is None or field.typed else _with(field, given)
    wire = form.at.startswith("wiring.")
    worked_out = now.get(field.name, "")
    hint = "as its short name" if field.left_out == "id" else _held(field)
    if worked_out and not field.typed:
        hint = f"auto: {worked_out}" if field.name in _AUTO else worked_out
    unit = f", {field.unit}" if field.unit and field.unit != "s" else ""
    return Control(
        typed,
        f"{prefix}-{field.name}",
        f"{field.label}{of}{unit}{' (needed)' if field.needed else ''}",
        tuple(_options(plan, form, typed)),
        hint,
        worked_out if field.typed.startswith("auto") else "",
        auto=wire and field.name in _AUTO and "auto" in f"{field.left_out} {field.options}",
        many=field.kind in ("list", "ends") and bool(field.options),
        colours=_letters(field.typed or worked_out) if field.name == "colour" else (),
    )


def _held(field: Field) -> str:
    """Return what holds if a field is left out; an example of what may be typed where nothing does."""
    if field.left_out not in ("", "–"):
        return field.left_out
    return (
        f"such as {field.example}" if field.example and not field.needed else field.example or field.left_out
    )


def _with(field: Field, typed: str) -> Field:
    values: dict[str, Any] = {name: getattr(field, name) for name in Field.__slots__}
    return Field(**{**values, "typed": typed})


# --- what may be chosen


def _options(plan: Plan, form: Form, field: Field) -> Iterator[tuple[str, str]]:
    if form.at.startswith("wiring."):
        if field.name == "area":
            yield from _sizes(plan)
            return
        if field.name == "fuse":
            yield from _fuses(plan, form)
            return
        if field.name == "colour":
            yield from ((letters, colour.name) for letters, colour in COLOURS.items())
            return
    for option in field.options:
        words = named(plan, option) if field.kind in _NAMING else option
        words = f"{option}, {_REGIONS[option]}" if field.name == "region" and option in _REGIONS else words
        yield option, words_of(option) if field.name == "kind" else words


def _sizes(plan: Plan) -> Iterator[tuple[str, str]]:
    """Yield the standard sizes: IEC 60228, in North America the American gauges of ASTM B258."""
    yield "auto", "the smallest without a finding"
    if plan.region == "na":
        for gauge in awg.GAUGES:
            text = awg.label(gauge).removeprefix("AWG ") + " AWG"
            yield text, f"{awg.area_mm2(gauge):.3g} mm²"
    else:
        yield from ((f"{size:g} mm²", "") for size in CLASS_5_OHM_PER_KM)


def _fuses(plan: Plan, form: Form) -> Iterator[tuple[str, str]]:
    """Yield the ratings of the type that the box takes; elsewhere blades, and bolted strips above."""
    yield "auto", "the smallest that lasts"
    start = next((field.typed for field in form.fields if field.name == "from"), "")
    id, _, terminal = start.partition(".")
    part = plan.parts.get(id)
    way = way_of(part, terminal) if part is not None and terminal else None
    kind = getattr(way[0], "fuse_type", None) if way is not None else None
    if kind in FUSE_TYPES:
        yield from ((f"{rating:g} A", "") for rating in FUSE_TYPES[str(kind)].ratings_a)
    else:
        yield from ((f"{rating:g} A blade", "") for rating in FUSE_TYPES["blade"].ratings_a)
        for rating in FUSE_TYPES["bolted"].ratings_a:
            if rating <= _LARGEST_FUSE:
                yield f"{rating:g} A bolted", ""
    yield "none", ""


def named(plan: Plan, option: str) -> str:
    """Return an id with its name or place beside it, as far as it has one."""
    id, _, terminal = option.partition(".")
    thing: Part | Stud | None = plan.parts.get(id) or plan.studs.get(id)
    if thing is None:
        return option
    name = (thing.name or "") if isinstance(thing, Part) else ""
    words = [name, thing.place or "" if not terminal else ""]
    return ", ".join([option, *(word.replace("_", " ") for word in words if word)])


# --- what holds now


def _now(reading: Reading, at: str) -> dict[str, str]:
    """Return what the program makes of the fields of a wire that are left to it."""
    names = at.split(".")
    if names[0] != "wiring" or names[1] not in reading.plan.wiring:
        return {}
    role = "return" if names[-1] == "return" and len(names) > 2 else "feed"
    wires = [wire for wire in reading.checked.assessment.wires.values() if wire.run == names[1]]
    if len(names) == 4:  # the leg to one load
        wires = [wire for wire in wires if wire.id == f"{names[1]}.{names[3]}"]
    else:
        wires = [wire for wire in wires if (wire.role == "return") == (role == "return")]
    return _figures(wires) if wires else {}


def _figures(wires: list[WireFigure]) -> dict[str, str]:
    one = wires[-1] if len(wires) == 1 else max(wires, key=lambda wire: wire.length_m or 0.0)
    lengths = [wire.length_m for wire in wires]
    fuses = [fuse.rating_a for wire in wires for fuse in wire.fuses if fuse.rating_a]
    found = {
        "area": one.gauge or (figure(one.area_mm2, "mm²") if one.area_mm2 else ""),
        "length": figure(sum(length for length in lengths if length), "m") if all(lengths) else "",
        "fuse": figure(fuses[0], "A") if fuses else "",
        "colour": one.colour,
    }
    return {name: text for name, text in found.items() if text}


def _letters(typed: str) -> tuple[str, ...]:
    try:
        return tuple(colour.letters for colour in colours_of(typed))
    except OutOfTableError:
        return ()
