"""A van begun from a few answers: the text of a plan that holds what every panel van has.

What is not answered is left out, or stands as `unknown` where the format asks for it. The places are a guess
from the size of the load space and say so; nothing is wired yet.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from types import MappingProxyType
from typing import Literal

from loomwright.errors import PlanError, Problem
from loomwright.plan.changes.bodies import SHELLS, ZONES, Shell, usual_paths
from loomwright.plan.columns import AMP_HOURS, AMPS, METRES, Typed
from loomwright.plan.misread import Misread
from loomwright.plan.nodes import text_problem
from loomwright.plan.values import Quantity
from loomwright.plan.write import scalar_text

#: Counted with where the load space is not answered.
_USUAL = SHELLS["medium van, high roof"]
#: What a side of a load space can measure. [m]
_SPACE_RANGE = (0.8, 9.0)
_RIGHT_STEERING = ("uk", "au", "nz")
#: Shells that carry no return current.
_NO_BODY = ("grp", "wood")


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question to somebody who begins a van.

    Attributes
    ----------
    name : str
        The key of its answer.
    asks : str
        The question in plain words.
    kind : str
        "text", "choice" or "quantity".
    choices : mapping
        What a choice may be, with its plain words; what stands for a quantity by its name.
    example : str
        An answer that fits.
    help : str
        One sentence on where to find the answer, or what holds without it.
    unit : str
        The unit of a quantity that is answered by a bare figure.
    """

    name: str
    asks: str
    kind: Literal["text", "choice", "quantity"]
    example: str
    help: str
    choices: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    unit: str = ""


def _choice(name: str, asks: str, help: str, **choices: str) -> Question:
    return Question(
        name=name,
        asks=asks,
        kind="choice",
        example=next(iter(choices)),
        help=help,
        choices=MappingProxyType(choices),
    )


_WHERE = {
    "seat_base": "under a front seat",
    "bench": "in the bench",
    "rear_left": "at the rear, left",
    "rear_right": "at the rear, right",
    "underfloor": "under the floor, outside",
}

QUESTIONS: tuple[Question, ...] = (
    Question(
        name="title",
        asks="What is the van called?",
        kind="text",
        example="Our van",
        help="It stands on every sheet.",
    ),
    _choice(
        "region",
        "Where will it be used?",
        "Sets mains voltage, cable table and colours; without an answer, continental Europe.",
        uk="United Kingdom, Ireland",
        eu="continental Europe",
        na="North America",
        au="Australia",
        nz="New Zealand",
    ),
    Question(
        name="system",
        asks="Is it a 12 V or a 24 V vehicle?",
        kind="choice",
        example="12 V",
        help="Nearly every van is 12 V; lorries and buses are 24 V.",
        choices=MappingProxyType({"12 V": "12 V", "24 V": "24 V"}),
    ),
    Question(
        name="load_space",
        asks="How long, wide and high is the load space?",
        kind="quantity",
        example="3.1 x 1.8 x 1.9 m",
        help="Inside, from the back of the front seats, or a usual body by its name; cable paths and lengths "
        "are guessed from it.",
        choices=MappingProxyType({name: name for name in SHELLS}),
        unit="m",
    ),
    _choice(
        "steering",
        "On which side is the steering wheel?",
        "Without an answer as usual in the region.",
        left="left",
        right="right",
    ),
    _choice(
        "body",
        "What is the shell made of?",
        "A shell of glass fibre or wood carries no current back to the battery.",
        steel="sheet steel",
        aluminium="aluminium",
        grp="glass-fibre plastic",
        wood="wood",
        mixed="a mixture",
    ),
    Question(
        name="vehicle_battery",
        asks="How large is the vehicle's own battery?",
        kind="quantity",
        example="80 Ah",
        help="Printed on its label.",
        unit="Ah",
    ),
    _choice(
        "vehicle_battery_place",
        "Where is the vehicle's own battery?",
        "The main cable starts there.",
        engine_bay="under the bonnet",
        seat_base="under a front seat",
        cab_floor="under the cab floor",
    ),
    Question(
        name="alternator",
        asks="How large is the alternator?",
        kind="quantity",
        example="150 A",
        help="On its label or in the vehicle's papers.",
        unit="A",
    ),
    _choice(
        "leisure_chemistry",
        "Which sort of leisure battery?",
        "Choose unknown if it is not decided yet.",
        agm="lead, AGM",
        gel="lead, gel",
        flooded="lead, with liquid acid",
        lifepo4="lithium iron phosphate",
        unknown="not decided yet",
    ),
    Question(
        name="leisure_capacity",
        asks="How large is the leisure battery?",
        kind="quantity",
        example="95 Ah",
        help="Printed on its label; for lead the figure for 20 hours.",
        unit="Ah",
    ),
    _choice(
        "leisure_place",
        "Where will the leisure battery be?",
        "The nearer to the vehicle battery and the fuse box, the thinner the cables can be.",
        **_WHERE,
    ),
)


