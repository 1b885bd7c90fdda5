"""Designs of battery, panels and charger as a picture: money or weight across, flat nights up.

A small drawing for the page, without a frame. Every design is a dot, those that no other beats are rings, the
plan as it stands is a square, and what to take carries its letter, named at the right.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from loomwright.drawing.geometry import Point
from loomwright.drawing.ink import FIELD, THIN, Pen
from loomwright.drawing.lettering import wrap
from loomwright.drawing.scene import Circle, Drawn, Polyline, Sheet, Text, rectangle
from loomwright.sizing.choosing import Choice
from loomwright.sizing.choosing_parts import Design
from loomwright.sizing.choosing_picks import Outcome

TITLE = "What else could be fitted"
#: Chemistries in words.
WORDS = {
    "flooded": "flooded lead",
    "efb": "EFB",
    "agm": "AGM",
    "gel": "gel",
    "lifepo4": "LiFePO4",
    "unknown": "battery",
}
_WIDE, _HIGH = 220.0, 96.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 17.0, 150.0, 13.0, 82.0
_KEY_X, _KEY_WIDE = 158.0, 58.0
#: A letter stands so far above its design, and above the next letter. [mm]
_ABOVE, _APART = 4.2, 4.4
_OTHER, _RING, _LEADER = Pen("rule", 0.18), Pen("ink", 0.35), Pen("ink", 0.25)


def choice_sheet(title: str, choice: Choice) -> Sheet:
    """Draw the designs of a van.

    Parameters
    ----------
    title : str
        Of the van.
    choice : Choice
        What may be taken.
    """
    items = (*_axes(choice), *_designs(choice), *_picked(choice), *_key(choice))
    words = " ".join(item.text for item in items if isinstance(item, Text))
    description = f"{TITLE}: {words}"
    return Sheet(width=_WIDE, height=_HIGH, title=f"{title}: {TITLE}", description=description, items=items)


def design_words(design: Design) -> str:
    """Return a design in words."""
    panels = f"{design.panel_wp:.0f} Wp of panels" if design.panel_wp else "no panel"
    charger = f", charger of {design.charger_a:.0f} A" if design.charger_a else ""
    return f"{WORDS[design.chemistry]} {design.capacity_ah:.0f} Ah, {panels}{charger}"


def ticks(low: float, high: float) -> tuple[float, ...]:
    """Return round figures from at most `low` to at least `high`, three to seven of them.

    Examples
    --------
    >>> ticks(0.0, 348.0)
    (0.0, 100.0, 200.0, 300.0, 400.0)
    """
    wide = max(high - low, 1e-9)
    unit = 10.0 ** math.floor(math.log10(wide))
    step = next(unit * by for by in (0.2, 0.5, 1.0, 2.0, 5.0) if wide / (unit * by) <= 5.0)
    first, last = math.floor(low / step), math.ceil(high / step - 1e-9)
    return tuple(step * n for n in range(first, max(last, first + 1) + 1))


def _scales(choice: Choice) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """Return the figures along both axes: cost, flat nights."""
    costs = [choice.cost(one) for one in choice.outcomes]
    nights = max(*(one.flat_nights for one in choice.outcomes), choice.nights, 1.0)
    return ticks(min(costs), max(costs)), ticks(0.0, nights)


def _at(choice: Choice, one: Outcome) -> Point:
    across, up = _scales(choice)
    x = _LEFT + (_RIGHT - _LEFT) * (choice.cost(one) - across[0]) / (across[-1] - across[0])
    y = _BOTTOM - (_BOTTOM - _TOP) * one.flat_nights / up[-1]
    return round(x, 3), round(y, 3)


def _axes(choice: Choice) -> Iterator[Drawn]:
    across, up = _scales(choice)
    yield Text((_LEFT - 12.0, 6.0), f"Flat nights a year, mean of {choice.years} years of weather", 3.6, 600)
    for nights in up:
        y = _BOTTOM - (_BOTTOM - _TOP) * nights / up[-1]
        yield Polyline(((_LEFT, y), (_RIGHT, y)), THIN, layer="frame")
        yield Text((_LEFT - 2.0, y + 1.1), f"{nights:g}", 3.0, anchor="end")
    yield Polyline(((_LEFT, _BOTTOM), (_RIGHT, _BOTTOM)), FIELD, layer="frame")
    for cost in across:
        x = _LEFT + (_RIGHT - _LEFT) * (cost - across[0]) / (across[-1] - across[0])
        yield Polyline(((x, _BOTTOM), (x, _BOTTOM + 1.5)), THIN, layer="frame")
        yield Text((x, _BOTTOM + 5.2), f"{cost:,.0f}", 3.0, anchor="middle")
    what = f"price, {choice.currency}" if choice.currency else "weight, kg"
    yield Text(((_LEFT + _RIGHT) / 2.0, _BOTTOM + 10.4), what, 3.0, 500, "middle")


def _designs(choice: Choice) -> Iterator[Drawn]:
    front = {one.design for one in choice.front}
    for one in choice.outcomes:
        if one.design not in front and one.design != choice.now.design:
            yield Circle(_at(choice, one), 0.55, fill="rule", pen=_OTHER)
    for one in choice.front:
        yield Circle(_at(choice, one), 0.95, fill="paper", pen=_RING)
    x, y = _at(choice, choice.now)
    yield rectangle(x - 1.2, y - 1.2, 2.4, 2.4, fill="accent", pen=_RING)


def _picked(choice: Choice) -> Iterator[Drawn]:
    """Set the letters of the picks above them, one above the other where they are close."""
    taken: list[Point] = []
    letters = choice.letters
    for pick in sorted(choice.picks, key=lambda one: choice.cost(one.outcome)):
        x, y = _at(choice, pick.outcome)
        up = y - _ABOVE
        while any(abs(x - a) < _APART and abs(up - b) < _APART for a, b in taken):
            up -= _APART
        taken.append((x, up))
        yield Polyline(((x, y - 0.95), (x, up + 1.9)), _LEADER)
        yield Circle((x, up), 1.9, fill="mark", pen=_RING)
        yield Text((x, up + 1.05), letters[pick.outcome.design], 3.0, 600, "middle")


def _key(choice: Choice) -> Iterator[Drawn]:
    y = _TOP + 1.0
    rows = [("", "the plan", choice.now)]
    rows += [
        (letter, "", pick.outcome) for letter, pick in zip(choice.letters.values(), choice.picks, strict=True)
    ]
    for letter, head, one in rows:
        if letter:
            yield Circle((_KEY_X, y - 1.0), 1.9, fill="mark", pen=_RING)
            yield Text((_KEY_X, y + 0.05), letter, 3.0, 600, "middle")
        else:
            yield rectangle(_KEY_X - 1.2, y - 2.2, 2.4, 2.4, fill="accent", pen=_RING)
        words = f"{head}: {design_words(one.design)}" if head else design_words(one.design)
        for line in wrap(words, _KEY_WIDE - 5.0, 3.0, most_lines=3):
            yield Text((_KEY_X + 4.0, y), line, 3.0)
            y += 4.3
        y += 2.0
    yield Circle((_KEY_X, _BOTTOM - 5.0), 0.95, fill="paper", pen=_RING)
    yield Text((_KEY_X + 4.0, _BOTTOM - 4.0), "no other beats it", 2.9, ink="grey")
    yield Circle((_KEY_X, _BOTTOM - 0.2), 0.55, fill="rule", pen=_OTHER)
    yield Text((_KEY_X + 4.0, _BOTTOM + 0.8), "others", 2.9, ink="grey")


__all__ = ["WORDS", "choice_sheet", "design_words", "ticks"]
