"""Cases of the rules on batteries, permanent supplies, dimmers and accepted watches."""

from __future__ import annotations

from tests.rules.base import WIRE, Case, plan

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

STATIC2: dict[str, Case] = {
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
