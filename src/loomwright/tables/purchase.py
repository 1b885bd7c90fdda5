"""What batteries, panels and chargers cost by their size, and what chargers weigh: to choose between sizes.

Prices of small numbers in shops, tax in them, from memory: they age within a year and differ by half from
shop to shop. What they are good for is to say which of two designs is the dearer one. A plan's own prices and
masses are better; where it has them they are scaled with the size.

Sources: prices as they are remembered, the middle of what was on sale; other money at a rate from memory.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

from loomwright.source import Source
from loomwright.units import Band

PRICE_SOURCE = Source(work="common practice", place="prices of shops, by size", checked="from memory")
SIZE_SOURCE = Source(work="common practice", place="sizes on sale", checked="common practice")
CHARGER_MASS_SOURCE = Source(
    work="common practice", place="masses of chargers and regulators, by rated current", checked="from memory"
)
#: A house battery of 12 V by its chemistry. [EUR/Ah]
BATTERY_EUR_PER_AH: Mapping[str, Band] = MappingProxyType(
    {
        "flooded": Band(1.0, 1.8),
        "efb": Band(1.2, 2.0),
        "agm": Band(1.6, 2.8),
        "gel": Band(2.0, 3.2),
        "lifepo4": Band(3.0, 7.0),
        "unknown": Band(1.0, 2.8),
    }
)
#: A panel for a roof, with what holds it. [EUR/Wp]
PANEL_EUR_PER_WP = Band(0.7, 1.5)
#: A solar regulator that tracks the panel's best point. [EUR/A]
REGULATOR_EUR_PER_A = Band(5.0, 10.0)
#: A charger from the vehicle's battery. [EUR/A]
B2B_EUR_PER_A = Band(7.0, 13.0)
#: So much of other money for one euro.
FOR_A_EURO: Mapping[str, float] = MappingProxyType({"EUR": 1.0, "GBP": 0.86, "USD": 1.1, "CHF": 0.95})
#: How money is written.
WRITTEN: Mapping[str, str] = MappingProxyType(
    {"€": "EUR", "EURO": "EUR", "£": "GBP", "$": "USD", "US$": "USD", "FR.": "CHF", "SFR": "CHF"}
)
#: Money of a region whose plan names none.
MONEY_OF_REGION: Mapping[str, str] = MappingProxyType({"eu": "EUR", "uk": "GBP", "na": "USD"})
#: What chargers from the vehicle's battery, and solar regulators, weigh for their current. [kg/A]
B2B_KG_PER_A = Band(0.03, 0.08)
REGULATOR_KG_PER_A = Band(0.015, 0.06)
#: Rated watts of panels for each square metre of themselves (cells of 20 %, `energy.panels`). [Wp/m²]
WP_PER_M2 = 200.0
#: Sizes that are tried: batteries, panels, chargers.
AH_TRIED = (50.0, 75.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0, 600.0, 800.0)
WP_TRIED = (50.0, 100.0, 150.0, 200.0, 250.0, 300.0, 400.0, 500.0, 600.0, 800.0, 1000.0)
AMPS_TRIED = (10.0, 20.0, 30.0, 40.0, 50.0, 60.0, 80.0, 100.0)


def money(currency: str | None, region: str) -> str | None:
    """Return the money of a plan by its three letters; None if none of its prices are held.

    Parameters
    ----------
    currency : str or None
        As the plan writes it.
    region : str
        Of the plan; counts where it names no money.

    Examples
    --------
    >>> money("£", "eu"), money(None, "eu"), money("NOK", "eu")
    ('GBP', 'EUR', None)
    """
    if currency is None:
        return MONEY_OF_REGION.get(region)
    letters = currency.strip().upper()
    letters = WRITTEN.get(letters, letters)
    return letters if letters in FOR_A_EURO else None


__all__ = ["money"]
