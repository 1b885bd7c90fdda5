"""Colours of the cores of a mains cable, by region: line, second line, neutral, protective conductor.

Fixed Australian and New Zealand wiring is also found in red and black with green-yellow (from memory);
flexible cable, which a van needs, is as below. A cable that is there already is told by a test, never by
its colours.

Sources: IEC 60445 and IEC 60446 by public pages; NEC by a thread, its numbers from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source

IEC_SOURCE = Source(
    work="IEC 60445",
    place="neutral blue, protective conductor green-yellow, line preferably brown",
    checked="published, second hand",
)
NEC_SOURCE = Source(
    work="NEC",
    place="200.6, 250.119: neutral white, earth green; line black, second line red",
    checked="from memory",
)
_IEC = MappingProxyType({"L": "BN", "L1": "BN", "L2": "BK", "N": "BU", "PE": "GNYE"})
_NEC = MappingProxyType({"L": "BK", "L1": "BK", "L2": "RD", "N": "WH", "PE": "GN"})
#: Region -> core -> colour letters of IEC 60757.
CORE_COLOURS: Mapping[str, Mapping[str, str]] = MappingProxyType(
    {"uk": _IEC, "eu": _IEC, "na": _NEC, "au": _IEC, "nz": _IEC}
)
CORE_SOURCES: Mapping[str, Source] = MappingProxyType(
    {"uk": IEC_SOURCE, "eu": IEC_SOURCE, "na": NEC_SOURCE, "au": IEC_SOURCE, "nz": IEC_SOURCE}
)
