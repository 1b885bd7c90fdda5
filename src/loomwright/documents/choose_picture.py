"""Designs as a field of marks for a terminal: money or weight across, flat nights up."""

from __future__ import annotations

from loomwright.sizing.choosing import Choice
from loomwright.sizing.choosing_parts import Design
from loomwright.sizing.choosing_picks import Outcome

#: How the plan as it stands, the front and the rest are marked in the picture.
OWN, FRONT, OTHER = "#", "o", "·"
_WIDE, _HIGH = 64, 14


def marks_of(choice: Choice) -> dict[Design, str]:
    """Return the marks of designs: a letter for each pick, and one for the plan as it stands."""
    letters = choice.letters
    return letters | {choice.now.design: letters.get(choice.now.design, "") + OWN}


def picture(choice: Choice) -> list[str]:
    """Return designs as a field of marks: cost across, flat nights up."""
    marks, front = marks_of(choice), {one.design for one in choice.front}
    costs = [choice.cost(one) for one in choice.outcomes]
    high = max(max(one.flat_nights for one in choice.outcomes), 1.0)
    low, far = min(costs), max(costs)
    field = [[" "] * _WIDE for _ in range(_HIGH)]

    def put(one: Outcome, mark: str) -> None:
        x = round((choice.cost(one) - low) / (far - low or 1.0) * (_WIDE - 1))
        field[_HIGH - 1 - round(one.flat_nights / high * (_HIGH - 1))][x] = mark

    def rank(one: Outcome) -> int:
        return 2 * (one.design in marks) + (one.design in front)

    for one in sorted(choice.outcomes, key=rank):
        put(one, marks.get(one.design, FRONT if one.design in front else OTHER)[0])
    unit = choice.currency or "kg"
    sides = [f"{high:.0f}", *[""] * (_HIGH - 2), "0"]
    lines = [f"{side:>5} │{''.join(row).rstrip()}" for side, row in zip(sides, field, strict=True)]
    foot = f"{low:,.0f} {unit}"
    end = f"{far:,.0f} {unit}"
    return [
        "Flat nights a year",
        *lines,
        f"{'':>5} └{'─' * _WIDE}",
        f"{'':>7}{foot}{end:>{max(_WIDE - len(foot), len(end) + 1)}}",
        f"{'':>7}{OWN} the plan   A B C picks   {FRONT} not beaten by any   {OTHER} others",
    ]


__all__ = ["OWN", "marks_of", "picture"]
