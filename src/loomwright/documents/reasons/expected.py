"""Bands that matter: figures of a thing on both sides of a limit, and what decides where they lie."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.assessment.banded import Bands, Expected, Figures
from loomwright.assessment.limits import limits_of
from loomwright.assessment.loads import LONG_START_S
from loomwright.assessment.record import Assessment, CircuitFigure
from loomwright.plan.model import Plan
from loomwright.rules.check import Checked
from loomwright.rules.finding import Finding
from loomwright.tables.limits import Limit

from .figures import quantity
from .part import circuits_at
from .wire import circuits_of

#: A scale ends so far above the highest of band and limits.
HEADROOM = 1.1
#: So many fields are told of those that decide.
TOLD = 4


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """One figure as a band, and where its ends and its limits lie on a scale of 0 to 100.

    Attributes
    ----------
    what : str
        "drop, running".
    low, typical, high : str
        With their unit.
    at : tuple of float
        The three of them on the scale.
    limits : tuple of (str, str, float)
        "watch" or "fault", where it begins, and that on the scale.
    """

    what: str
    low: str
    typical: str
    high: str
    at: tuple[float, float, float]
    limits: tuple[tuple[str, str, float], ...]

    @property
    def words(self) -> str:
        """All of it in words."""
        ends = f"{self.low} at the least, typically {self.typical}, {self.high} at the most"
        lines = [f"{name} from {begins}" for name, begins, _ in self.limits]
        return f"{self.what}: {ends}; {', '.join(lines)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Open:
    """A verdict that is not sure: the number of its finding, what decides it, and what would settle it."""

    number: int
    decides: tuple[str, ...]
    settles: str


def spreads(checked: Checked, kind: str, id: str) -> tuple[Spread, ...]:
    """Return the bands of a thing that a limit parts, those of its first circuit before its own.

    Parameters
    ----------
    checked : Checked
        A plan assessed and judged.
    kind, id : str
        "wire", "part" or "stud", and which; of any other kind there are none.
    """
    job = checked.assessment
    if kind == "stud" and id in job.studs:
        return tuple(_of_stud(checked, id))
    if kind == "wire" and id in job.wires:
        circuits = list(circuits_of(job, job.wires[id]))
        return (*_of_circuits(checked, circuits), *_of_wire(checked, id))
    if kind == "part" and id in job.wiring.parts:
        return tuple(_of_circuits(checked, list(circuits_at(job, id))))
    return ()


def open_verdicts(checked: Checked, where: str) -> tuple[Open, ...]:
    """Return what is not sure about a thing."""
    return tuple(
        Open(number=number, decides=decides(one), settles=one.do)
        for number, one in enumerate(checked.findings, 1)
        if one.at_worst and one.where == where
    )


def decides(finding: Finding) -> tuple[str, ...]:
    """Return in words what decides a verdict that is not sure, most first: "S11.resistance 62 %"."""
    told = [f"{field} {share:.0f} %" for field, share in finding.decided_by if share >= 0.5]
    return (*told[:TOLD], *(["and more"] if len(told) > TOLD else []))


def of_finding(checked: Checked, finding: Finding) -> Spread | None:
    """Return the band of what a finding that is not sure compares, if it is a drop, a dip or a joint."""
    job, bands, limits = checked.assessment, checked.bands, limits_of(checked.assessment.plan)
    if finding.at_worst == "joint_loses_too_much" and finding.where in job.studs:
        return _spread("volts in its contact", bands.studs[finding.where]["volts_v"], limits.joint, "V")
    own = [one for one in job.circuits.values() if one.wire == finding.where or one.load == finding.where]
    circuit = next((one for one in own if one.load in (finding.where, *finding.also)), None)
    if circuit is None:
        return None
    if finding.at_worst == "dip_at_other_load":
        band = bands.dips.get((circuit.id, finding.cause))
        return _spread(f"dip when {finding.cause} starts", band, limits.dip, "V")
    found = {name: (what, band, limit) for name, what, band, limit in _drops(job.plan, bands, circuit)}
    told = found.get(finding.at_worst)
    return None if told is None else _spread(*told, "%")


def _of_circuits(checked: Checked, circuits: list[CircuitFigure]) -> Iterator[Spread]:
    job, bands = checked.assessment, checked.bands
    for circuit in circuits[:1]:
        for _, what, band, limit in _drops(job.plan, bands, circuit):
            yield from _if_parted(what, band, limit, "%")
        for dip in circuit.dips[:1]:
            what = f"dip when {dip.by_start_of} starts"
            yield from _if_parted(what, bands.dips.get((circuit.id, dip.by_start_of)), _dip(job), "V")


def _dip(job: Assessment) -> Limit:
    return limits_of(job.plan).dip


def _drops(
    plan: Plan, bands: Bands, circuit: CircuitFigure
) -> Iterator[tuple[str, str, Expected | None, Limit]]:
    """Give by rule what a circuit is held against, in per cent."""
    limits, figures = limits_of(plan), bands.circuits.get(circuit.id)
    if circuit.path == "signal" or figures is None:
        return
    if circuit.path == "charging":
        limit = limits.charging_drop.as_pct(circuit.system_v)
        yield "charging_drop_too_large", "drop, charging", figures["drop_pct"], limit
        return
    yield (
        "drop_too_large",
        "drop, running",
        _run_or_own(circuit, figures),
        limits.drop.as_pct(circuit.system_v),
    )
    long = (circuit.start_s or 0.0) > LONG_START_S
    limit = (limits.drop if long else limits.start_drop).as_pct(circuit.system_v)
    yield "start_drop_too_large", "drop at its start", figures["start_drop_pct"], limit


def _run_or_own(circuit: CircuitFigure, figures: Figures) -> Expected | None:
    """Return the drop with the other loads of its wire on, in per cent; alone where it has none."""
    whole = figures["drop_run_v"]
    if whole is None or circuit.drop_run_v is None:
        return figures["drop_pct"]
    scale = 100.0 / circuit.system_v
    return Expected(whole.low * scale, whole.typical * scale, whole.high * scale)


def _of_wire(checked: Checked, id: str) -> Iterator[Spread]:
    wire, figures = checked.assessment.wires[id], checked.bands.wires.get(id)
    current, rating = (None, None) if figures is None else (figures["current_a"], figures["rating_a"])
    if current is None or rating is None or wire.factory or rating.low <= 0.0:
        return
    filled = Expected(
        100.0 * current.low / rating.high,
        100.0 * current.typical / rating.typical,
        100.0 * current.high / rating.low,
    )
    limit = limits_of(checked.assessment.plan).load_over_rating
    yield from _if_parted("current by cable", filled, limit, "%", 100.0)


def _of_stud(checked: Checked, id: str) -> Iterator[Spread]:
    volts = checked.bands.studs[id]["volts_v"]
    yield from _if_parted("volts in its contact", volts, limits_of(checked.assessment.plan).joint, "V")


def _if_parted(
    what: str, band: Expected | None, limit: Limit, unit: str, scale: float = 1.0
) -> Iterator[Spread]:
    """Give a band if its ends are judged differently; `scale` turns the limit's figures into the band's."""
    if band is not None and limit.level(band.low / scale) != limit.level(band.high / scale):
        found = _spread(what, band, limit, unit, scale)
        if found is not None:
            yield found


def _spread(what: str, band: Expected | None, limit: Limit, unit: str, scale: float = 1.0) -> Spread | None:
    if band is None:
        return None
    begins = [
        (name, scale * level)
        for name, level in (("watch", limit.watch), ("fault", limit.fault))
        if level is not None
    ]
    end = HEADROOM * max(band.high, *(level for _, level in begins), 1e-9)
    return Spread(
        what=what,
        low=quantity(band.low, unit),
        typical=quantity(band.typical, unit),
        high=quantity(band.high, unit),
        at=(100.0 * band.low / end, 100.0 * band.typical / end, 100.0 * band.high / end),
        limits=tuple((name, quantity(level, unit), 100.0 * level / end) for name, level in begins),
    )
