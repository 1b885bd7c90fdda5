"""Rules on where wires and batteries lie: gas, airbags, flames, pipes, holes, clips, moving parts, frost."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.zones import GAS_GEAR, LiesIn, Zones, chargers_of, coldest_c
from loomwright.loom.bundles import HOLE_SOURCE
from loomwright.plan.values import UNKNOWN, Quantity
from loomwright.source import Source
from loomwright.tables.insulation import insulation_class

from .finding import Finding, Severity
from .registry import Job, rule

GAS = Source(
    work="IEC 60364-7-721 / BS 7671",
    place="721.528: compartments of gas cylinders",
    checked="published, second hand",
)
APART = Source(
    work="IEC 60364-7-721 / BS 7671",
    place="721.528.1, 528.1: mains and extra-low voltage",
    checked="published, second hand",
)
STRANDED = Source(
    work="IEC 60364-7-721 / BS 7671",
    place="721.521.2: flexible or stranded copper only",
    checked="published, second hand",
)
FIXED = Source(
    work="IEC 60364-7-721 / BS 7671",
    place="721.522.8.1.3: 0.25 m level, 0.4 m upright",
    checked="from memory",
)
FIXED_12V = Source(
    work="ISO 10133", place="7.3: fixings at most 450 mm apart", checked="published, second hand"
)
AIRBAGS = Source(work="common practice", place="no loom along an airbag or a belt", checked="common practice")
FLAMES = Source(work="common practice", place="wires kept off flues and flames", checked="common practice")
FROST = Source(
    work="common practice",
    place="lithium iron phosphate is charged at 0 °C and above",
    checked="common practice",
)
#: Least and largest distance of clips: level and upright for mains, and for all else. [m]
MAINS_LEVEL_M, MAINS_UPRIGHT_M, LOW_M = 0.25, 0.40, 0.45
#: The coldest at which lithium cells are charged where the plan does not say. [°C]
CHARGED_FROM_C = 0.0
#: Insulation that stands the neighbourhood of a flue. [°C]
BY_FLUE_C = 150.0


@rule(
    worst="danger",
    asks="Does any wire lie where the gas bottles are?",
    why="Gas that leaks gathers there. A spark from a chafed wire or a switch sets it off.",
    source=GAS,
)
def wire_in_gas_locker(job: Job) -> Iterator[Finding]:
    for one in _gravest_first(job):
        flat = job.assessment.wiring.runs[one.run]
        path = job.assessment.plan.paths.get(one.spot)
        piped = path is not None and path.conduit is True
        if not flat.mains and not one.passes and _serves_gas(job, one):
            continue
        severity: Severity = "danger" if flat.mains and not piped else "watch" if piped else "fault"
        what = "a mains cable" if flat.mains else one.run
        do = "lead it round the compartment of the bottles"
        if piped:
            do = "see that the pipe is gas-tight from wall to wall and 0.5 m above the foot of the bottles"
        says = f"{what} {'passes through' if one.passes else 'ends in'} the gas locker, by {one.spot}"
        yield _finding(job, "wire_in_gas_locker", severity, one, says, do, GAS)


def _gravest_first(job: Job) -> Iterator[LiesIn]:
    """Give each run in the compartment once, by what it lies in most openly."""
    paths = job.assessment.plan.paths
    found: dict[str, tuple[bool, LiesIn]] = {}
    for one in Zones(job.assessment).in_zone("gas_locker"):
        piped = one.spot in paths and paths[one.spot].conduit is True
        if one.run not in found or (found[one.run][0] and not piped):
            found[one.run] = (piped, one)
    yield from (one for _, one in found.values())


def _once(job: Job, zone: str) -> Iterator[LiesIn]:
    """Give each run that passes through a zone once."""
    seen: set[str] = set()
    for one in Zones(job.assessment).in_zone(zone):
        if one.passes and one.run not in seen:
            seen.add(one.run)
            yield one


def _serves_gas(job: Job, one: LiesIn) -> bool:
    """Say whether what a wire ends at in the locker belongs to the gas itself: an alarm, a sender."""
    wiring = job.assessment.wiring
    ends = (wiring.part_of(point) for p in wiring.runs[one.run].pieces for point in (p.a, p.b))
    there = [wiring.parts[id] for id in ends if id is not None and wiring.parts[id].place == one.spot]
    return bool(there) and all(part.kind in GAS_GEAR for part in there)


@rule(
    worst="fault",
    asks="Does any wire lie along an airbag or belt?",
    why="When it fires, an airbag tears what lies before it; and its own looms must not be touched.",
    source=AIRBAGS,
)
def wire_along_airbag(job: Job) -> Iterator[Finding]:
    for one in _once(job, "airbag"):
        says = f"{one.run} lies along an airbag or belt, by {one.spot}"
        yield _finding(job, "wire_along_airbag", "fault", one, says, "lead it another way", AIRBAGS)


@rule(
    worst="watch",
    asks="Does any wire lie by a flue or flame without insulation for it?",
    why="Heat that nobody sees makes insulation brittle, and then it cracks.",
    source=FLAMES,
)
def wire_by_flue(job: Job) -> Iterator[Finding]:
    for one in _once(job, "flue"):
        pieces = [p for p in job.assessment.wiring.runs[one.run].pieces if p.id in job.assessment.wires]
        classes = [insulation_class(job.assessment.wires[p.id].insulation).max_c for p in pieces]
        if min(classes, default=0.0) < BY_FLUE_C:
            says = f"{one.run} passes a flue or flame, by {one.spot}, in insulation for {min(classes):.0f} °C"
            do = "keep it 0.5 m off, or use silicone in a heat sleeve"
            yield _finding(job, "wire_by_flue", "watch", one, says, do, FLAMES)


@rule(
    worst="fault",
    asks="Do mains and 12 V wires lie in one pipe?",
    why="Where one chafes on the other, mains stands on every tap, stud and switch of the 12 V side.",
    source=APART,
)
def mains_beside_low_voltage(job: Job) -> Iterator[Finding]:
    runs = job.assessment.plan.wiring
    for one in Zones(job.assessment).beside_mains:
        bare = tuple(id for id in one.others if runs[id].sheathed is not True)
        if not bare:
            continue
        says = f"{one.mains} (mains) lies in {one.path} with {' and '.join(bare)}"
        yield Finding(
            rule="mains_beside_low_voltage",
            severity="fault",
            where=one.mains,
            also=bare,
            place=one.path,
            says=f"{says}, not insulated for mains",
            do="Have a licensed person lead one of them another way, or part them by a divider",
            source=APART,
        )


@rule(
    worst="fault",
    asks="Is every wire of a van stranded, and flexible where something moves?",
    why="Solid copper breaks under vibration, first where it is bent.",
    source=STRANDED,
)
def wire_not_flexible(job: Job) -> Iterator[Finding]:
    moving = {one.run: one.spot for one in _once(job, "moving")}
    for id, run in job.assessment.plan.wiring.items():
        solid = run.conductor == "solid"
        if run.factory is True or not (solid or (id in moving and run.conductor == "stranded")):
            continue
        over = f", over a moving part by {moving[id]}" if id in moving else ""
        mains = job.assessment.wiring.runs[id].mains
        yield Finding(
            rule="wire_not_flexible",
            severity="fault",
            where=id,
            place=job.place(id),
            says=f"{id} has {'solid' if solid else 'coarse'} conductors{over}",
            do=f"{'Have a licensed person put' if mains else 'put'} a flexible cable in its place",
            source=STRANDED,
        )


@rule(
    worst="fault",
    asks="Are the clips of each wire near enough to each other?",
    why="A wire that swings chafes through and pulls at its ends.",
    source=FIXED,
)
def clips_too_far_apart(job: Job) -> Iterator[Finding]:
    zones = Zones(job.assessment)
    for id, run in job.assessment.plan.wiring.items():
        clips = run.clips
        if not isinstance(clips, Quantity):
            continue
        mains, upright = job.assessment.wiring.runs[id].mains, zones.upright(run)
        surely = MAINS_UPRIGHT_M if mains and upright is not False else MAINS_LEVEL_M if mains else LOW_M
        perhaps = MAINS_LEVEL_M if mains and upright is not True else surely
        open_m = zones.open_m(run)
        if clips.high <= perhaps or (open_m is not None and open_m <= perhaps):
            continue
        severity: Severity = "fault" if clips.high > surely and open_m is not None else "watch"
        allowed = f"{LOW_M:g} m"
        if mains:
            allowed = f"{MAINS_LEVEL_M:g} m where it lies level, {MAINS_UPRIGHT_M:g} m upright"
        yield Finding(
            rule="clips_too_far_apart",
            severity=severity,
            where=id,
            place=job.place(id),
            value=clips.high,
            limit=surely if severity == "fault" else perhaps,
            unit="m",
            says=f"{id} is fixed every {clips.high:g} m; {allowed} at most"
            + ("; nobody says how much of it lies outside its pipe" if open_m is None else ""),
            do=("Have a licensed person " if mains else "")
            + ("set clips in between" if open_m is not None else "set clips where it lies outside its pipe"),
            source=FIXED if mains else FIXED_12V,
        )


@rule(
    worst="watch",
    asks="Does each bundle pass the hole of its path?",
    why="A bundle forced through a grommet tears it, and then lies on the bare edge.",
    source=HOLE_SOURCE,
)
def bundle_too_thick_for_hole(job: Job) -> Iterator[Finding]:
    for hole in job.assessment.loom.holes:
        piped = job.assessment.plan.paths[hole.path].conduit is True  # a rule of its own says how full
        if hole.needed_mm > hole.bore_mm and not piped:
            yield Finding(
                rule="bundle_too_thick_for_hole",
                severity="watch",
                where=hole.path,
                also=hole.wires,
                place=hole.path,
                value=hole.needed_mm,
                limit=hole.bore_mm,
                unit="mm",
                says=f"{len(hole.wires)} wires pass the hole of {hole.path} and need "
                f"{hole.needed_mm:.0f} mm; it has {hole.bore_mm:.0f} mm",
                do="use a larger grommet, or lead some of them another way",
                source=HOLE_SOURCE,
            )


@rule(
    worst="fault",
    asks="Is each lithium battery kept from being charged in frost?",
    why="Charged below 0 °C metal builds up in the cells: they lose capacity and may fail later.",
    source=FROST,
)
def lithium_charged_in_frost(job: Job) -> Iterator[Finding]:
    for id, part in job.assessment.wiring.parts.items():
        if part.kind != "battery" or part.chemistry != "lifepo4" or isinstance(part.heat_pad, Quantity):
            continue
        cold = coldest_c(job.assessment, id)
        typed = part.charge_temperature
        least = typed.low if isinstance(typed, Quantity) else CHARGED_FROM_C
        stops = part.cut_off.charge_below if part.cut_off is not None else UNKNOWN
        if cold is None or cold >= least or (isinstance(stops, Quantity) and stops.low >= least):
            continue
        if not chargers_of(job.assessment, id):
            continue
        known = stops is not UNKNOWN
        says = f"{job.name(id)} gets as cold as {cold:.1f} °C there and may be charged from {least:g} °C on"
        yield Finding(
            rule="lithium_charged_in_frost",
            severity="fault" if known else "watch",
            where=id,
            place=job.place(id),
            value=cold,
            limit=least,
            unit="°C",
            says=f"{says}; {'nothing stops' if known else 'nobody says what stops'} a charge below",
            do="set it inside, warm it by a pad, or use one whose management stops a charge in the cold"
            if known
            else f"look in its sheet and write it at parts.{id}.cut_off.charge_below",
            source=FROST,
        )


def _finding(
    job: Job, rule: str, severity: Severity, one: LiesIn, says: str, do: str, source: Source
) -> Finding:
    mains = job.assessment.wiring.runs[one.run].mains
    return Finding(
        rule=rule,
        severity=severity,
        where=one.run,
        also=(one.spot,),
        place=one.spot,
        says=says,
        do=f"Have a licensed person {do}" if mains else do,
        source=source,
    )
