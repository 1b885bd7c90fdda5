"""What a van meets where it plugs in, by region: volts, frequency, legs, breakers of pitches.

Sources: national codes and guides, none read in the work; each row says how far it was confirmed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from loomwright.source import Checked, Source
from loomwright.units import Band

#: United Kingdom, European mainland, North America, Australia, New Zealand.
REGIONS = ("uk", "eu", "na", "au", "nz")


@dataclass(frozen=True, slots=True, kw_only=True)
class Supply:
    """The public supply of one region.

    Attributes
    ----------
    region : str
        One of `REGIONS`.
    volts : float
        Nominal, line to neutral. [V]
    allowed_v : Band
        Between which it may lie at the pitch. [V]
    hertz : float
        Frequency. [Hz]
    legs : int
        Most legs of an outlet: 2 means 120/240 V.
    ratings_a : tuple of float
        Usual breakers of pitches. [A]
    two_legs_from_a : float or None
        Outlets from this rating on have both legs. [A]
    earthing : str
        Usual earthing at a pitch.
    source : Source
        Of the ratings.
    volts_source : Source
        Of the band of volts.
    """

    region: str
    volts: float
    allowed_v: Band
    hertz: float
    legs: int
    ratings_a: tuple[float, ...]
    two_legs_from_a: float | None
    earthing: str
    source: Source
    volts_source: Source


def _supply(
    region: str,
    volts: float,
    allowed_v: tuple[float, float],
    hertz: float,
    ratings_a: tuple[float, ...],
    earthing: str,
    source: Source,
    volts_source: Source,
    two_legs_from_a: float | None = None,
) -> Supply:
    return Supply(
        region=region, volts=volts, allowed_v=Band(*allowed_v), hertz=hertz,
        legs=1 if two_legs_from_a is None else 2, ratings_a=ratings_a, two_legs_from_a=two_legs_from_a,
        earthing=earthing, source=source, volts_source=volts_source,
    )  # fmt: skip


def _volts(place: str) -> Source:
    return Source(work="volts of the public supply", place=place, checked="from memory")


def _ratings(work: str, place: str, checked: Checked) -> Source:
    return Source(work=work, place=place, checked=checked)


SUPPLIES: Mapping[str, Supply] = MappingProxyType(
    {
        "uk": _supply(
            "uk", 230.0, (216.2, 253.0), 50.0, (6.0, 10.0, 16.0, 32.0),
            "TT, or TN-S with the earths kept apart; never the distributor's combined earth and neutral",
            _ratings("common practice", "pitches of 6, 10, 16 A; ESQCR 2002 reg. 9", "one source"),
            _volts("ESQCR 2002, reg. 27"),
        ),
        "eu": _supply(
            "eu", 230.0, (207.0, 253.0), 50.0, (2.0, 4.0, 6.0, 10.0, 16.0),
            "TT or TN-S; line and neutral in either order",
            _ratings("common practice", "pitches from 2 A up", "one source"),
            _volts("EN 50160, 230 V ± 10 %"),
        ),
        "na": _supply(
            "na", 120.0, (114.0, 126.0), 60.0, (15.0, 20.0, 30.0, 50.0),
            "neutral and earth joined at the supply, not in the van",
            _ratings("NEC", "551.71, 551.46", "one source"),
            _volts("ANSI C84.1, range A"),
            two_legs_from_a=50.0,
        ),
        "au": _supply(
            "au", 230.0, (216.2, 253.0), 50.0, (10.0, 15.0),
            "neutral and earth joined at the site's main board",
            _ratings("AS/NZS 3001:2008", "inlet of 15 A usual, 10 A allowed", "one source"),
            _volts("AS 60038, 230 V + 10 % - 6 %"),
        ),
        "nz": _supply(
            "nz", 230.0, (216.2, 243.8), 50.0, (10.0, 15.0, 16.0),
            "neutral and earth joined at the site's main board",
            _ratings("AS/NZS 3001:2008", "inlets of 10, 15 and 16 A", "from memory"),
            _volts("Electricity (Safety) Regulations 2010, 230 V ± 6 %"),
        ),
    }
)  # fmt: skip
