"""By how much the volts of a supply may differ from the nominal when a short comes.

Source: IEC 60909-0, Table 1, low voltage with up to +10 %, from memory.
"""

from __future__ import annotations

from loomwright.source import Source

VOLTAGE_FACTOR_SOURCE = Source(
    work="IEC 60909-0", place="Table 1, voltage factor c, low voltage, +10 %", checked="from memory"
)
#: Volts behind the largest short over the nominal.
C_MAX = 1.10
