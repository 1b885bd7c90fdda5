"""Alternators: what is left of the rated current when hot and at idle, what the vehicle needs of it, volts.

Rated currents are those of ISO 8854: at 6,000 turns of a cool machine. Planning values of the trade; measure
with a clamp where a charger is chosen by them.

Sources: common practice; that output falls with heat and speed by public output curves, that controlled ones
cruise at 12.2 to 12.6 V by workshops' accounts.
"""

from __future__ import annotations

from loomwright.source import Source
from loomwright.units import Band

ALTERNATOR_SOURCE = Source(
    work="common practice",
    place="an alternator gives 0.7 of its rated current when hot, 0.35 to 0.5 at idle",
    checked="common practice",
)
CONTACT_SOURCE = Source(
    work="common practice",
    place="a contact makes about three times what it carries for good without welding",
    checked="from memory",
)
#: Share of the rated current that it gives for good when hot, driving.
HOT_SHARE = 0.7
#: The same at idle.
IDLE_SHARE = Band(0.35, 0.5)
#: What a 12 V vehicle takes of it, driving and at idle; half as much at 24 V. [A]
OWN_DRIVING_A, OWN_IDLE_A = Band(30.0, 60.0), Band(10.0, 20.0)
#: Volts of a controlled alternator where the plan does not say: low phase to full. [V per 12 V]
CONTROLLED_V = (12.4, 14.4)
#: What a contact makes without welding, by what it carries for good.
MAKES_TIMES = 3.0
