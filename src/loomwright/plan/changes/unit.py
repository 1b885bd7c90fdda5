"""A combined unit, or a box of unknown insides, from the answers to a plain form.

A combined unit is written as what it is: terminals, bars, relays, fused ways, and the wires between them. An
inner wire states neither size nor length, so it counts as part of the box. What the maker's sheet does not
tell is left out; figures can be added later, part by part.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from loomwright.plan.changes.facts import refuse
from loomwright.plan.changes.ids import check_new_id, free_id
from loomwright.plan.changes.parts import New, new_part
from loomwright.plan.changes.trial import check_new
from loomwright.plan.edit import Edit
from loomwright.plan.forms import is_id
from loomwright.plan.model import Plan

#: From what a way or relay is fed, besides a relay by its name.
FEEDS = ("always", "master", "selected")


@dataclass(frozen=True, slots=True, kw_only=True)
class WayAnswer:
    """One fused way of the unit.

    Attributes
    ----------
    name : str
        As printed beside it: `1`, `pump`. Its port is `way_1`, `way_pump`.
    fed_by : str
        `always` (live as long as the battery is there), `master` (off with the unit's master), `selected`
        (by the battery chosen, whatever the master), or the name of a relay of the unit.
    """

    name: str
    fed_by: str = "always"


@dataclass(frozen=True, slots=True, kw_only=True)
class RelayAnswer:
    """One relay of the unit that feeds ways of its own.

    Attributes
    ----------
    name : str
        What it switches: `pump`, `light`, `fridge`.
    fed_by : str
        `always`, `master` or `selected`, as for a way.
    works : str
        `panel`: an output of the control panel with its name closes it. `engine`: the engine-running signal
        closes it. `voltage`: it opens by itself when the battery is low.
    rating, cut_out : str
        If known: `30 A`; `11.4 V for 60 s`.
    """

    name: str
    fed_by: str = "always"
    works: Literal["panel", "engine", "voltage"] = "panel"
    rating: str = ""
    cut_out: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PanelAnswer:
    """The control panel that comes with the unit, and its cable.

    Attributes
    ----------
    place, name : str
        Where it is; what it is called.
    area, length : str
        Of each core of its cable, if known: `0.75 mm²`, `2.6 m`.
    """

    place: str = ""
    name: str = "Control panel"
    area: str = ""
    length: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class UnitAnswers:
    """What is asked of a combined unit.

    Attributes
    ----------
    name, place : str
        What it is called, and where it is.
    ways : tuple of WayAnswer
        Its fused ways, as printed on it.
    relays : tuple of RelayAnswer
        Its relays besides those of the master and the selector.
    panel_outputs : tuple of str
        What its control panel switches: `master`, `selector`, or a relay by its name.
    supply : str
        `one battery`, or `two batteries with selector`: a relay takes ways from the vehicle battery instead.
    charger_a : float or None
        Rated current of a mains charger inside; None if there is none. [A]
    mains_ways : int
        Breakers for mains circuits outside, besides that of the charger.
    panel : PanelAnswer or None
        If its control panel and the panel's cable are to be written as well.
    """

    name: str = "Combined unit"
    place: str = ""
    ways: tuple[WayAnswer, ...] = ()
    relays: tuple[RelayAnswer, ...] = ()
    panel_outputs: tuple[str, ...] = ()
    supply: Literal["one battery", "two batteries with selector"] = "one battery"
    charger_a: float | None = None
    mains_ways: int = 0
    panel: PanelAnswer | None = None


def unit_from_answers(plan: Plan, answers: UnitAnswers, id: str | None = None) -> New:
    """Return a combined unit as a composite part, and its control panel with the panel's cable if asked.

    Parameters
    ----------
    plan : Plan
        It is for this plan.
    answers : UnitAnswers
        What the form was told.
    id : str, optional
        Else it is made from the name.

    Returns
    -------
    New
        The id of the unit and all edits. Its ports are `plus` (or `leisure` and `vehicle`), `minus`,
        `way_...`, `engine`, `X1_1` ... of the panel's cable, `mains_in`, `mains_1` ... and `PE`.

    Raises
    ------
    PlanError
        Two ways of one name, a way fed by a relay that there is not, an id that is taken ...
    """
    if id is None:
        id = free_id(plan, "parts", answers.name)
    check_new_id(plan, "parts", id)
    _check(answers, f"parts.{id}")
    unit = _Unit(answers)
    check_new(plan, "parts", id, data := unit.data())
    edits = [Edit(f"parts.{id}", data)]
    if answers.panel is not None and answers.panel_outputs:
        edits += _panel(plan, answers, id)
    return New(id, tuple(edits))


def box_from_answers(
    plan: Plan,
    name: str,
    place: str = "",
    terminals: Mapping[str, str] | None = None,
    running: str = "",
    standby: str = "",
    id: str | None = None,
) -> New:
    """Return a box of unknown insides: what goes into it, what comes out, and the two figures that count.

    Parameters
    ----------
    plan : Plan
        It is for this plan.
    name, place : str
        What it is called, and where it is.
    terminals : mapping of str
        Name of a terminal to its role, `plus` `minus` `in` `out` `signal` or `case`, besides the plus and
        minus that every such box has.
    running, standby : str
        What it takes when it works, and when it is off: `1.5 A`, `20 mA`.
    id : str, optional
        Else it is made from the name.

    Raises
    ------
    PlanError
        The id is taken, or an answer is not of its kind.
    """
    more = {name: role for name, role in (terminals or {}).items() if name not in ("plus", "minus")}
    fields = {"name": name, "place": place, "running": running, "standby": standby, "terminals": more}
    return new_part(plan, "electronics", _said(fields), id)


def _said(fields: Mapping[str, Any]) -> dict[str, Any]:
    """Return the fields that were answered."""
    return {name: value for name, value in fields.items() if value not in ("", None, {}, [])}


def _check(answers: UnitAnswers, at: str) -> None:
    """Refuse answers that do not fit each other."""
    relays = [relay.name for relay in answers.relays]
    selector = answers.supply != "one battery"
    for what, names in (("ways", [way.name for way in answers.ways]), ("relays", relays)):
        twice = [name for name in names if names.count(name) > 1]
        if twice:
            refuse(
                f"{at}.{what}",
                f"two {what} are called {twice[0]}. Give each the name that is printed beside it.",
            )
    for name in (*relays, *answers.panel_outputs):
        if not is_id(name):
            says = f'"{name}" can\'t be the name of a relay or output: a letter first, then letters, digits.'
            refuse(f"{at}.{'relays' if name in relays else 'panel_outputs'}", says)
    if taken := set(relays) & {*FEEDS, "selector"}:
        refuse(
            f"{at}.relays",
            f"a relay can't be called {min(taken)}: the unit's own {min(taken)} is meant by that.",
        )
    for fed, known in (
        *((way.fed_by, (*FEEDS, *relays)) for way in answers.ways),
        *((relay.fed_by, FEEDS) for relay in answers.relays),
    ):
        if fed not in known:
            refuse(
                f"{at}.fed_by",
                f'there is nothing called "{fed}" to feed a way or relay. Write {", ".join(known)}.',
            )
        if fed == "selected" and not selector:
            refuse(f"{at}.fed_by", "with one battery nothing is selected. Write always or master.")
    by_panel = [relay.name for relay in answers.relays if relay.works == "panel"]
    outputs = ["master", *(["selector"] if selector else []), *by_panel]
    for name in answers.panel_outputs:
        if name not in outputs:
            says = f'the panel switches "{name}", but no relay of that name works by the panel'
            refuse(f"{at}.panel_outputs", f"{says}. Put that relay in, or write {', '.join(outputs)}.")


class _Unit:
    """Puts a unit together."""

    def __init__(self, answers: UnitAnswers) -> None:
        self.answers = answers
        self.ports: dict[str, str] = {}
        self.parts: dict[str, Any] = {}
        self.wiring: dict[str, Any] = {}

    def data(self) -> dict[str, Any]:
        """Return the fields of the part."""
        self._feeds()
        for relay in self.answers.relays:
            self._relay(relay)
        self._ways()
        self._panel_cable()
        self._mains()
        inside = {"parts": self.parts, "wiring": self.wiring}
        head = {"kind": "unit", "name": self.answers.name, "place": self.answers.place}
        return {**_said(head), "ports": self.ports, "inside": inside}

    def _wire(self, key: str, start: str, end: str, **more: str) -> None:
        self.wiring[key] = {"from": start, **more, "to": end, "joints": "0"}

    def _uses(self, feed: str) -> bool:
        """Return whether something is fed by the master or the selected bar."""
        fed = {way.fed_by for way in self.answers.ways} | {relay.fed_by for relay in self.answers.relays}
        return feed in fed or (feed == "master" and "master" in self.answers.panel_outputs)

    def _feeds(self) -> None:
        """Add the terminals of the batteries and the bars behind them."""
        two = self.answers.supply != "one battery"
        self.parts |= {"lb": {"kind": "splice", "name": "Battery terminal"}, "minus_bar": {"kind": "busbar"}}
        self.ports |= {"leisure" if two else "plus": "lb", "minus": "minus_bar"}
        self.parts["bar_always"] = {"kind": "busbar", "name": "Live bar"}
        self._wire("live", "lb", "bar_always")
        source = "bar_always"
        if two:
            self.ports["vehicle"] = "vb"
            self.parts |= {
                "vb": {"kind": "splice", "name": "Vehicle battery terminal"},
                "K_selector": {"kind": "relay", "name": "Selector relay", "contact": "change_over"},
                "bar_selected": {"kind": "busbar", "name": "Selected bar"},
            }
            self._wire("leisure_selected", "lb", "K_selector.87a")
            self._wire("vehicle_selected", "vb", "K_selector.87")
            self._wire("selected", "K_selector.30", "bar_selected")
            source = "bar_selected"
        if self._uses("master"):
            self.parts["K_master"] = {"kind": "relay", "name": "Master relay"}
            self.parts["bar_master"] = {"kind": "busbar", "name": "Bar behind the master"}
            self._wire("master", source, "bar_master", through="K_master")

    def _relay(self, relay: RelayAnswer) -> None:
        kind = "low_voltage_cut" if relay.works == "voltage" else "relay"
        figures = {"rating": relay.rating, "cut_out": relay.cut_out}
        title = f"{relay.name[:1].upper()}{relay.name[1:]} relay".replace("_", " ")
        self.parts[f"K_{relay.name}"] = {"kind": kind, "name": title, **_said(figures)}
        if relay.works == "engine":
            self.ports["engine"] = "engine"
            self.parts["engine"] = {"kind": "splice", "name": "Engine-running signal"}
            self.wiring[f"coil_{relay.name}"] = _coil("engine", relay.name)

    def _ways(self) -> None:
        """Add a fuse box for the ways of each feed."""
        by_feed: dict[str, list[str]] = {}
        for way in self.answers.ways:
            by_feed.setdefault(way.fed_by, []).append(way.name)
        fed = {relay.name: relay.fed_by for relay in self.answers.relays}
        for feed, names in by_feed.items():
            box = f"ways_{feed}"
            self.parts[box] = {"kind": "fuse_box", "ways": str(len(names))}
            if feed in fed:
                self._wire(box, f"bar_{fed[feed]}", box, through=f"K_{feed}")
            else:
                self._wire(box, f"bar_{feed}", box)
        for way in self.answers.ways:  # the ports in the order of the form
            number = by_feed[way.fed_by].index(way.name) + 1
            self.ports[f"way_{way.name}"] = f"ways_{way.fed_by}.{number}"

    def _panel_cable(self) -> None:
        """Add the terminals of the panel's cable: plus, minus, then one core for each output."""
        if not self.answers.panel_outputs:
            return
        self.ports |= {"X1_1": "x1", "X1_2": "minus_bar"}
        self.parts["x1"] = {"kind": "splice"}
        self._wire("panel", "bar_always", "x1", fuse="unknown")
        for number, output in enumerate(self.answers.panel_outputs, 3):
            self.ports[f"X1_{number}"] = f"x{number}"
            self.parts[f"x{number}"] = {"kind": "splice"}
            self.wiring[f"coil_{output}"] = _coil(f"x{number}", output)

    def _mains(self) -> None:
        """Add the breakers, and the charger behind the last of them."""
        charger, ways = self.answers.charger_a, self.answers.mains_ways
        if charger is None and not ways:
            return
        self.parts["ac"] = {"kind": "breaker_box", "ways": str(ways + (charger is not None))}
        self.ports |= {"mains_in": "ac.in", "PE": "ac.earth"}
        self.ports |= {f"mains_{number}": f"ac.{number}" for number in range(1, ways + 1)}
        if charger is not None:
            self.parts["charger"] = {"kind": "mains_charger", "current": f"{charger:g} A"}
            self.wiring["charger_mains"] = {"from": f"ac.{ways + 1}", "to": "charger"}
            self._wire("charge", "charger.plus", "bar_always", fuse="unknown at to")
            self._wire("charge_minus", "charger.minus", "minus_bar")


def _coil(start: str, relay: str) -> dict[str, str]:
    return {"from": start, "to": f"K_{relay}.86", "return": "minus_bar"}


def _panel(plan: Plan, answers: UnitAnswers, unit: str) -> Iterator[Edit]:
    """Yield the control panel and the runs of its cable."""
    panel = answers.panel
    assert panel is not None, "asked for"
    outputs = {name: {"switches": "plus"} for name in answers.panel_outputs}
    id = free_id(plan, "parts", "S0" if "S0" not in plan.parts else panel.name, [unit])
    head = _said({"kind": "control_panel", "name": panel.name, "place": panel.place})
    check_new(plan, "parts", id, data := {**head, "outputs": outputs})
    yield Edit(f"parts.{id}", data)
    core = _said({"area": panel.area, "length": panel.length})
    runs = [{"from": f"{unit}.X1_1", "to": f"{id}.plus", **core, "return": f"{unit}.X1_2"}]
    runs += [
        {"from": f"{id}.{output}", "to": f"{unit}.X1_{number}", **core}
        for number, output in enumerate(answers.panel_outputs, 3)
    ]
    keys: list[str] = []
    for number, run in zip((1, *range(3, len(runs) + 2)), runs, strict=True):
        wish = f"X1_{number}" if f"X1_{number}" not in plan.wiring else f"{unit}_X1_{number}"
        keys.append(free_id(plan, "wiring", wish, keys))
        yield Edit(f"wiring.{keys[-1]}", run)