def bare_van(answers: Mapping[str, str]) -> str:
    """Return the text of a plan with what the answers say, and the places that every panel van has.

    Parameters
    ----------
    answers : mapping of str
        By the names of `QUESTIONS`; what is missing or blank is not answered. A bare figure has the unit of
        its question, `95` is `95 Ah`.

    Returns
    -------
    str
        A plan that reads without errors. Nothing in it is wired.

    Raises
    ------
    PlanError
        With every wrong answer; the path of each problem is the name of its question.

    Examples
    --------
    >>> bare_van({"title": "Our van", "region": "nz"}).splitlines()[:4]
    ['loomwright: 1', 'title: Our van', 'region: nz', 'system: 12 V']
    """
    said, problems = _read(answers)
    if problems:
        raise PlanError(problems)
    return "\n".join(
        [
            *_header(said),
            "",
            *_vehicle(said),
            "",
            *_places(said),
            *_paths(said),
            *_studs(said),
            *_parts(said),
            "",
        ]
    )


# --- reading the answers


def _read(answers: Mapping[str, str]) -> tuple[dict[str, str], list[Problem]]:
    """Return the answers as they are typed in a plan, and what is wrong with the others."""
    known = {question.name: question for question in QUESTIONS}
    said: dict[str, str] = {}
    problems = []
    for name, answer in answers.items():
        text = " ".join(answer.split())
        try:
            if name not in known:
                raise Misread(f"no such question. There are: {', '.join(known)}.")
            if text:
                said[name] = _answer(known[name], text)
        except Misread as misread:
            problems.append(Problem(1, 1, name, str(misread)))
    return said, problems


def _answer(question: Question, text: str) -> str:
    if question.kind == "choice":
        return _chosen(question, text)
    if question.kind == "text":
        if says := text_problem(text):
            raise Misread(says)
        return text
    if question.name == "load_space":
        return _space(text)
    return _figure(text, _KINDS[question.unit], question.unit)


_KINDS: Mapping[str, Typed] = MappingProxyType({"m": METRES, "Ah": AMP_HOURS, "A": AMPS})


def _chosen(question: Question, text: str) -> str:
    wanted = text.casefold().replace(" ", "")
    for word, says in question.choices.items():
        if wanted in (word.casefold().replace(" ", ""), says.casefold().replace(" ", "")):
            return word
    raise Misread(f'"{text}" is not among the answers. Write {", ".join(question.choices)}.')


def _figure(text: str, kind: Typed, unit: str) -> str:
    """Return a quantity as typed; a bare figure gets its unit."""
    typed = f"{text} {unit}" if re.fullmatch(r"[\d.,]+", text) else text
    kind.read(typed)
    return typed


def _space(text: str) -> str:
    """Return three lengths as a list; `3.1 x 1.8 x 1.9 m` has its unit once."""
    if text == "unknown":
        return text
    named = {name.casefold(): shell for name, shell in SHELLS.items()}.get(text.casefold())
    if named is not None:
        return f"[{', '.join(f'{side:g} m' for side in (named.long, named.wide, named.high))}]"
    sides = re.split(r"\s*(?:[x×;]|\bby\b|,\s)\s*", text.strip("[] "))
    if len(sides) != 3:
        raise Misread(
            "three lengths are asked: length, width and height. Write 3.1 x 1.8 x 1.9 m, or a usual body."
        )
    unit = re.sub(r"^[\d.,\s]+", "", sides[2]) or "m"
    typed = [_figure(side, METRES, unit).replace(",", ".") for side in sides]
    low, high = _SPACE_RANGE
    for side in typed:
        value = METRES.read(side)
        if not isinstance(value, Quantity) or not low <= value.low <= value.high <= high:
            raise Misread(f"{side} is no side of a load space. Write metres, 3.1 x 1.8 x 1.9 m.")
    return f"[{', '.join(typed)}]"


# --- writing


def _header(said: Mapping[str, str]) -> list[str]:
    region = said.get("region")
    return [
        "loomwright: 1",
        f"title: {scalar_text(said.get('title', 'New van'))}",
        f"region: {region}" if region else "region: eu     # not answered; uk, eu, na, au or nz",
        f"system: {said.get('system', '12 V')}",
    ]


def _vehicle(said: Mapping[str, str]) -> list[str]:
    names = [name for name in ("load_space", "steering", "body") if name in said]
    fields = ", ".join(f"{name}: {said[name]}" for name in names)
    return [f"vehicle: {{{fields}}}"] if fields else ["vehicle: {load_space: unknown}"]


