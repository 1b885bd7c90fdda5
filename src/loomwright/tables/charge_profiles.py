"""Charging volts by chemistry: what is dialled into chargers where a battery's maker says nothing.

At 20 to 25 °C, for a 12 V battery; twice that at 24 V. Lead needs less volts when warm and more when cold;
LiFePO4 is charged alike at any temperature it may be charged at. The battery maker's sheet always wins.

Sources: tables in several manuals of chargers, which agree within 0.2 V.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.source import Source
from loomwright.units import Band

PROFILE_SOURCE = Source(
    work="manuals of chargers", place="absorption, float and equalising volts by chemistry",
    checked="published, second hand",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Profile:
    """What is dialled in, for 12 V.

    Attributes
    ----------
    absorption_v, float_v : Band
        [V]
    equalise_v : Band or None
        None: never. [V]
    per_c_v : Band or None
        By so much less for each degree above 25 °C, more below; None: not at all. [V/°C]
    full_share : Band
        It counts as full when it takes only this share of its capacity. [A per Ah]
    least_c : float
        No charge below. [°C]
    """

    absorption_v: Band
    float_v: Band
    equalise_v: Band | None
    per_c_v: Band | None
    full_share: Band
    least_c: float


_PER_C, _TAIL = Band(0.018, 0.030), Band(0.01, 0.02)
PROFILES: Mapping[str, Profile] = MappingProxyType(
    {
        "flooded": Profile(Band(14.4, 14.7), Band(13.4, 13.8), Band(15.5, 15.5), _PER_C, _TAIL, -20.0),
        "efb": Profile(Band(14.4, 14.7), Band(13.4, 13.8), None, _PER_C, _TAIL, -20.0),
        "agm": Profile(Band(14.3, 14.7), Band(13.3, 13.8), None, _PER_C, _TAIL, -20.0),
        "gel": Profile(Band(14.1, 14.4), Band(13.5, 13.8), None, _PER_C, _TAIL, -20.0),
        "lifepo4": Profile(Band(14.0, 14.4), Band(13.5, 13.6), None, None, Band(0.02, 0.05), 0.0),
    }
)
