"""Which wires belong to the plus side, which only carry a signal, which are minus or mains."""

from __future__ import annotations

from loomwright.assessment.record import Assessment
from loomwright.plan.model import Part
from loomwright.plan.pieces import FlatRun, Piece, Wiring

#: Parts that stand on the mains side alone.
MAINS_KINDS = ("hook_up_lead", "inlet", "generator", "breaker_box", "transformer", "mains_socket",
               "appliance", "priority_relay", "polarity_lamp")  # fmt: skip
_BARS = ("busbar", "splice")
_MINUS = ("minus", "panel_minus", "battery_minus", "out_minus", "coil_minus", "earth", "case")
_SIGNAL = ("85", "86", "signal", "sender", "d_plus", "coil_plus", "remote", "probe")
_BATTERIES = ("battery", "vehicle_battery")


def _is_minus_terminal(wiring: Wiring, point: str) -> bool:
    part = wiring.part_of(point)
    if part is None:
        return False
    terminal = wiring.terminal_of(point)
    return terminal in _MINUS or wiring.parts[part].terminals.get(terminal) in ("minus", "case")


def _bar(wiring: Wiring, point: str) -> bool:
    return point in wiring.parts and wiring.parts[point].kind in _BARS


def minus_bars(wiring: Wiring) -> frozenset[str]:
    """Return the bars and splices of the minus: those with a return, a stud or a minus on them."""
    pieces = [piece for piece in wiring.pieces() if _bar(wiring, piece.a) or _bar(wiring, piece.b)]
    found: set[str] = set()
    for piece in pieces:
        for bar, other in ((piece.a, piece.b), (piece.b, piece.a)):
            if not _bar(wiring, bar):
                continue
            grounded = wiring.part_of(other) is None and not other.endswith("~")
            if piece.is_return or grounded or _is_minus_terminal(wiring, other):
                found.add(bar)
    grew = True
    while grew:
        grew = False
        for piece in pieces:
            ends = {piece.a, piece.b}
            if all(_bar(wiring, end) for end in ends) and len(ends & found) == 1:
                found |= ends
                grew = True
    return frozenset(found)


def is_minus_run(wiring: Wiring, flat: FlatRun, bars: frozenset[str]) -> bool:
    """Say whether a run lies on the minus side; a link from a battery's plus to another's minus does not."""
    if not flat.pieces:
        return True
    start = flat.pieces[0].a
    ends = (start, *flat.loads)
    low = [end in bars or _is_minus_terminal(wiring, end) or wiring.part_of(end) is None for end in ends]
    if not any(low):
        return False
    kinds = [wiring.parts[part].kind for end in ends if (part := wiring.part_of(end))]
    series = len(ends) == 2 and all(kind in _BATTERIES for kind in kinds) and len(kinds) == 2
    return not (series and low.count(True) == 1)


def is_control(job: Assessment, flat: FlatRun, piece: Piece) -> bool:
    """Say whether a wire only carries a signal, feeds a coil or a panel."""
    wiring = job.wiring
    if any(circuit.wire == flat.id and circuit.path == "signal" for circuit in job.circuits.values()):
        return True
    for point in (piece.a, piece.b):
        part = _part(wiring, point)
        # A fuse box may have so many ways that one is called 85.
        coil = wiring.terminal_of(point) in _SIGNAL and (part is None or part.kind != "fuse_box")
        if coil or _is_panel_output(wiring, point):
            return True
    return _is_sensed_feed(wiring, piece)


def _is_panel_output(wiring: Wiring, point: str) -> bool:
    part = _part(wiring, point)
    return part is not None and part.kind == "control_panel"


def _is_sensed_feed(wiring: Wiring, piece: Piece) -> bool:
    """Say whether a feed of the vehicle only tells a box its state."""
    source, target = _part(wiring, piece.a), _part(wiring, piece.b)
    if source is None or source.kind != "vehicle_feed" or source.live == "always":
        return False
    return "/" in (wiring.part_of(piece.b) or "") or (target is not None and target.kind == "b2b")


def _part(wiring: Wiring, point: str) -> Part | None:
    id = wiring.part_of(point)
    return None if id is None else wiring.parts[id]
