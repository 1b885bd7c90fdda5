"""Where the figure of a line stands in an assessment: one case by what is measured."""

from __future__ import annotations

from collections.abc import Iterable

from loomwright.assessment.banks_series import charged_apart
from loomwright.assessment.case_bonds import burning_case_bonds
from loomwright.assessment.charging_taken import driven_charges
from loomwright.assessment.energy.days import Energy, day_promises
from loomwright.assessment.fall_back import fall_back
from loomwright.assessment.feeding_back import back_feeds_in, fed_backwards
from loomwright.assessment.joined import banks
from loomwright.assessment.mains.guards import guarded_by
from loomwright.assessment.permanent import Supplies
from loomwright.assessment.record import Assessment, CircuitFigure, WireFigure
from loomwright.assessment.sag import SagState
from loomwright.assessment.sag_promises import PowerPromise, power_promises
from loomwright.assessment.starting import starts_behind_converters
from loomwright.assessment.tapped import taps
from loomwright.assessment.zones import coldest_c
from tests.scenarios.lines import Line

MAINS_ONLY = ("touch_v", "rcd", "poles", "bonding", "notice", "supply_a", "lasting_pct", "neutral")


def wire_of(line: Line, job: Assessment) -> str:
    """Return the run that a line is about."""
    if line.thing == "circuit":
        return circuit_of(line, job).wire
    if not line.note.startswith("battery side"):
        return line.name
    regulator = job.wires[line.name].to  # the line's wire ends there, the battery side leaves it
    return next(wire.run for wire in job.wires.values() if wire.from_ == regulator)


#: The mode in which a selector stands so; at rest needs none.
MODE_OF = {("alderford", "vehicle"): "parked_vehicle"}


def circuit_of(line: Line, job: Assessment) -> CircuitFigure:
    """Return the circuit that a line is about: by its load, by its wire, or by the charger that feeds it."""
    mode = MODE_OF.get((line.van, line.selector), "")
    moved = [c for c in job.circuits_in(mode).values() if belongs(line, c)]
    found = moved or [c for c in job.circuits.values() if belongs(line, c)]
    assert len(found) == 1, f"{line}: {[c.id for c in found]}"
    return found[0]


def belongs(line: Line, circuit: CircuitFigure) -> bool:
    """True for the circuit that a line names."""
    if line.thing == "circuit":
        return circuit.load == line.name and circuit.path == "ordinary"
    if line.thing == "part":
        return circuit.feeder.rpartition("/")[2] == line.name and circuit.path == "charging"
    return circuit.wire == line.name and (not line.of or circuit.load == line.of)


def drop_of_wire(line: Line, job: Assessment) -> float | None:
    """Return the drop that a line asks of a wire: along it, of its load, or of all its loads together."""
    own = [circuit for circuit in job.circuits.values() if belongs(line, circuit)]
    if "along" in line.note or not own:
        return getattr(job.wires[wire_of(line, job)], line.what)
    if len(own) == 1:
        return getattr(own[0], line.what)
    assert line.what == "drop_v"
    return max(circuit.drop_run_v or 0.0 for circuit in own)


def pieces_of(run: str, job: Assessment) -> list[WireFigure]:
    """Return the wires of a run that are laid."""
    return [wire for wire in job.wires.values() if wire.run == run and wire.length_m != 0.0]


def at_bare_end(line: Line, job: Assessment) -> float:
    """Return what a short drives into a wire at the end nearest to a battery with no fuse between. [A]"""
    bare = [end for end in job.faults.unfused if end.run == line.name and end.free]
    nearest = min(bare, key=lambda end: end.reach_m)
    return job.faults.largest.ends[nearest.piece, nearest.side].here_a


def far_short(line: Line, job: Assessment) -> float:
    """Return the largest short across a load, across the posts of a battery, or at a wire's far end. [A]"""
    across, ends = job.faults.largest.across, job.faults.largest.ends
    if line.thing == "part":
        return across[line.name].amps
    if line.thing == "wire":
        return min(short.amps for short in ends.values() if job.wires[short.owner].run == line.name)
    pieces = job.wiring.runs[circuit_of(line, job).wire].pieces
    return next(across[p.id].amps for p in pieces if job.wiring.part_of(p.b) == line.name)


