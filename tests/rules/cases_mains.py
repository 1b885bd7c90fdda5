"""For each rule on the mains side a van that trips it, one that just passes, and what flips it.

By hand: a pitch of 0.8 Ω, 25 m of 2.5 mm² there and back are 0.399 Ω, 1 m of it 0.016 Ω, 4 m of 2.5 mm² in
the van 0.064 Ω: 1.28 Ω, 180 A. A B breaker of 10 A opens at once from 50 A on. On an electrode of 50 Ω 4.5 A
flow, and only an RCD sees them.
"""

from __future__ import annotations

from tests.rules.base import Case, Flip, plan

_DC = "area: 50 mm², length: 1 m, resistance: 0 mΩ"
PITCH = "pitch: {current: 16 A, earthing: tn, polarity: right, loop: 0.8 Ω}"
ELECTRODE = "pitch: {current: 16 A, earthing: tt, polarity: right, electrode: OHM Ω, rcd: none}"
M1 = "M1: {from: inlet, to: U1, area: 2.5 mm², length: 1 m}"
M2 = "M2: {from: U1.1, breaker: 10 A B 2-pole, to: socket, area: 2.5 mm², length: 4 m}"
PE = "pe: {from: U1.earth, to: E2, area: 6 mm², length: 0.5 m}"


def van(
    *,
    inlet: str = "lid: yes, notice: yes",
    box: str = "ways: 2, rcd: 30 mA 2-pole type A",
    parts: str = "",
    runs: tuple[str, ...] = (M1, M2, PE),
    pitch: str = PITCH,
    modes: str = "",
    region: str = "eu",
) -> str:
    """An inlet, a breaker box with an RCD, a socket, a bond."""
    text = plan(
        f"""lead: {{kind: hook_up_lead, length: 25 m, area: 2.5 mm²}}
        inlet: {{kind: inlet, place: kitchen, rating: 16 A, {inlet}}}
        U1: {{kind: breaker_box, place: kitchen, {box}}}
        socket: {{kind: mains_socket, place: kitchen}}
        {parts}""",
        "\n".join(runs),
    )
    added = f"supplies:\n  {pitch}\n" + (f"modes:\n  {modes}\n" if modes else "")
    return text.replace("region: eu", f"region: {region}") + added


def _run(old: str, new: str, run: str = M2) -> tuple[str, ...]:
    return tuple(one.replace(old, new) if one == run else one for one in (M1, M2, PE))


def _electrode(ohm: float) -> str:
    """No RCD in the van, one of 100 mA in the post: it opens in 0.3 s and more below twice its current."""
    return van(pitch=ELECTRODE.replace("OHM", f"{ohm}"), box="ways: 2, rcd: 100 mA 2-pole type A")


def _running(watts: float) -> str:
    mode = "evening: {hook_up: any, running: [heater]}"
    return van(parts=f"heater: {{kind: appliance, power: {watts} W, lasting: yes}}", modes=mode)


def _short(watts: float) -> str:
    mode = "evening: {hook_up: any, running: [kettle]}"
    return van(parts=f"kettle: {{kind: appliance, power: {watts} W}}", modes=mode)


def _starting(amps: float) -> str:
    """A breaker of 16 A of any curve may open at once from three times its rating on."""
    saw = f"saw: {{kind: appliance, power: 1200 W, start: {amps} A for 0.5 s, lasting: no}}"
    return van(parts=saw, modes="work: {hook_up: any, running: [saw]}")


def _wound(watts: float) -> str:
    """On its reel a lead of 2.5 mm² bears 25 A · 500 / 2300 = 5.43 A, 1250 W."""
    text = _running(watts)
    return text.replace("length: 25 m, area: 2.5 mm²", "length: 25 m, area: 2.5 mm², wound: yes")


def _house(watts: float) -> str:
    """A 13 A plug of a British house, on an electrode of its own."""
    mode = "evening: {hook_up: any, running: [heater]}"
    heater = f"heater: {{kind: appliance, power: {watts} W, lasting: yes}}"
    house = "home: {current: 16 A, outlet: house, earthing: tt, electrode: 50 Ω, polarity: right}"
    return van(parts=heater, modes=mode, pitch=house, region="uk")


