"""Resistance of joints: crimps, lugs, studs, the steel body, switches, pins, splices.

Planning bands for a plan that gives no figure: fresh, as a careful workshop makes them, and aged, as they are
found after years of damp and shaking. Measure where it matters.

Sources: no published set was found; the fresh bands are figures of the trade from memory, beside the
3 mΩ that FAA AC 43.13-1B allows a bonding joint. The aged bands are ours: what is still found in use, not
what has rotted through (a stud under rust and paint has tens of mΩ, common practice). The body's band covers
the sheet model R = ρ/(π·t)·ln(d/r0): 0.3 to 0.4 mΩ for 0.7 mm steel, studs 1 to 5 m apart, its seams on top.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.source import Source
from loomwright.units import Band

CONTACT_SOURCE = Source(
    work="common practice", place="planning values for fresh and aged joints", checked="from memory"
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Contact:
    """One kind of joint.

    Attributes
    ----------
    says : str
        What it is.
    fresh_ohm, aged_ohm : Band
        Newly made, and after years. [Ω]
    source : Source
        Of both bands.
    """

    says: str
    fresh_ohm: Band
    aged_ohm: Band
    source: Source = CONTACT_SOURCE


def _contact(says: str, fresh_mohm: tuple[float, float], aged_mohm: tuple[float, float]) -> Contact:
    return Contact(says=says, fresh_ohm=Band(*fresh_mohm).times(1e-3), aged_ohm=Band(*aged_mohm).times(1e-3))


#: By kind; `isolator` is a battery switch for 100 A and more, `switch` any other contact.
CONTACTS: Mapping[str, Contact] = MappingProxyType(
    {
        "crimp": _contact("crimped terminal below 10 mm²", (0.1, 0.5), (0.5, 2.0)),
        "lug": _contact("bolted lug from 10 mm² up", (0.02, 0.2), (0.1, 0.5)),
        "stud": _contact("ring on a body stud", (0.3, 1.0), (1.0, 3.0)),
        "body": _contact("steel body between two studs", (0.5, 2.0), (0.5, 3.0)),
        "switch": _contact("switch or relay contact", (2.0, 10.0), (5.0, 20.0)),
        "isolator": _contact("battery switch", (0.1, 0.5), (0.2, 1.0)),
        "pin": _contact("mated pin or 6.3 mm tab", (0.5, 2.0), (2.0, 5.0)),
        "splice": _contact("crimped butt splice", (0.2, 1.0), (1.0, 3.0)),
        "clip": _contact("both clips of a fuse holder, besides the fuse", (0.5, 2.0), (2.0, 10.0)),
    }
)
