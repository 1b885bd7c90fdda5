"""What the sheets of one plan share: title block, cautions, numbered findings, how figures are written.

Findings keep the numbers that `check` gives them. Figures come from the assessment and are rounded as in the
report: 0.84 V, 7.0 %, 14.3 A, 6.2 m.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from loomwright.assessment.record import Assessment, WireFigure
from loomwright.drawing.frame_foot import TitleBlock
from loomwright.drawing.frame_margin import MarginEntry, in_margin_order
from loomwright.drawing.ink import WIRE_COLOURS, Token
from loomwright.plan.model import Part, Plan
from loomwright.plan.values import Amount, Quantity
from loomwright.rules.check import Checked, count
from loomwright.rules.finding import Finding

OWN_WORKSHOP = "own workshop"
SET_BY = "Set by Loomwright"
MAINS_NOTICE = "230/120 V side not checked by this version"


@dataclass(frozen=True, slots=True)
class Numbered:
    """A finding with the number it has on every sheet, and all ids it is about."""

    number: int
    finding: Finding

    @property
    def ids(self) -> tuple[str, ...]:
        """The thing it is about, then the further ones."""
        return tuple(dict.fromkeys((self.finding.where, *self.finding.also)))


def numbered(checked: Checked) -> tuple[Numbered, ...]:
    """Return the findings with their numbers, gravest first."""
    return tuple(Numbered(number, finding) for number, finding in enumerate(checked.findings, 1))


def margin_entries(findings: Iterable[Numbered], spots: Mapping[int, str]) -> tuple[MarginEntry, ...]:
    """Return the findings as the margin tells them, in its order.

    Parameters
    ----------
    findings : iterable of Numbered
        Those of the plan.
    spots : mapping
        Number of a finding to where its sign stands, "12.E" or "3/12.E"; one without a sign is left out.
    """
    return in_margin_order(
        MarginEntry(
            number=one.number,
            severity=one.finding.severity,
            name=_name(one.finding),
            spot=spots.get(one.number, ""),
            says=_sentence(one.finding.says),
            cure=_sentence(one.finding.do) if one.finding.severity != "note" else "",
        )
        for one in findings
    )


def _name(finding: Finding) -> str:
    first_place = finding.place.split(",")[0]
    return f"{finding.where}, {first_place}" if first_place else finding.where


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if not text or text.endswith((".", "!", "?")) else ".")


def danger_band(checked: Checked) -> str:
    """Return the words for the red band, empty without a danger."""
    dangers = count(checked.findings, "danger")
    if not dangers:
        return ""
    return f"DO NOT ENERGISE: {dangers} danger{'s' if dangers > 1 else ''}, see the findings"


def mains_notice(job: Assessment) -> str:
    """Return the notice that parts of the mains side are not judged, empty if all are."""
    return MAINS_NOTICE if job.mains.unjudged else ""


def title_block(
    plan: Plan, title: str, *, sheet: int = 1, sheets: int = 1, reads_with: tuple[str, ...] = ()
) -> TitleBlock:
    """Return what the title block of a sheet says."""
    changes = tuple((id, revision.says) for id, revision in plan.revisions.items())
    return TitleBlock(
        van=plan.title,
        serial=plan.serial or ", ".join(plan.serials) or "–",
        region=f"{plan.region.upper()}, {typed(plan.system) or '12 V'}",
        title=title,
        revision=plan.revision or "–",
        date=str(plan.date) if plan.date else "–",
        sheet=sheet,
        sheets=sheets,
        drawn=plan.drawn_by or OWN_WORKSHOP,
        checked=plan.checked_by or "",
        changes=changes,
        reads_with=(*reads_with, SET_BY)[:2],
    )


def cautions(job: Assessment, *further: str) -> tuple[str, ...]:
    """Return the cautions of a sheet, the gravest first; those about parts the plan lacks are left out."""
    return tuple(_cautions(job, further))


def _cautions(job: Assessment, further: tuple[str, ...]) -> Iterator[str]:
    kinds = {part.kind for part in job.wiring.parts.values()}
    if kinds & {"battery", "vehicle_battery"}:
        yield "Take the minus leads of all batteries off first, put them on last. Rings, watch and tools off."
        yield "A short on a battery cable burns skin and starts fires. Batteries on charge give gas."
    if "solar_panel" in kinds:
        yield "A panel in daylight is live: cover it or unplug it before its wires are touched."
    yield from further
    yield "Earth on bare metal; never on a seat, belt, airbag, fuel or brake bolt. Mind airbag looms."
    if mains_notice(job):
        yield "Mains: a licensed person. All else: a competent one. No certificate; replaces no local rule."
    else:
        yield "This sheet helps a competent person. It is no certificate and replaces no local rule."


def name_of(part: Part | None, id: str) -> str:
    """Return the words for a part: its name, else its id with blanks."""
    return id.rpartition("/")[2].replace("_", " ") if part is None or not part.name else part.name


def typed(amount: Amount | None) -> str:
    """Return a quantity as its author typed it, "" if it is not known."""
    return amount.typed if isinstance(amount, Quantity) else ""


def inks_of(letters: str) -> tuple[Token, ...]:
    """Return the inks of a wire's colour letters; none for a cable of several cores."""
    pairs = [letters[place : place + 2] for place in range(0, len(letters), 2)]
    known = [token for pair in pairs for token in WIRE_COLOURS if token == pair]
    return tuple(known) if len(known) == len(pairs) <= 2 else ()


def amps(value: float | None) -> str:
    """Return a current, "" if it is not to be had.

    Examples
    --------
    >>> amps(14.32)
    '14.3 A'
    """
    return "" if value is None else f"{value:.3g} A"


def drop(volts: float | None, percent: float | None) -> str:
    """Return volts lost and percent, "" if not to be had.

    Examples
    --------
    >>> drop(0.8428, 7.02)
    '0.84 V 7.0 %'
    """
    return "" if volts is None or percent is None else f"{volts:.2f} V {percent:.1f} %"


def length(wire: WireFigure) -> str:
    """Return the length of a wire, with a star if the program worked it out; "" for a joint of 0 m."""
    if not wire.length_m:
        return ""
    return f"{wire.length_m:.1f} m{'*' if 'length' in wire.chosen else ''}"


def size(wire: WireFigure) -> str:
    """Return the size of a wire without its unit, as it stands behind the colour letters."""
    if wire.area_mm2 is None:
        return ""
    figure = wire.gauge or f"{wire.area_mm2:g}"
    return f"{figure}{'*' if 'area' in wire.chosen else ''}"