def _inverter(fields: str, sockets: int = 2, case: str = "50 mm²") -> str:
    runs = "S1: {from: inverter, to: socket_1, area: 2.5 mm², length: 1 m}"
    if sockets > 1:
        runs += "\nS2: {from: socket_1, to: socket_2, area: 2.5 mm², length: 1 m}"
    names = "\n".join(f"socket_{n}: {{kind: mains_socket, place: kitchen}}" for n in range(1, sockets + 1))
    return plan(
        f"inverter: {{kind: inverter, place: seat_base, power: 300 W, efficiency: 90 %, {fields}}}\n{names}",
        f"""I1: {{from: leisure, fuse: 60 A bolted, to: inverter, {_DC}, return: wire}}
        I2: {{from: inverter.case, to: E1, area: {case}, length: 0.5 m}}
        {runs}""",
    )


def _cased(area: str) -> str:
    """12.8 V and 20 mΩ drive 640 A: 60 A bolted takes 0.047 · (27.5/10.7)² s, 1.5 mm² stands 0.073 s."""
    return _inverter("neutral_bond: none", sockets=1, case=area)


def _area(run: str, text: str) -> tuple[str, ...]:
    return _run("area: 2.5 mm²", f"area: {text}", run)


def _breaker(amps: float) -> str:
    text = van(runs=_run("10 A B", f"{amps:g} A B"), pitch=PITCH.replace("16 A", "63 A"))
    return text.replace("length: 25 m, area: 2.5 mm²", "length: 25 m, area: 16 mm²")


def _charging(source: str) -> str:
    charger = "charger: {kind: mains_charger, place: kitchen, current: 10 A, output: 14.4 V, power: 170 W}"
    inverter = (
        "inverter: {kind: inverter, place: seat_base, power: 300 W, efficiency: 90 %, neutral_bond: none}"
    )
    runs = (
        f"I1: {{from: leisure, fuse: 60 A bolted, to: inverter, {_DC}, return: wire}}",
        f"M3: {{from: {source}, to: charger, area: 2.5 mm², length: 1 m}}",
        "K1: {from: charger.plus, fuse: 30 A bolted at to, to: leisure.plus, area: 16 mm², length: 0.5 m, "
        "resistance: 0 mΩ, return: wire}",
    )
    return van(parts=f"{charger}\n{inverter}", runs=(M1, M2, PE, *runs))