def folded_back(line: Line, job: Assessment) -> float:
    """Return the largest short on a wire that a converter alone feeds. [A]"""
    return max(one.most_a for one in job.faults.along.values() if one.sources == (line.name,))


def asked_of_fuse(line: Line, job: Assessment) -> float | None:
    """Return what the fuse of a wire or the ways of a box are asked to break; what a main fuse can. [A]"""
    if line.thing == "part" and line.name in job.main_fuses:
        able = next(one.can for one in job.faults.breaking if one.owner == line.name)
        return able.least_a if able is not None else None
    asked = [
        one.asked_a
        for one in job.faults.breaking
        if (one.owner if line.thing == "wire" else one.box.partition("/")[0]) == line.name
    ]
    return max(asked)


#: What is on in the lines on falling back, by the words of their note.
ON = {"lights": "roof_lights", "strips": "kitchen_strip bed_strip", "one USB": "usb_kitchen"}


def hours_to_fall_back(line: Line, job: Assessment) -> float:
    """Return how long the selector of a mode stays, with what the line's note says is on. [h]"""
    running = [load for words, loads in ON.items() if words in line.note for load in loads.split()]
    mode = job.modes.figures[line.name]
    relays = [id for id, part in job.wiring.parts.items() if part.kind == "relay" and part.cut_out]
    (found,) = [one for id in relays if (one := fall_back(job, id, mode, running)) is not None]
    return found.hours


def figure_of_mains(line: Line, job: Assessment) -> float | None:
    """Return the figure of a line about a pitch, an RCD, a bond, the lead."""
    side = job.mains
    on = [one for one in side.faults if one.pitch.id == line.name and line.of in ("", one.outlet)]
    taken = [one for pitch, one in side.taken if line.name in (pitch.id, one.mode)]
    match line.what:
        case "fault_current_a":
            return min(one.expected_a for one in on)
        case "touch_v":
            return max(one.touch_v for one in on)
        case "supply_a":
            return max(one.amps for one in taken)
        case "lasting_pct":  # of the smallest pitch
            least_a = min(pitch.rated_a for pitch in side.pitches)
            return max(100.0 * one.lasting_a / least_a for one in taken)
        case "drop_v":  # of the lead
            return max(one.lead_v for _, one in side.taken)
        case "rcd":
            (inlet,) = side.layout.inlets
            return max(1e3 * one.trips_a for one in guarded_by(job, inlet) if one.trips_a is not None)
        case "bonding" if line.thing == "wire":
            return next(one.area_mm2 for one in side.layout.bonds if one.run == line.name)
        case "bonding":
            return next(one.stands.amps for one in burning_case_bonds(job) if one.part == line.name)
    raise AssertionError(f"no figure for {line}")


def is_of_mains(line: Line, job: Assessment) -> bool:
    """True for a line about a supply, or about what only the mains side has."""
    lead = line.thing == "part" and getattr(job.plan.parts.get(line.name), "kind", "") == "hook_up_lead"
    return line.what in MAINS_ONLY or lead or line.name in job.plan.supplies