def _places(said: Mapping[str, str]) -> list[str]:
    """Return the places, scaled from the load space; the sliding door is on the passenger's side."""
    known, shell = _shell(said)
    long, wide, high = shell.long, shell.wide, shell.high
    door = 1.0 if _steering(said) == "left" else -1.0
    wall = wide / 2.0

    def point(x: float, y: float, z: float) -> str:
        return f"[{x:.2f}, {y:.2f}, {z:.2f}]".replace("-0.00", "0.00")

    cab, bay, outside = "zones: [cab]", "zones: [engine_bay]", "zones: [outside]"
    guess = "your load space" if known else "a medium van"
    return [
        f"# Guessed from {guess}: measure them, and cable lengths become right.",
        "# Metres from where the seat backs meet the load floor: rearward, right, up.",
        "places:",
        f"  engine_bay: {{at: {point(-1.75, -0.50, 0.40)}, {bay}}}",
        f"  dash: {{at: {point(-0.95, 0.0, 0.75)}, {cab}}}",
        f"  cab_floor: {{at: {point(-0.70, -door * 0.40, -0.05)}, {cab}}}",
        f"  seat_base: {{at: {point(-0.40, door * 0.45, 0.15)}, {cab}, note: passenger side}}",
        f"  door: {{at: {point(0.10, door * (wall - 0.05), 1.10)}, note: front post of the sliding door}}",
        f"  kitchen: {point(0.25 * long, -door * (wall - 0.20), 0.45)}",
        f"  bench: {point(0.62 * long, door * (wall - 0.28), 0.20)}",
        f"  bed: {point(0.88 * long, -door * (wall - 0.30), 0.95)}",
        f"  rear_left: {point(0.90 * long, -(wall - 0.15), 0.40)}",
        f"  rear_right: {point(0.90 * long, wall - 0.15, 0.40)}",
        f"  ceiling: {{at: [{0.15 * long:.2f}..{0.80 * long:.2f}, -0.35..0.35, {high - 0.05:.2f}]}}",
        f"  roof: {{at: {point(0.45 * long, 0.0, high + 0.08)}, {outside}}}",
        f"  underfloor: {{at: {point(0.55 * long, 0.0, -0.25)}, zones: [underfloor, outside]}}",
        "",
    ]


def _shell(said: Mapping[str, str]) -> tuple[bool, Shell]:
    """Return the size of the load space, and whether it was answered."""
    typed = said.get("load_space", "unknown")
    if typed == "unknown":
        return False, _USUAL
    return True, Shell(*(METRES.read(side).mid for side in typed.strip("[]").split(", ")))


def _paths(said: Mapping[str, str]) -> list[str]:
    """Return the paths that wires usually take in a body of the size that was answered."""
    known, shell = _shell(said)
    if not known:
        return []
    lines = ["# Where looms usually run in such a body: move them to where yours do.", "paths:"]
    for name, corners in usual_paths(shell).items():
        along = ", ".join(f"[{', '.join(f'{value:g}' for value in corner)}]" for corner in corners)
        zone = next((zone for part, zone in ZONES.items() if part in name), "")
        lines.append(f"  {name}: {{along: [{along}]{f', zones: [{zone}]' if zone else ''}}}")
    return [*lines, ""]


def _steering(said: Mapping[str, str]) -> str:
    return said.get("steering") or ("right" if said.get("region") in _RIGHT_STEERING else "left")


def _studs(said: Mapping[str, str]) -> list[str]:
    """Return an earth stud beside the leisure battery and one at the kitchen, if the shell can carry them."""
    if said.get("body") in _NO_BODY:
        return []
    near = said.get("leisure_place", "seat_base")
    first = "seat_base" if near == "underfloor" else near
    return ["studs:", f"  E1: {{place: {first}, thread: M8}}", "  E2: {place: kitchen, thread: M8}", ""]


def _parts(said: Mapping[str, str]) -> list[str]:
    return [
        "parts:",
        _part(
            "starter",
            "vehicle_battery",
            said.get("vehicle_battery_place"),
            capacity=said.get("vehicle_battery"),
        ),
        _part("alternator", "alternator", "engine_bay", charges="starter", current=said.get("alternator")),
        *_leisure(said),
    ]


def _leisure(said: Mapping[str, str]) -> list[str]:
    """Return the leisure battery; nothing if no word was said about it."""
    chemistry, capacity, place = (said.get(f"leisure_{name}") for name in ("chemistry", "capacity", "place"))
    if not (chemistry or capacity or place):
        return []
    return [
        _part("leisure", "battery", place, chemistry=chemistry or "unknown", capacity=capacity or "unknown")
    ]


def _part(id: str, kind: str, place: str | None, **fields: str | None) -> str:
    said = {"kind": kind, "place": place, **fields}
    typed = ", ".join(f"{name}: {scalar_text(text, True)}" for name, text in said.items() if text is not None)
    return f"  {id}: {{{typed}}}"


__all__ = ["QUESTIONS", "Question", "bare_van"]