MAINS = {
    "no_rcd": Case(
        van(box="ways: 2, rcd: none, main_breaker: 16 A B 2-pole"),
        van(),
        "danger",
        "Breakers and no RCD between the inlet and a socket.",
        (Flip(lambda ma: van(box=f"ways: 2, rcd: {ma:g} mA 2-pole type A"), 30.0, "danger"),),
    ),
    "breaker_opens_one_pole": Case(
        van(runs=_run("2-pole", "1-pole")),
        van(),
        "fault",
        "A 10 A breaker of one pole feeds the socket.",
    ),
    "shell_not_bonded": Case(
        van(runs=(M1, M2)),
        van(),
        "fault",
        "No conductor leads from the earth bar of the breaker box to the body.",
        (Flip(lambda mm2: van(runs=(M1, M2, PE.replace("6 mm²", f"{8.0 - mm2:g} mm²"))), 4.0, "fault"),),
    ),
    "pipes_not_bonded": Case(
        van().replace("basis:", "vehicle: {pipes: loose}\nbasis:"),
        van().replace("basis:", "vehicle: {pipes: bonded}\nbasis:"),
        "fault",
        "Nothing bonds the gas pipe of a van with an inlet.",
    ),
    "sockets_on_floating_mains": Case(
        _inverter("neutral_bond: none, rcd: none"),
        _inverter("neutral_bond: fixed, rcd: 30 mA 2-pole"),
        "fault",
        "Two sockets hang on an inverter whose neutral is free of earth.",
    ),
    "case_bond_burns": Case(
        _cased("0.5 mm²"),
        _cased("16 mm²"),
        "danger",
        "0.5 mm² leads from the case of an inverter to the body, its plus cable is fused with 60 A.",
    ),
    "mains_cable_without_earth": Case(
        van(runs=_run("length: 4 m", "length: 4 m, cores: 2")),
        van(),
        "danger",
        "The cable to the socket has two cores.",
    ),
    "case_stays_live": Case(
        van(pitch=ELECTRODE.replace("OHM", "50"), box="ways: 2, rcd: none, main_breaker: 16 A B 2-pole"),
        van(pitch=ELECTRODE.replace("OHM", "50")),
        "danger",
        "On a pitch with an electrode of 50 Ω a van without RCD.",
    ),
    "pitch_overloaded": Case(
        _short(4600.0),
        _short(3600.0),
        "watch",
        "A kettle of 4600 W on 16 A.",
        (Flip(lambda watts: _short(watts), 3680.0, "watch"),),
    ),
    "pitch_full_for_hours": Case(
        _running(3450.0),
        _running(2900.0),
        "watch",
        "A heater takes 15 A of 16 A all night.",
        (Flip(_running, 2944.0, "watch"), Flip(_house, 2300.0, "watch")),
    ),
    "start_opens_pitch": Case(
        _starting(60.0),
        _starting(40.0),
        "watch",
        "A saw that starts with 60 A on 16 A.",
        (Flip(_starting, 48.0, "watch"),),
    ),
    "lead_left_wound": Case(
        _wound(1500.0),
        _wound(1200.0),
        "watch",
        "A heater of 1500 W on a lead that stays on its reel.",
        (Flip(_wound, 1250.0, "watch"),),
    ),
    "pitch_on_combined_earth": Case(
        van(pitch=PITCH.replace("earthing: tn", "earthing: tn_c_s"), region="uk"),
        van(region="uk"),
        "watch",
        "A supply with the distributor's combined neutral and earth.",
    ),
    "inlet_without_notice": Case(
        van(inlet="lid: yes, notice: no"),
        van(),
        "watch",
        "Nobody has put a notice beside the inlet.",
    ),
    "lead_too_thin": Case(
        van().replace("length: 25 m, area: 2.5 mm²", "length: 25 m, area: 1.5 mm²"),
        van(),
        "watch",
        "A lead of 1.5 mm² on a 16 A pitch.",
        (
            Flip(
                lambda mm2: van().replace("25 m, area: 2.5 mm²", f"25 m, area: {5.0 - mm2:g} mm²"),
                2.5,
                "watch",
            ),
        ),
    ),
    "breaker_above_mains_cable": Case(
        _breaker(40.0),
        _breaker(16.0),
        "fault",
        "A 40 A breaker guards a cable of 2.5 mm².",
    ),
    "mains_cable_too_thin": Case(
        van(runs=_area(M2, "1 mm²")),
        van(runs=_area(M2, "1.5 mm²")),
        "fault",
        "1 mm² leads to the socket.",
    ),
    "mains_without_breaker": Case(
        van(runs=_run("breaker: 10 A B 2-pole, ", "")),
        van(),
        "fault",
        "The way of the socket has no breaker.",
    ),
    "no_main_switch": Case(
        van(
            box="ways: 2, rcd: none",
            parts="socket_2: {kind: mains_socket, place: kitchen, rcd: 30 mA 2-pole}",
            runs=(M1, M2, PE, M2.replace("M2", "M3").replace("U1.1", "U1.2").replace("socket", "socket_2")),
        ),
        van(),
        "watch",
        "Two breakers and nothing before them.",
    ),
    "charger_fed_by_inverter": Case(
        _charging("inverter"),
        _charging("U1.2, breaker: 6 A B 2-pole"),
        "watch",
        "The mains charger hangs on the inverter of its own battery.",
    ),
    "pitch_of_other_volts": Case(
        van(pitch=PITCH.replace("current: 16 A", "current: 15 A, region: na")),
        van(),
        "danger",
        "A European van lists a pitch of 120 V.",
    ),
}
