"""For each rule on shorts a plan that trips it, one that just passes, and what flips it.

By hand: the base's AGM battery rests at 11.7 V at 20 % charge, behind twice its 20 mΩ when weak; nothing else
resists but what a case says.
"""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

HEATER = "heater: {kind: load, place: kitchen, running: 10 A}"
LAMP = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
THICK = "area: 6 mm², length: 1 m, resistance: 0 mΩ"


def _chosen(mohm: float, fuse: str = "30 A") -> str:
    """A heater of 1.5 mm² behind a two-way switch: at rest on 10 A, in a mode on more, through milliohms."""
    text = plan(
        f"{HEATER}\nS1: {{kind: two_way, place: kitchen, rating: 30 A}}",
        f"""W1: {{from: P1.1, fuse: 10 A, to: S1.a, {THICK}}}
        W2: {{from: P1.2, fuse: {fuse}, to: S1.b, {THICK}}}
        C1: {{from: S1.com, to: heater, area: 1.5 mm², length: 3 m, resistance: {mohm} mΩ,
        return: {{to: E2, length: 0.4 m}}}}""".replace(",\n", ","),
    ).replace("running: 10 A", "running: 8 A")
    return text + "\nmodes:\n  other: {switches: {S1: b}}\n"


def _far(mohm: float) -> str:
    """A blade of 15 A on a wire that carries 42 A, and so many milliohms there and back."""
    return plan(HEATER, f"C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}".replace("0 mΩ", f"{mohm} mΩ"))


def _converter(amps: float) -> str:
    """A converter that folds back at 22 A, behind it one fuse of so many amperes."""
    return plan(
        f"""converter: {{kind: converter, place: seat_base, output: 12 V, current: 20 A, efficiency: 90 %,
        fold_back: 22 A}}
        {LAMP}""".replace(",\n", ","),
        f"""W2: {{from: P1.1, fuse: 30 A, to: converter, {THICK}, return: {{to: E1, length: 0.4 m}}}}
        C1: {{from: converter, fuse: {amps} A, to: lamp, {WIRE}}}""",
    )


def _branch(amps: float) -> str:
    """A bolted fuse of so many amperes behind the bolted 60 A, which also feeds a lamp."""
    return plan(
        f"{HEATER}\n{LAMP}",
        f"""C1: {{from: P1.1, fuse: {{rating: {amps} A, type: bolted, resistance: 0 mΩ}}, to: heater,
        area: 16 mm², length: 3 m, resistance: 0 mΩ, return: {{to: E2, length: 0.4 m}}}}
        C2: {{from: P1.2, fuse: 3 A, to: lamp, {WIRE}}}""".replace(",\n", ","),
    )


#: As in `cases_guarding`: a 30 A blade and 1.5 mm² take equally long at 56.5 A, which 11.7 V drive through
#: 207 mΩ, the battery's 40 among them. There are half as many in the feed and half in the return.
BURNS_AT_MOHM = 207.1 - 40.0
#: 135 % of a 15 A blade (ISO 8820-3) is 20.25 A: 11.7 V through 577.8 mΩ, the battery's 40 among them.
NEVER_AT_MOHM = 1e3 * 11.7 / (1.35 * 15.0) - 40.0
#: 22 A are 135 % of 16.3 A.
FOLDS_AT_A = 22.0 / 1.35

SHORTS: dict[str, Case] = {
    "short_outlasts_cable": Case(
        _chosen(1.2 * BURNS_AT_MOHM),
        _chosen(0.0, "20 A"),
        "danger",
        "A heater on 1.5 mm² is moved by a switch to a feed behind 30 A; a short at its far end then lasts "
        "longer than the cable stands it.",
        (Flip(_chosen, BURNS_AT_MOHM, "danger"),),
    ),
    "short_never_clears": Case(
        _far(1.2 * NEVER_AT_MOHM),
        _far(0.0),
        "watch",
        "A wire resists so much that a short at its end draws 17 A, which its 15 A blade need not notice.",
        (Flip(_far, NEVER_AT_MOHM, "watch"),),
    ),
    "short_folds_back": Case(
        _converter(25.0),
        _converter(10.0),
        "note",
        "Behind a converter that folds back at 22 A stands a 25 A blade, which need not open in a short.",
        (Flip(_converter, FOLDS_AT_A, "note"),),
    ),
    "fuse_before_opens_first": Case(
        _branch(80.0),
        _branch(30.0),
        "watch",
        "A circuit behind an 80 A bolted fuse hangs on a main fuse of 60 A: that one opens, and all is dark.",
        (Flip(_branch, 60.0, "watch"),),
    ),
}