def figure(line: Line, job: Assessment) -> float | None:
    """Return the figure that a line asks for."""
    if is_of_mains(line, job):
        return figure_of_mains(line, job)
    match line.what:
        case "drop_v" | "drop_pct" if line.thing == "wire":
            return drop_of_wire(line, job)
        case "drop_v" | "drop_pct" | "start_drop_v":
            return getattr(circuit_of(line, job), line.what)
        case "loop_mohm":
            ohm = circuit_of(line, job).loop_resistance_ohm
            return None if ohm is None else 1e3 * ohm
        case "dip_v":
            dips = circuit_of(line, job).dips
            return next((dip.dip_v for dip in dips if dip.by_start_of == line.by), 0.0)
        case "rating_a" if line.thing == "part":  # what flows through the fullest contact inside it
            inside = [one for one in job.passages if one.part.startswith(f"{line.name}/")]
            return max(inside, key=lambda one: one.current_a / one.rating_a).current_a
        case "rating_a":
            return min(w.rating_a for w in pieces_of(wire_of(line, job), job) if w.rating_a is not None)
        case "current_a":
            return job.wires[line.name].current_a
        case "load_a":
            return job.drawn_a[line.name]
        case "share_pct":
            (bank,) = (bank for bank in banks(job.wiring, job.standing.closed) if line.name in bank)
            return 100.0 * job.drawn_a[line.name] / sum(job.drawn_a[battery] for battery in bank)
        case "permanent_supply":  # 1: nothing cuts it
            return float(Supplies(job.wiring).cut(line.name) is None)
        case "gas_locker" | "segregation" | "solid_core":  # null: there is no figure to it
            return None
        case "clip_spacing_m":
            return job.plan.wiring[line.name].clips.high
        case "charge_temperature_c":
            return coldest_c(job, line.name)
        case "fuse_rule":
            return at_bare_end(line, job)
        case "balance":  # by day
            return next(one.ah_per_day for one in taps(job) if one.run == line.name)
        case "fault_current_a":
            return far_short(line, job)
        case "short_folds_back":
            return folded_back(line, job)
        case "breaking":
            return asked_of_fuse(line, job)
        case "backfeed":  # fuses that leave what they guard live, circuits of the vehicle fed from behind
            mode = job.modes.figures[line.name]
            backwards = [one for one in fed_backwards(job) if one.mode == mode.id]
            return float(len([*back_feeds_in(job, mode), *backwards]))
        case "charge_ah_per_h":
            return next(one.ah_per_h.mid for one in driven_charges(job) if one.part == line.name)
        case "power_w":
            return promise_of(line, job).worst.most_w
        case "volts" if line.charge:
            return sag_state(line, job.under_load.sags[line.name].states).volts_v
        case "volts":  # of a battery in series, on charge
            return next(one.ahead_v for one in charged_apart(job) if line.name in one.tap.above)
        case "start_load_a":
            return next(one.amps for one in starts_behind_converters(job) if one.converter == line.name)
        case "ah_per_day" | "solar_ah_per_day" | "days":
            return figure_of_day(line, job)
        case "hours_to_fall_back":
            return hours_to_fall_back(line, job)
    raise AssertionError(f"no figure for {line}")


def figure_of_day(line: Line, job: Assessment) -> float | None:
    """Return what a day takes or the sun brings, or how many days full batteries last."""
    promised = {one.id: one.day for one in day_promises(job)}
    if line.name in promised:
        day = promised[line.name]
    else:
        energy, month = Energy(job), line.name[:3]
        season = line.name if line.name in job.plan.use else energy.season_of(month)
        months = [line.month or month] if line.month or season != line.name else job.plan.use[season].months
        days = [energy.day(season, one, energy.stores[0], drive=True) for one in months]
        told = [day for day in days if day.sun_ah is not None and "site.sun_hours" not in day.unknown]
        day = min(told or days, key=lambda day: day.days)  # the van's page counts months whose sun it states
    return {"ah_per_day": day.taken_ah, "solar_ah_per_day": day.sun_ah, "days": day.days}[line.what]


def promise_of(line: Line, job: Assessment) -> PowerPromise:
    """Return the promise of power that a line names."""
    return next(one for one in power_promises(job) if one.id == line.name)


def sag_state(line: Line, states: Iterable[SagState]) -> SagState:
    """Return the state of the batteries that a line names."""
    return next(state for state in states if is_state(line, state))


def is_state(line: Line, state: SagState) -> bool:
    """True for the state of the batteries that a line names: "70 %" and "-5 °C"."""
    named = tuple(float(text.split()[0]) for text in (line.charge, line.temperature))
    return named == (state.charge_pct, state.temperature_c)
