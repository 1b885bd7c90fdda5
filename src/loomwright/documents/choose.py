"""What battery, panels and charger to take, as JSON and as text with a picture."""

from __future__ import annotations

from dataclasses import dataclass

from loomwright.assessment.record import Assessment
from loomwright.diagrams.choosing import WORDS, design_words
from loomwright.sizing.choosing import LETTERS, Choice, Next
from loomwright.sizing.choosing_picks import Outcome, Pick
from loomwright.tables.purchase import PRICE_SOURCE, WP_PER_M2

from .choose_picture import OWN, marks_of, picture
from .table import table

_GASSING = ("flooded", "efb")
HEADS = ("", "battery", "panels", "charger", "flat nights a year", "years with any", "weight", "price")
_ROWS = 16
CAUTION = (
    "These are sizes to think about, not a design: change the plan and run `check` on it. A larger\n"
    "charger was taken as it is, without a look at alternator, cables and fuses. Flooded batteries give\n"
    "off gas that burns: they need air to the outside and topping up; lithium needs its own management\n"
    "and chargers set to it."
)


@dataclass(frozen=True, slots=True)
class ChoiceReport:
    """What may be taken, to be shown."""

    assessment: Assessment
    choice: Choice

    def as_dict(self) -> dict[str, object]:
        """Return it as one JSON object; keys carry their unit, absent figures are None."""
        choice = self.choice
        return {
            "title": self.assessment.plan.title,
            "years": choice.years,
            "seed": choice.seed,
            "weather": choice.taken_from,
            "currency": choice.currency or None,
            "asked_flat_nights_per_year": choice.nights,
            "limits": {
                "budget": choice.limits.budget,
                "payload_left_kg": choice.limits.payload_kg,
                "roof_m2": choice.limits.roof_m2,
            },
            "panels_tried_to_wp": choice.most_wp,
            "plan": {**outcome_dict(choice.now), "over": list(choice.over)},
            "picks": [{**outcome_dict(one.outcome), "reasons": self.reasons(one)} for one in choice.picks],
            "front": [outcome_dict(one) for one in choice.front],
            "designs": [outcome_dict(one) for one in choice.outcomes],
            "next": [
                {"step": one.says, "says": self.step(one), **outcome_dict(one.outcome)}
                for one in choice.steps
            ],
            "left_out": dict(choice.left_out),
            "notes": self.notes(),
        }

    def as_text(self) -> str:
        """Return it for people."""
        choice = self.choice
        parts = [
            f"{self.assessment.plan.title}: {len(choice.outcomes)} designs under the same {choice.years} "
            "years of weather",
            *([f"Within {within}."] if (within := self.within()) else []),
            "",
            *picture(choice),
            "",
            f"{OWN}  the plan: {self.line(choice.now)}",
            *(f"   It is over {', '.join(choice.over)}." for _ in choice.over[:1]),
        ]
        for letter, pick in zip(LETTERS, choice.picks, strict=False):
            own = " (the plan as it stands)" if pick.outcome.design == choice.now.design else ""
            parts += [f"{letter}  {self.line(pick.outcome)}{own}", f"   {'; '.join(self.reasons(pick))}"]
        if not choice.picks:
            parts += ["None of the designs keeps to the limits."]
        rows, head = self.rows(_ROWS)
        parts += ["", head, table(HEADS, rows)]
        if choice.steps:
            parts += ["", "From the plan, one step", *(f"  {self.step(one)}" for one in choice.steps)]
        parts += ["", "What is left out", *(f"  {one}" for one in self.notes())]
        return "\n".join([*parts, "", CAUTION])

    @property
    def caution(self) -> str:
        """What has to be said with it, on one line."""
        return CAUTION.replace("\n", " ")

    def within(self) -> str:
        """Return the limits in words; "" if there are none."""
        limits, found = self.choice.limits, []
        if limits.budget is not None:
            found.append(f"a budget of {limits.budget:,.0f}")
        if limits.payload_kg is not None:
            found.append(f"{limits.payload_kg:.0f} kg on top of the plan".replace("-", "−"))
        if limits.roof_m2 is not None:
            found.append(f"{limits.roof_m2:g} m² of roof")
        return ", ".join(found)

    def reasons(self, pick: Pick) -> list[str]:
        """Return why a design is picked, and what it asks for that the plan's own does not."""
        design, now = pick.outcome.design, self.choice.now.design
        asks = []
        if design.chemistry in _GASSING and now.chemistry not in _GASSING:
            asks.append("it gives off gas and needs topping up")
        if design.chemistry == "lifepo4" != now.chemistry:
            asks.append("chargers have to be set to lithium")
        if design.charger_a > now.charger_a:
            asks.append("alternator, cables and fuses have to bear the charger")
        return [*pick.reasons, *asks]

    def line(self, one: Outcome) -> str:
        """Return a design and what comes of it in one line."""
        flat = (
            f"{_nights(one.flat_nights)} flat nights a year, some in {one.flat_years_pct:.0f} % of the years"
        )
        return f"{design_words(one.design)}: {flat}; {one.kg:.0f} kg{self._price(one)}"

    def _price(self, one: Outcome) -> str:
        return (
            f", {one.price:,.0f} {self.choice.currency}"
            if self.choice.currency and one.price is not None
            else ""
        )

    def rows(self, most: int) -> tuple[list[tuple[str, ...]], str]:
        """Return no more than some designs of the front, as cells under `HEADS`, and what they are.

        Parameters
        ----------
        most : int
            The picks come on top of these.
        """
        choice, marks = self.choice, marks_of(self.choice)
        bar = max(choice.now.flat_nights, choice.nights)
        front = [one for one in choice.front if one.flat_nights <= bar or one.design in marks]
        head = f"No design beats these {len(front)} in flat nights, weight and price at once"
        if len(front) < len(choice.front):
            head += f" ({len(choice.front) - len(front)} more have more flat nights than the plan)"
        if len(front) > most:
            head += ", some of them"
            ends = {round(k * (len(front) - 1) / (most - 1)) for k in range(most)}
            named = {k for k, one in enumerate(front) if one.design in marks}
            front = [front[k] for k in sorted(ends | named)]
        return [self._row(one, marks.get(one.design, "")) for one in front], f"{head}:"

    def _row(self, one: Outcome, mark: str) -> tuple[str, ...]:
        design = one.design
        return (
            mark,
            f"{WORDS[design.chemistry]} {design.capacity_ah:.0f} Ah",
            f"{design.panel_wp:.0f} Wp" if design.panel_wp else "–",
            f"{design.charger_a:.0f} A" if design.charger_a else "–",
            _nights(one.flat_nights),
            f"{one.flat_years_pct:.0f} %",
            f"{one.kg:.0f} kg",
            self._price(one)[2:] or "–",
        )

    def step(self, one: Next) -> str:
        """Return what one step away from the plan brings, as a sentence."""
        now, then = self.choice.now, one.outcome
        saved = now.flat_nights - then.flat_nights
        brings = "no flat nights" if abs(saved) < 0.05 else f"{_nights(abs(saved))} flat nights a year"
        verb = "add" if saved <= -0.05 else "save"
        cost = f"{then.kg - now.kg:+.0f} kg"
        if self.choice.currency and then.price is not None and now.price is not None:
            cost += f", {then.price - now.price:+,.0f} {self.choice.currency}"
        return f"{one.says} would {verb} {brings} ({cost.replace('-', '−')})."

    def notes(self) -> list[str]:
        """Return what was left out or taken as given."""
        choice = self.choice
        told = list(choice.own.without)
        if choice.limits.roof_m2 is None and choice.own.panels:
            told.append(
                f"The room on the roof is not known: panels up to {choice.most_wp:.0f} Wp were tried; "
                f"{WP_PER_M2:.0f} Wp take about a square metre."
            )
        for name, count in choice.left_out.items():
            if count:
                told.append(f"{count} designs are over {name} and were left out.")
        if choice.limits.payload_kg is None:
            told.append(
                "The plan does not say what the van may weigh: no design was left out for its weight."
            )
        if choice.currency:
            told.append(
                f"Prices: the plan's own, else of the tables ({PRICE_SOURCE.checked}); they age quickly."
            )
        else:
            told.append("No prices are held in the plan's money: designs are compared by weight.")
            if choice.limits.budget is not None:
                told.append("The budget could be held against designs of a known price only.")
        told.append(
            "More panels have the shade and tilt of the plan's, and a regulator larger in proportion."
        )
        return told


def outcome_dict(one: Outcome) -> dict[str, object]:
    """Return a design and what comes of it as it stands in JSON."""
    design = one.design
    return {
        "chemistry": design.chemistry,
        "capacity_ah": design.capacity_ah,
        "panel_wp": design.panel_wp,
        "charger_a": design.charger_a or None,
        "flat_nights_per_year": one.flat_nights,
        "flat_years_pct": one.flat_years_pct,
        "mass_kg": one.kg,
        "price": one.price,
    }


def _nights(nights: float) -> str:
    return (
        f"{nights:.0f}"
        if nights >= 10.0 or nights == 0.0
        else f"{nights:.1f}"
        if nights >= 0.1
        else f"{nights:.2f}"
    )


__all__ = ["CAUTION", "HEADS", "ChoiceReport", "outcome_dict"]
