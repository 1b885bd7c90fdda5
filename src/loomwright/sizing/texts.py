"""How figures that were tried are typed, and flips told in a sentence."""

from __future__ import annotations

from loomwright.plan.values import Fuse, Quantity, Running
from loomwright.tables import awg

from .trial import Change


def gauge(area_mm2: float) -> str:
    """Return an area as it is typed in American gauges: "12 AWG"."""
    return f"{awg.label(awg.largest_within(area_mm2)).removeprefix('AWG ')} AWG"


def fuse_text(fuses: tuple[Fuse, ...], rating: float) -> str:
    """Return a fuse as it is typed, with the type and the place that it has."""
    first = fuses[0]
    text = f"{rating:g} A" if first.type is None else f"{rating:g} A {first.type}"
    place = "both" if len(fuses) > 1 else first.at
    return text if place == "from" else f"{text} at {place}"


def running_text(running: Running, value: float) -> str:
    """Return a running current or power as it is typed, with what stands beside it."""
    amount = running.amount
    assert isinstance(amount, Quantity)
    text = f"{round(value, 1):g} {amount.unit}"
    if running.at_v is not None:
        text += f" at {running.at_v:g} V"
    return f"{text} together" if running.together else text


def hopeless(field: str, last: str) -> str:
    """Say that no figure that was tried clears it."""
    tried = {"area": f"up to {last}", "length": f"down to {last}"}.get(field, last)
    return f"No {field} {tried} clears it."


def sentence(
    field: str,
    now: str,
    keeps: str,
    then: str,
    differs: Change,
    *,
    exact: bool,
    mends: bool,
) -> str:
    """Return a flip in a sentence."""
    between = "" if exact else f", somewhere between {keeps} and {then}"
    if not mends:
        first = differs.come[0].says if differs.come else "the verdict differs"
        return f"{clean(field, keeps)}; at {then}{between}: {first}."
    cleared = "clears it" if len(differs.gone) < 2 else f"clears {len(differs.gone)} findings"
    cleared += f" and eases {len(differs.eased)}" if differs.eased else ""
    what = {"area": then, "length": f"at most {then}", "fuse": then, "running": f"at most {then}"}[field]
    stays = f"; {keeps} does not" if keeps != now else ""
    brings = f" It brings: {differs.come[0].says}." if differs.come else ""
    return f"{what[:1].upper()}{what[1:]} instead of {now} {cleared}{stays}{between}.{brings}"


def clean(field: str, last: str) -> str:
    """Say how far a figure may go without a finding."""
    return f"No finding {'down' if field == 'area' else 'up'} to {last}"
