"""What is fitted otherwise: wires in other colours, terminals, coils turned round, studs made sound."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.sizes import conductor_table
from loomwright.plan.edit import Edit
from loomwright.plan.pieces import Piece
from loomwright.protection.sizing import sizes
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change
from .copper import size_text

#: Colours of feeds and returns, the usual one first.
_FEEDS = ("RD", "OG", "VT", "RDWH")
_RETURNS = ("BK", "BKWH", "BN")
_COILS = {"85": "86", "86": "85"}


def recoloured(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the wires that a finding is about another colour of their pole."""
    pieces = {piece.id: piece for piece in base.assessment.wiring.pieces()}
    odd = [pieces[id] for id in _odd(finding) if id in pieces]
    pole = base.assessment.poles.of(odd[0]) if odd else ""
    for colour in _RETURNS if pole == "minus" else _FEEDS:
        edits = [edit for piece in odd for edit in _colour_edits(base, piece, colour)]
        if edits:
            yield change(f"{' and '.join(piece.id for piece in odd)} in {colour}", *edits)


def _odd(finding: Finding) -> tuple[str, ...]:
    """Return the wires that are to change: all it names, or all but those that they are held against."""
    return {
        "colour_at_both_poles": finding.also[:-1],
        "colour_at_two_voltages": finding.also[:1],
    }.get(finding.rule, finding.also)


def _colour_edits(base: Base, piece: Piece, colour: str) -> Iterator[Edit]:
    """Give the edits that state the colour of one piece; none for a wire inside a composite."""
    at = f"wiring.{piece.run}"
    typed = base.at(at)
    if not isinstance(typed, dict):
        return
    legs = typed.get("to")
    own = legs.get(piece.load) if isinstance(legs, dict) and piece.load else None
    if isinstance(own, dict) and (not piece.is_return or "return" in own):
        at, typed = f"{at}.to.{piece.load}", own
    if not piece.is_return:
        yield Edit(f"{at}.colour", colour)
    elif isinstance(typed.get("return"), dict):
        yield Edit(f"{at}.return.colour", colour)
    else:
        yield Edit(f"{at}.return", {"to": typed.get("return"), "colour": colour})


def fitting_wire(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the wire in a size that the terminal takes, else a part whose terminals take the wire."""
    if finding.value is None or finding.limit is None:
        return
    areas = sizes(conductor_table(base.assessment.plan))
    thick = finding.value > finding.limit
    fitting = [area for area in areas if (area <= finding.limit if thick else area >= finding.limit)]
    for area in (fitting[::-1] if thick else fitting)[:1]:
        size = size_text(base, finding.where, area)
        yield change(f"{finding.where} in {size}", Edit(f"wiring.{finding.where}.area", size))
    part = finding.also[-1]
    if base.at(f"parts.{part}") is not None:
        takes = base.assessment.wiring.parts[part].takes
        low = getattr(takes, "low", finding.value) if thick else finding.value
        high = finding.value if thick else getattr(takes, "high", finding.value)
        says = f"{base.job.name(part)} with terminals for {low:g} to {high:g} mm²"
        yield change(says, Edit(f"parts.{part}.takes", f"{low:g}..{high:g} mm²"))


def coil_turned(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the relay with the wires of its coil swapped, else one with its diode the other way round."""
    edits = []
    for run in base.assessment.plan.wiring.values():
        for name in ("from", "to", "return", "return.to"):
            id, _, terminal = str(base.at(f"wiring.{run.id}.{name}")).partition(".")
            if id == finding.where and terminal in _COILS:
                edits.append(Edit(f"wiring.{run.id}.{name}", f"{id}.{_COILS[terminal]}"))
    if edits:
        yield change(f"the wires at 85 and 86 of {base.job.name(finding.where)} swapped", *edits)
    if base.at(f"parts.{finding.where}") is not None:
        mark = _COILS[base.at(f"parts.{finding.where}.coil_plus") or "86"]
        says = f"a relay in place of {base.job.name(finding.where)} whose diode has its plus at {mark}"
        yield change(says, Edit(f"parts.{finding.where}.coil_plus", mark))


#: By rule: what is done to a stud, the field that then says so, and what it says.
_STUDS = {
    "stud_on_forbidden_bolt": ("a stud of its own beside {}", "bolt", ("own",)),
    "stud_on_paint": ("the paint taken off under the rings of {}", "surface", ("bare",)),
    "stud_not_sealed": ("{} sealed", "sealed", ("yes",)),
    "cable_too_large_for_stud": ("{} as an {value} stud", "thread", ("M8", "M10")),
}


def sound_stud(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give a stud made as it should be; not where only a remark hints at what it is."""
    says, field, values = _STUDS[finding.rule]
    hint = finding.rule == "stud_on_forbidden_bolt" and finding.severity != "fault"
    for value in () if hint else values:
        edit = Edit(f"studs.{finding.where}.{field}", value)
        yield change(says.format(finding.where, value=value), edit)
