"""If something comes loose: what stops, what goes on, what is left in series, and what worn joints cost."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from loomwright.assessment.breaks_record import Break, InSeries, OtherWay
from loomwright.assessment.record import Assessment
from loomwright.assessment.weak_joints import WeakJoint, joints_at
from loomwright.assessment.worn import Joint
from loomwright.assessment.worn_together import WornCircuit, worn_together
from loomwright.plan.pieces import BODY
from loomwright.tables.contacts import CONTACT_SOURCE

from .figures import plain, quantity
from .record import Row, Table
from .words import and_more, end_words, part_words

#: Keys of the tables made here.
KEYS = ("loose", "pulled", "worn", "worn together")
#: So many loads are named in a line.
NAMED = 8
#: What a load does on part of its volts, by kind.
_IN_PART = {
    "lamp": "glows dim",
    "strip": "glows dim",
    "relay": "may stay pulled",
    "water_pump": "turns slowly",
    "fan": "turns slowly",
    "heat_mat": "stays cool",
    "absorption_fridge": "stays warm",
}
_VERDICTS = {
    "drop": "{} loses too much",
    "start_drop": "{} loses too much at its start",
    "charging_drop": "the charging path to {} loses too much",
    "cut_out": "{} comes to its cut-out",
    "joint": "too many volts are lost in it",
}


def loose_tables(job: Assessment, kind: str, id: str) -> Iterator[Table]:
    """Give what follows if a wire, a stud or a part's contact comes loose, and what its worn joints cost.

    Parameters
    ----------
    job : Assessment
        Of the van.
    kind, id : str
        "wire", "stud" or "part", and its id.
    """
    if kind == "part":
        yield from _part_tables(job, id)
        yield from _worn(job, id)
        return
    broken = job.breaks.wire(id) if kind == "wire" else job.breaks.stud(id)
    if broken is not None and broken.matters:
        title = "If it loses its contact with the body"
        if kind == "wire":
            title = "If it comes loose, or its fuse blows" if job.wires[id].fuses else "If it comes loose"
        yield Table(key="loose", title=title, rows=tuple(rows_of(job, broken)))
    yield from _worn(job, id)


def _part_tables(job: Assessment, id: str) -> Iterator[Table]:
    """Give what follows if the contact of a switch or plug fails, and if fuses of a box blow."""
    inside = {name: one for name, one in job.breaks.contacts.items() if _is_of(name, id) and one.matters}
    if len(inside) == 1:
        rows = tuple(row for one in inside.values() for row in rows_of(job, one))
        yield Table(key="loose", title="If its contact fails", rows=rows)
    elif inside:
        rows = tuple(_line(job, end_words(job, name), one) for name, one in inside.items())
        yield Table(key="loose", title="If one of its contacts fails", rows=rows)
    pulled = job.breaks.plugs.get(id)
    if pulled is not None and pulled.matters:
        yield Table(key="pulled", title="If it is pulled", rows=tuple(rows_of(job, pulled)))
    blown = {at: one for at, one in job.breaks.fuses.items() if _is_of(at, id) and one.matters}
    if blown:
        rows = tuple(_line(job, _fuse_words(job, at, id), one) for at, one in blown.items())
        yield Table(key="loose", title="If one of its fuses blows", rows=rows)


def _line(job: Assessment, what: str, broken: Break) -> Row:
    """Return what follows from a break in one line, beside what it carries while it is whole."""
    return replace(plain(what, broken.amps_a, "A", None), sum=says(job, broken))


def _is_of(name: str, part: str) -> bool:
    return name == part or (name.startswith((f"{part}.", f"{part}/")))


def _fuse_words(job: Assessment, at: str, box: str) -> str:
    words = "Its main fuse" if at == box else end_words(job, at)
    return f"{words[:1].upper()}{words[1:]}"


# --- in words ----------------------------------------------------------------------------------------------


def rows_of(job: Assessment, broken: Break) -> Iterator[Row]:
    """Give the lines of what follows from a break."""
    for words, parts in (
        ("Stops", broken.stops),
        ("Charges no more", broken.charges_no_more),
        ("Goes on by another way", broken.goes_on),
    ):
        if parts:
            yield Row(what=words, sum=parts_words(job, parts), value=f"{len(dict.fromkeys(parts))}")
    for one in broken.in_series:
        yield Row(what=series_words(job, one), sum=_when(job, one), value=f"{abs(one.volts_v):.1f}", unit="V")
    for way in broken.other_ways:
        good = f"good for {quantity(way.rating_a, 'A')}" if way.rating_a is not None else ""
        good += "" if way.holds else ", too much for it"
        yield Row(
            what=f"{way.wire} then carries",
            sum=good,
            value=quantity(way.amps_a, "A").removesuffix(" A"),
            unit="A",
            of=("wire", way.wire),
        )
    if broken.live:
        words = "Live then, and should be at minus"
        yield Row(what=words, sum=parts_words(job, broken.live), value=f"{broken.live_v:.1f}", unit="V")


def says(job: Assessment, broken: Break) -> str:
    """Return what follows from a break in one line."""
    words = []
    if broken.stops:
        words.append(f"stops {parts_words(job, broken.stops)}")
    if broken.charges_no_more:
        words.append(f"no charge from {parts_words(job, broken.charges_no_more)}")
    for when in dict.fromkeys(one.when for one in broken.in_series):
        loads = [_in_series(job, one) for one in broken.in_series if one.when == when]
        off = f" with {_off(job, when)}" if when else ""
        words.append(f"in series{off}: {and_more(loads, NAMED)}")
    if broken.goes_on:
        words.append(f"still on by another way: {parts_words(job, broken.goes_on)}")
    words += [way_words(way) for way in broken.other_ways if not way.holds]
    return "; ".join(words)


def _in_series(job: Assessment, one: InSeries) -> str:
    """Return a load in series with its volts: "the bed strip glows dim (5.8 V, backwards)"."""
    volts = quantity(abs(one.volts_v), "V") + (", backwards" if one.volts_v < 0.0 else "")
    return f"{part_words(job, one.load)} {_does(job, one)} ({volts})"


def _off(job: Assessment, when: str) -> str:
    name, _, state = when.rpartition(" ")
    return f"{end_words(job, name)} {state}"


def way_words(way: OtherWay) -> str:
    """Return a wire that takes over in words."""
    return f"{way.wire} then carries {quantity(way.amps_a, 'A')}, good for {quantity(way.rating_a, 'A')}"


def parts_words(job: Assessment, parts: Sequence[str]) -> str:
    """Return parts, studs and bars in words, after some of them how many more."""
    return and_more((part_words(job, part) for part in parts), NAMED)


def _does(job: Assessment, one: InSeries) -> str:
    """Return what a load does on part of its volts."""
    if one.volts_v > one.usual_v:
        return "gets too much"
    return _IN_PART.get(job.wiring.parts[one.load].kind, "gets too little")


def series_words(job: Assessment, one: InSeries) -> str:
    """Return a load and what it does on part of its volts, with a capital."""
    words = f"{part_words(job, one.load)} {_does(job, one)}"
    return f"{words[:1].upper()}{words[1:]}"


def _when(job: Assessment, one: InSeries) -> str:
    """Return how it comes about: in series, backwards, with what off."""
    words = ["in series, backwards" if one.volts_v < 0.0 else "in series"]
    if one.when:
        words.append(f"with {_off(job, one.when)}")
    return ", ".join(words)


# --- worn joints -------------------------------------------------------------------------------------------


def _worn(job: Assessment, id: str) -> Iterator[Table]:
    joints = joints_at(job, id)
    if joints:
        rows = tuple(_joint_row(job, one) for one in joints)
        yield Table(key="worn", title="If its joints wear", rows=rows)


def _joint_row(job: Assessment, one: WeakJoint) -> Row:
    """Return one joint: what it resists then, what that costs, and what breaks first."""
    volts, heat = quantity(one.volts_v, "V"), heat_words(one)
    costs = f"loses {volts} and makes {heat} of heat at {quantity(one.amps_a, 'A')}"
    if one.breaks_at_ohm is not None:
        costs += f"; {verdict_words(job, one)}"
    return replace(
        plain(f"{joint_words(job, one)}, worn", one.worn_ohm, "Ω", CONTACT_SOURCE, fine=True), sum=costs
    )


def heat_words(one: WeakJoint) -> str:
    """Return the heat of a joint, to no more digits than it is worth."""
    return quantity(float(f"{one.watts_w:.2g}" if one.watts_w >= 0.01 else f"{one.watts_w:.2f}"), "W")


def worn_together_table(job: Assessment) -> Table:
    """Return the circuits that fail with all joints worn, and what to measure at service for each."""
    rows = tuple(_together_row(job, one) for one in worn_together(job))
    return Table(key="worn together", title="With all joints worn, and what to measure at service", rows=rows)


def _together_row(job: Assessment, one: WornCircuit) -> Row:
    words, at = part_words(job, one.load), " at its start" if one.verdict == "start_drop" else ""
    volts = f"gets {quantity(one.fresh_v, 'V')} now, needs {quantity(one.limit_v, 'V')}"
    across = f"{1e3 * one.due_v:.0f} mV at {quantity(one.amps_a, 'A')} (new {1e3 * one.new_v:.0f} mV)"
    row = plain(f"{words[:1].upper()}{words[1:]}{at}", one.worn_v, "V", CONTACT_SOURCE)
    joint = joint_words(job, one.joint)
    return replace(row, sum=f"{volts}. {joint} costs most: due from {across} on", of=("wire", one.wire))


def joint_words(job: Assessment, one: WeakJoint | Joint) -> str:
    """Return a joint in words: "Crimp at the pump", "Stud E2"."""
    kind = one.what[:1].upper() + one.what[1:]
    if one.what == "stud":
        return f"{kind} {one.at}" if one.at != BODY else f"{kind} of the body"
    if one.what == "contact":
        return f"{kind} of {end_words(job, one.at)}"
    return f"{kind} at {end_words(job, one.at)}"


def verdict_words(job: Assessment, one: WeakJoint) -> str:
    """Return the verdict that breaks first as a joint wears, and from how many ohms on; "" if none does."""
    if one.breaks_at_ohm is None:
        return ""
    words = _VERDICTS[one.first].format(part_words(job, one.load))
    return f"{words} from {quantity(one.breaks_at_ohm, 'Ω')} on"


__all__ = [
    "KEYS",
    "heat_words",
    "joint_words",
    "loose_tables",
    "parts_words",
    "rows_of",
    "says",
    "verdict_words",
    "way_words",
    "worn_together_table",
]
