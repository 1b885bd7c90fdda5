"""The lists of holes, of what is ordered, of weights and of money."""

from __future__ import annotations

from collections.abc import Sequence

from loomwright.assessment.holes import EDGE_SOURCE, Hole
from loomwright.assessment.orders import Ordered
from loomwright.assessment.prices import Prices
from loomwright.assessment.weights import Weights
from loomwright.loom.bundles import HOLE_SOURCE, TUBE_SOURCE
from loomwright.tables.grommets import GROMMET_SOURCE
from loomwright.tables.masses import MASS_SOURCE
from loomwright.tables.work import SPARES_SOURCE, TIMES_SOURCE
from loomwright.units import Band

from .record import Column, List, Row

_SORTS = {"part": "part", "cables": "cables", "electrics": "of the electrics", "load": "carried"}


def hole_table(holes: Sequence[Hole]) -> List:
    """Return the holes."""
    rows = [
        (
            one.path, one.bore_mm, one.bundle_mm, one.needed_mm, one.grommet_mm, one.fits, one.wires,
            one.edge, one.seal, one.note, "",
        )
        for one in holes
    ]  # fmt: skip
    return List(
        "holes",
        "Holes",
        "Look behind the sheet before drilling: brake, fuel, airbag and high-voltage lines, box sections."
        " Tick when edge and seal are done.",
        (
            Column("path", "Path", wide=1.2),
            Column("bore_mm", "Bore", "mm", wide=0.6),
            Column("bundle_mm", "Bundle", "mm", wide=0.7),
            Column("needed_mm", "Needs", "mm", wide=0.6),
            Column("grommet_mm", "Grommet", "mm", wide=0.8),
            Column("fits", "Fits", wide=0.5),
            Column("wires", "Wires", of="wire", wide=2.2),
            Column("edge", "Edge", wide=1.6),
            Column("seal", "Gap", wide=1.4),
            Column("note", "Note", wide=1.3),
            Column("done", "Done", wide=0.5),
        ),
        tuple(rows),
        (f"Needs: {HOLE_SOURCE}. Grommets: {GROMMET_SOURCE}. Edges: {EDGE_SOURCE}.",),
    )


def order_table(order: Sequence[Ordered]) -> List:
    """Return what is ordered."""
    return List(
        "order",
        "To order",
        "What exists is left out. A substitute has to have what stands in the note.",
        (
            Column("group", "Group", wide=1.0),
            Column("what", "What", wide=3.0),
            Column("needed", "Needed", wide=0.7),
            Column("spare", "Spare", wide=0.6),
            Column("order", "Order", wide=0.7),
            Column("unit", "Unit", wide=0.5),
            Column("note", "Note", wide=2.6),
        ),
        tuple(
            (
                one.group,
                one.what,
                _count(one.needed),
                _count(one.spare),
                _count(one.order),
                one.unit,
                one.note,
            )
            for one in order
        ),
        (f"Spares: {SPARES_SOURCE}. Tube: {TUBE_SOURCE}.",),
        heads=1,
    )


def _count(value: float) -> float | int:
    return int(value) if value == int(value) else round(value, 2)


def weight_table(weights: Weights) -> List:
    """Return what weighs how much and where, its sums beneath."""
    rows: list[Row] = []
    for one in weights.every:
        low, high = (None, None) if one.kg is None else (one.kg.low, one.kg.high)
        known = "plan" if one.typed else "worked out" if one.sort == "cables" else "usual" if one.kg else ""
        if not one.counted:
            known += ", in the cargo already"
        name = (one.what,) if one.sort == "part" else one.what
        place = (one.place,) if one.place else ()
        rows.append((name, _SORTS[one.sort], place, one.x_m, low, high, known))
    return List(
        "weights",
        "Weight",
        "New parts, cables and what is carried; what exists is in the mass ready to drive.",
        (
            Column("what", "What", of="part", wide=1.4),
            Column("sort", "Sort", wide=1.0),
            Column("place", "Place", of="place", wide=1.2),
            Column("x_m", "Rearward", "m", wide=0.7),
            Column("least_kg", "At least", "kg", wide=0.7),
            Column("most_kg", "At most", "kg", wide=0.7),
            Column("known", "Known from", wide=1.2),
        ),
        tuple(rows) if any(one.kg is not None for one in weights.every) else (),
        tuple(_weighed(weights)),
    )


def _weighed(weights: Weights) -> list[str]:
    says = [f"Electrics {kg_words(weights.electrics)}, carried {kg_words(weights.load)}."]
    if weights.left is None or weights.payload_kg is None:
        says.append("What may be loaded can't be told: the plan lacks the ready or the permitted mass.")
    else:
        over = " Too heavy at the upper end." if weights.left.low < 0.0 <= weights.left.high else ""
        over = " Too heavy." if weights.left.high < 0.0 else over
        says.append(
            f"May be added to the van ready to drive {weights.payload_kg:.0f} kg; left of that"
            f" {kg_words(weights.left)}.{over}"
        )
    if weights.axles is None:
        says.append("The axles can't be told apart: the plan lacks wheelbase or rear_axle_at.")
    else:
        axles = weights.axles
        says.append(
            f"Adds {kg_words(axles.front)} to the front axle, {kg_words(axles.rear)} to the rear one."
        )
        if weights.without_place:
            says.append(f"In no axle, as nobody knows where: {', '.join(weights.without_place)}.")
    if weights.unknown:
        says.append(f"Not in the sums, as nobody knows the mass: {', '.join(weights.unknown)}.")
    return [*says, f"Usual: {MASS_SOURCE}. A part without a mass in the plan has a band."]


def kg_words(band: Band) -> str:
    """Return a band of masses in words.

    Examples
    --------
    >>> kg_words(Band(3.04, 3.04)), kg_words(Band(90.0, 120.4))
    ('3.0 kg', '90.0 to 120.4 kg')
    """
    low, high = f"{band.low:.1f}", f"{band.high:.1f}"
    words = f"{low} kg" if low == high else f"{low} to {high} kg"
    return words.replace("-", "\N{MINUS SIGN}")


def price_table(prices: Prices) -> List:
    """Return the money, its sum beneath."""
    says = [f"In all {prices.total:.2f}{' ' * bool(prices.currency)}{prices.currency}."]
    if prices.budget is not None:
        says[0] += f" The budget is {prices.budget:.2f}."
    if prices.without:
        says.append(f"Without a price in the plan: {', '.join(prices.without)}.")
    if any(line.sort == "work" for line in prices.lines):
        says.append(f"Times that the plan does not say: {TIMES_SOURCE}.")
    return List(
        "prices",
        "Price",
        "From the prices of the plan; cable with its reserve.",
        (
            Column("sort", "Sort", wide=0.8),
            Column("what", "What", wide=2.0),
            Column("count", "How many", wide=0.8),
            Column("unit", "Unit", wide=0.5),
            Column("each", "Each", prices.currency, wide=0.8, money=True),
            Column("total", "Together", prices.currency, wide=0.9, money=True),
        ),
        tuple(
            (one.sort, one.what, _count(one.count), one.unit, round(one.each, 2), round(one.total, 2))
            for one in prices.lines
        ),
        tuple(says),
    )


__all__ = ["hole_table", "kg_words", "order_table", "price_table", "weight_table"]
