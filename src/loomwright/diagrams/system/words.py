"""What stands in the boxes: figures as typed in the plan and as worked out by the assessment."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import amps, name_of, size, typed
from loomwright.plan.model import Part
from loomwright.plan.values import NONE, UNKNOWN, Amount, Limit, Quantity, Running, Start

from .things import Graph, Line, Thing

_CHEMISTRY = {"agm": "AGM", "efb": "EFB", "lifepo4": "LiFePO₄", "flooded": "flooded", "gel": "gel"}
_KIND = {"b2b": "battery-to-battery charger", "sensing_relay": "voltage relay"}


def volts_of(thing: Thing, job: Assessment) -> str:
    """Return the voltage class of a thing where the plan has two of them, else ""."""
    system = job.plan.system
    assert isinstance(system, Quantity) or system is UNKNOWN
    base = system.mid if isinstance(system, Quantity) else 12.0
    stated = [part.voltage for part in job.wiring.parts.values() if isinstance(part.voltage, Quantity)]
    mixed = any(volts.known and volts.mid < 60.0 and (volts.mid > 18.0) != (base > 18.0) for volts in stated)
    if not mixed or thing.part is None or thing.kind in ("converter", "alternator", "vehicle_feed"):
        return ""
    return typed(thing.part.voltage) or typed(system) or "12 V"


def title_of(thing: Thing) -> tuple[str, str]:
    """Return the id of a thing and the further words for it, without what the id says already.

    A name that begins with the id goes on behind it, "fridge 40 l"; any other is set off by a dot.
    """
    if thing.part is None:
        return thing.id.rstrip("~"), "joint"
    name = name_of(thing.part, thing.id)
    kind = _KIND.get(thing.kind, thing.kind.replace("_", " "))
    plain, said = name.replace("_", " "), thing.id.replace("_", " ").casefold()
    if plain.casefold() == said:
        known = any(word in thing.id.casefold() for word in kind.split())
        return thing.id, "" if known else kind
    if plain.casefold().startswith(f"{said} "):
        return thing.id, plain[len(said) :].strip()
    return thing.id, f"· {name}"


def details(thing: Thing, job: Assessment) -> tuple[str, ...]:
    """Return the facts of a box below its title, the most telling first; where it is comes last."""
    if thing.part is None:
        return ()
    volts = volts_of(thing, job) if thing.kind != "control_panel" else ""
    facts = [fact for fact in (volts, *_details(thing.part, thing), *thing.words) if fact]
    if not thing.wired:
        facts.append(not_wired(thing))
    elif thing.part.place:
        facts.append(f"in {thing.part.place}")
    return tuple(facts)


def not_wired(thing: Thing) -> str:
    """Return why a thing has no wire: it never has one, the plan leaves it out, or it is still to come."""
    if thing.kind == "standby":
        return "a sum, no wire of its own"
    return "not wired in this plan" if thing.part and thing.part.wired is False else "no wire yet"


def _details(part: Part, thing: Thing) -> Iterator[str]:
    match part.kind:
        case "alternator":
            held = ", held back by the engine" if part.controlled is True else ""
            yield _given(typed(part.current), held.lstrip(", ") if not typed(part.current) else held)
            yield ", ".join(_outputs(part))
        case "battery" | "vehicle_battery":
            chemistry = _CHEMISTRY.get(str(part.chemistry), "")
            count = f"{part.count} × " if isinstance(part.count, int) and part.count > 1 else ""
            yield f"{count}{chemistry} {typed(part.capacity)}".strip()
            if typed(part.charge_limit):
                yield f"charge up to {typed(part.charge_limit)}"
        case "solar_panel":
            count = f"{part.count} × " if isinstance(part.count, int) and part.count > 1 else ""
            yield _given(
                f"{count}{typed(part.power)}", f", {typed(part.working_current)}", typed(part.working_current)
            )
        case "vehicle_feed":
            yield f"live: {part.live}"
        case "b2b" | "mains_charger" | "fuel_cell" | "solar_regulator":
            regulation = (part.regulation or "").upper()
            yield ", ".join(filter(None, (regulation, typed(part.current), *_outputs(part))))
            if part.start_on:
                yield f"starts on {', '.join(part.start_on)}"
            if part.second is not None:
                yield f"second output {typed(part.second.current)}"
            if part.kind == "mains_charger":
                yield "from the mains"
        case "sensing_relay" | "relay" | "low_voltage_cut":
            yield _thresholds(part)
            yield ", ".join(filter(None, (_after(part.delay), typed(part.rating))))
        case "converter":
            given = ", ".join((*_outputs(part), *filter(None, (typed(part.current),))))
            yield f"gives {given}"
        case "inverter" | "inverter_charger":
            peak = f", peak {_start(part.peak)}" if _start(part.peak) else ""
            yield f"{typed(part.power)}{peak}"
            if typed(part.charge_current):
                yield f"charges {typed(part.charge_current)}"
        case "fuse_box":
            yield f"{part.ways} ways" if isinstance(part.ways, int) else ""
            if isinstance(part.main_fuse, tuple) and part.main_fuse:
                yield f"main fuse {typed(part.main_fuse[0].rating)}"
        case "selector":
            yield " · ".join(part.positions)
        case "control_panel":
            yield "switches " + ", ".join(part.outputs)
        case "unit":
            yield from _contents(part)
        case _:
            yield typed(part.rating)


def _given(first: str, more: str = "", condition: str = "x") -> str:
    return f"{first}{more if condition else ''}"


def _outputs(part: Part) -> Iterator[str]:
    for state, limit in (part.output or {}).items():
        volts = typed(limit.volts)
        if volts:
            yield f"{volts} {state}".strip()


def _after(delay: Amount) -> str:
    return f"after {delay.typed}" if isinstance(delay, Quantity) and delay.high > 0 else ""


def _thresholds(part: Part) -> str:
    opens = part.cut_out.volts if isinstance(part.cut_out, Limit) else None
    words = []
    if isinstance(part.cut_in, Quantity):
        words.append(f"on ≥ {part.cut_in.typed}")
    if isinstance(opens, Quantity):
        words.append(f"off ≤ {opens.typed}")
    return ", ".join(words)


def _start(start: Start) -> str:
    if not isinstance(start.amount, Quantity):
        return ""
    return start.amount.typed + (f" for {start.for_s.typed}" if start.for_s else "")


def _contents(unit: Part) -> Iterator[str]:
    """Yield what a combined unit holds, in words, most telling first."""
    inner = list(unit.inside.parts.items()) if unit.inside else []
    inner.sort(key=lambda entry: not entry[1].kind.endswith("charger"))
    for id, part in inner:
        if part.kind in ("busbar", "splice", "fuse_box"):
            continue
        name = part.name or (f"{id}: {part.kind.replace('_', ' ')}")
        rating = typed(part.current) or typed(part.rating)
        yield f"{name}, {rating}" if rating else name


def takes(thing: Thing, job: Assessment) -> str:
    """Return what a consumer draws, running and in its start: worked out if it is fed, else as typed."""
    draws, volts = _takes(thing, job), volts_of(thing, job)
    return " · ".join(text for text in (draws, volts) if text)


def _takes(thing: Thing, job: Assessment) -> str:
    part = thing.part
    assert part is not None
    figures = [
        circuit for circuit in job.circuits.values() if circuit.load == thing.id and circuit.path != "signal"
    ]
    if figures and figures[0].running_a is not None:
        start = figures[0].start_a
        return amps(figures[0].running_a) + (f", start {amps(start)}" if start is not None else "")
    running = part.running
    if isinstance(running, Running) and isinstance(running.amount, Quantity):
        start_text = _start(part.start) if part.start.amount is not NONE else ""
        return running.amount.typed + (f", start {start_text}" if start_text else "")
    return ""


def wire_words(wire: str, job: Assessment) -> str:
    """Return colour letters and size of a wire, such as "RDYE 1.0 mm²"."""
    figure = job.wires.get(wire)
    if figure is None:
        return ""
    unit = " mm²" if size(figure) and not figure.gauge else ""
    return f"{figure.colour} {size(figure)}{unit}".strip()


def fuse_words(line: Line, job: Assessment) -> str:
    """Return the fuses of a line, "" if it has none."""
    fuses = [fuse for wire in line.wires if wire in job.wires for fuse in job.wires[wire].fuses]
    ratings = ["?" if fuse.rating_a is None else f"{fuse.rating_a:g}" for fuse in fuses]
    if not ratings:
        return ""
    if len(ratings) == 2 and ratings[0] == ratings[1]:
        return f"fuse {ratings[0]} A at both ends"
    return "fuse " + " + ".join("not known" if rating == "?" else f"{rating} A" for rating in ratings)


def current_words(line: Line, job: Assessment) -> str:
    """Return the current of a main path."""
    currents = [job.wires[wire].current_a for wire in line.wires if wire in job.wires]
    largest = max((abs(value) for value in currents if value is not None), default=None)
    return "" if largest is None or largest < 0.005 else f"carries {amps(largest)}"


def consumer_wire(thing: Thing, graph: Graph, job: Assessment) -> str:
    """Return wire, colour, size and fuse by which a consumer is fed, in one line."""
    for line in graph.lines:
        for tip in line.tips:
            if tip.thing == thing.id and not line.control:
                run = line.wires[-1] if line.wires else ""
                fuse = fuse_words(line, job).removeprefix("fuse ")
                words = [tip.wire, wire_words(tip.wire, job) or wire_words(run, job), fuse]
                return " · ".join(word for word in words if word)
    return "" if thing.wired else not_wired(thing)


def switched_by(thing: Thing, graph: Graph) -> str:
    """Return the switches and plugs in a consumer's line, "" if there are none."""
    for line in graph.lines:
        if line.through and any(tip.thing == thing.id for tip in line.tips):
            return "by " + ", ".join(line.through)
    return ""
