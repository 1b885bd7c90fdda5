"""Cases of the rules on batteries, permanent supplies, dimmers and accepted watches."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, Flip, plan

LAMP = "lamp: {kind: lamp, place: kitchen, running: 1 A}"
SOUND = plan(LAMP, f"C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}")


# Accepted


def accepting(text: str, entry: str, date: str = "") -> str:
    """Return a plan with one entry of `accepted`, and a date if given."""
    dated = text.replace("region: eu\n", f"region: eu\ndate: {date}\n") if date else text
    return f"{dated}accepted:\n  a1: {{{entry}}}\n"


#: A watch at wire C1.return: the return goes to the bare body.
BARE_BODY = SOUND.replace("return: {to: E2, length: 0.4 m}", "return: body")
STAYS = "rule: stud_not_named, where: C1.return, because: an old stud stays, by: AB"
#: A fault at wire C1: nothing brings the minus back.
NO_RETURN = SOUND.replace(", return: {to: E2, length: 0.4 m}", "")


# Batteries

WET = SOUND.replace("chemistry: agm", "chemistry: flooded, vent: hose")
LITHIUM = SOUND.replace("chemistry: agm", "chemistry: lifepo4")
RUN = "area: 6 mm², length: 1 m, resistance: 0 mΩ"
LINK = "area: 16 mm², length: 0.3 m, sheathed: yes"
SEAT = "seat_base: [-0.4, -0.4, 0.1]"


def bank(other: str = "chemistry: agm, capacity: 100 Ah", mohm: float = 0.0) -> str:
    """Return two batteries in parallel, the main leads on the first, and so many milliohms in each link."""
    return plan(
        f"""other: {{kind: battery, place: seat_base, {other}, resistance: 40 mΩ}}
        {LAMP}""",
        f"""link_plus: {{from: leisure.plus, to: other.plus, {LINK}, resistance: {mohm} mΩ}}
        link_minus: {{from: leisure.minus, to: other.minus, {LINK}, resistance: {mohm} mΩ}}
        C1: {{from: P1.1, fuse: 3 A, to: lamp, {WIRE}}}""",
    ).replace("resistance: 20 mΩ", "resistance: 40 mΩ")


def _shared(ratio: float) -> str:
    """The first of two has 40 mΩ inside, the other 40 mΩ and two links: so many times its fair share."""
    return bank(mohm=40.0 * (ratio - 1.0) / (2.0 - ratio))


def _hot(celsius: float) -> str:
    return LITHIUM.replace(SEAT, f"seat_base: {{at: [-0.4, -0.4, 0.1], temperature: {celsius} °C}}")


def _drawn(amps: float) -> str:
    return plan(
        f"heater: {{kind: load, place: kitchen, running: {amps} A}}",
        f"C1: {{from: P1.1, fuse: 15 A, to: heater, {WIRE}}}",
    ).replace("charge_limit: 20 A", "charge_limit: 20 A, discharge_limit: 10 A")


def _link(chemistry: str) -> str:
    """A split relay between alternator and house battery."""
    return plan(
        """starter: {kind: vehicle_battery, place: seat_base, chemistry: flooded, capacity: 70 Ah,
        resistance: 20 mΩ}
        alternator: {kind: alternator, charges: starter, current: 120 A, output: 14.2 V}
        K1: {kind: relay, place: seat_base, rating: 70 A, resistance: 0 mΩ}""".replace(",\n", ","),
        """W1: {from: starter.plus, fuse: 60 A bolted at both, through: K1, to: leisure.plus, area: 16 mm²,
        length: 3 m, resistance: 0 mΩ}
        coil: {from: alternator.d_plus, fuse: 3 A, to: K1.86, area: 1 mm², length: 2 m, return: {to: E1}}
        """.replace(",\n", ","),
    ).replace("chemistry: agm", f"chemistry: {chemistry}")


# Supplies and dimmers


def supplied(through: str) -> str:
    """Return an alarm whose feed goes through these things."""
    return plan(
        """alarm: {kind: alarm, place: kitchen, running: 10 mA}
        S1: {kind: switch, place: kitchen, resistance: 0 mΩ}""",
        f"C1: {{from: P1.1, fuse: 3 A, {through}to: alarm, {WIRE}}}",
    )


def solar(to: str) -> str:
    """Return a regulator whose output goes to the bar behind a master switch, or to the battery before it."""
    return plan(
        f"""master: {{kind: master_switch, place: seat_base, resistance: 0 mΩ}}
        bar: {{kind: busbar, place: seat_base, resistance: 0 mΩ}}
        panel: {{kind: solar_panel, place: kitchen, power: 100 Wp, working_current: 5 A}}
        regulator: {{kind: solar_regulator, place: seat_base, regulation: pwm, current: 10 A}}
        {LAMP}""",
        f"""feed: {{from: leisure.plus, fuse: 30 A bolted, through: master, to: bar, {RUN}}}
        W1: {{from: panel, to: regulator, {RUN}, return: wire}}
        W2: {{from: regulator, fuse: 20 A blade at to, to: {to}, {RUN}}}
        W2_minus: {{from: regulator.battery_minus, to: E1, {RUN}}}
        C1: {{from: bar, fuse: 3 A, to: lamp, {WIRE}}}""",
    )


def dimmed(switches: str, feed: str = "", back: str = "", more: str = "") -> str:
    """Return a lamp with a dimmer in its feed or its return."""
    return plan(
        f"""lamp: {{kind: lamp, place: kitchen, running: 1 A{more}}}
        D1: {{kind: dimmer, place: kitchen, switches: {switches}, resistance: 0 mΩ}}""",
        f"C1: {{from: P1.1, fuse: 3 A, {feed}to: lamp, {WIRE.replace('{to: E2', f'{{{back}to: E2')}}}",
    )


IN_FEED, IN_RETURN = "through: D1, ", "through: D1, "

STATIC2: dict[str, Case] = {
    "lead_battery_unvented": Case(
        WET.replace("vent: hose", "vent: none"),
        WET,
        "fault",
        "A wet battery of 100 Ah stands in the seat base, and no hose leads from it to the outside.",
    ),
    "lithium_too_hot": Case(
        _hot(46.0),
        _hot(44.9),
        "fault",
        "A lithium battery sits where it gets 46 °C in summer.",
        (Flip(_hot, 45.0, "fault"),),
    ),
    "batteries_unlike": Case(
        bank("chemistry: lifepo4, capacity: 100 Ah"),
        bank(),
        "fault",
        "A lithium battery was set beside the old sealed lead one, plus to plus.",
        (
            Flip(lambda ah: bank(f"chemistry: agm, capacity: {ah} Ah"), 110.0, "watch"),
            Flip(lambda years: bank(f"chemistry: agm, capacity: 100 Ah, age: {years} years"), 1.0, "watch"),
        ),
    ),
    "batteries_share_unequally": Case(
        _shared(1.06),
        _shared(1.049),
        "watch",
        "Two batteries are linked, and both main leads are on the first: it gives 53 % of the current.",
        (Flip(_shared, 1.05, "watch"),),
    ),
    "battery_overloaded": Case(
        _drawn(10.2),
        _drawn(9.9),
        "fault",
        "A load takes 10.2 A from a battery that may give 10 A.",
        (Flip(_drawn, 10.0, "fault"),),
    ),
    "lithium_on_bare_link": Case(
        _link("lifepo4"),
        _link("agm"),
        "watch",
        "A split relay joins a lithium battery to the alternator.",
    ),
    "dimmer_on_wrong_side": Case(
        dimmed("minus", feed=IN_FEED),
        dimmed("plus", feed=IN_FEED),
        "fault",
        "A dimmer that switches the minus stands in the feed of a lamp that returns by the body.",
    ),
    "permanent_supply_cut": Case(
        supplied("through: S1, "),
        supplied("").replace("S1: {kind", "S1: {wired: no, kind"),
        "fault",
        "The feed of a gas alarm goes through a switch.",
    ),
    "source_without_battery": Case(
        solar("bar"),
        solar("leisure.plus"),
        "watch",
        "A solar regulator feeds the bar behind the master switch.",
    ),
    "cannot_be_accepted": Case(
        accepting(NO_RETURN, "rule: open_return, where: lamp, because: it glows all the same, by: AB"),
        SOUND,
        "fault",
        "Somebody signed for a lamp without a return.",
    ),
    "accepted_not_found": Case(
        accepting(SOUND, STAYS),
        SOUND,
        "note",
        "A return on the bare body was accepted, and has got its stud since.",
    ),
    "acceptance_ran_out": Case(
        accepting(BARE_BODY, f"{STAYS}, until: 2026-10-01", "2026-11-25"),
        SOUND,
        "note",
        "A return on the bare body was accepted until October, and the plan is of November.",
    ),
}
