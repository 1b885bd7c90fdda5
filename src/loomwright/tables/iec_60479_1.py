"""What a person is to the mains, for sums: one resistance.

The body's impedance falls with the volts and differs from person to person and from dry to wet skin; one
round figure serves to compare. Currents through it are an order of size, never a promise.

Source: IEC 60479-1, body impedance hand to hand or hand to feet at 230 V, from memory.
"""

from __future__ import annotations

from loomwright.source import Source

PERSON_SOURCE = Source(
    work="IEC 60479-1", place="body impedance near 230 V, rounded to 1000 Ω", checked="from memory"
)
#: Hand to feet, skin included, at mains volts. [Ω]
PERSON_OHM = 1000.0
