"""A van in a mode as the elements of a circuit: contacts as they have settled, what gives, what is on.

A battery stands at the volts counted with at running posts, behind its inner resistance; that of the vehicle
at its alternator's while that turns. A charger holds its volts up to its rated current and takes none back.
An inverter counts only where it is named; the sun shines only where it is asked for.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass

from loomwright.circuit.network import Converter, Diode, Element, Limited, Load, Source
from loomwright.plan.kinds import states
from loomwright.plan.model import Part
from loomwright.plan.pieces import Wiring
from loomwright.plan.values import Quantity

from .chargers import output_volts, panels_of, ports_of
from .circuits import cruising_volts
from .conditions import CLOSED, NO_CHARGE, NO_DISCHARGE, TOWING, condition, fuse_device, management_device
from .diodes import diodes_of
from .inputs import Inputs
from .joined import always_closed
from .loads import Port, system_volts
from .modes import ModeFigure
from .network import NetworkBuilder, vehicle_minus
from .solve import Converts
from .sources import POSTS_V, inner_ohm, posts_volts
from .states import Contact, contacts_of
from .trailer import TRAILER_OHM, trailer_feeds

#: Stands for no limit at all. [A]
NO_LIMIT_A = 1e6
_ALWAYS_ON = ("consumer", "coil", "signal")


@dataclass(frozen=True, slots=True)
class Asked:
    """What is on in a mode: consumers and inverters by name (None: every consumer), starts, and the sun."""

    running: Collection[str] | None = None
    starting: Collection[str] = ()
    sun: bool = False


class ModeNetwork:
    """Builds the elements of one van in any mode.

    Parameters
    ----------
    wiring : Wiring
        The plan taken apart.
    inputs : Inputs
        Figures at one end of what is unknown.
    builder : NetworkBuilder
        Gives the resistances, with the copper as warm as it gets.
    converters : mapping of str to Converts
        By part.
    """

    def __init__(
        self, wiring: Wiring, inputs: Inputs, builder: NetworkBuilder, converters: Mapping[str, Converts]
    ) -> None:
        self.wiring, self.inputs, self.builder, self.converters = wiring, inputs, builder, converters
        self.ports = ports_of(wiring, inputs)
        self._diodes = tuple(diodes_of(wiring))

    def elements(self, figure: ModeFigure, asked: Asked) -> list[Element]:
        """Return all elements; loads are called "load ID", what gives "gives ID".

        Parameters
        ----------
        figure : ModeFigure
            How the contacts stand, and what gives.
        asked : Asked
            What is on.
        """
        found: list[Element] = [
            branch.resistor()
            for branch in self.builder.branches(closed_in(self.wiring, figure.positions))
            if figure.positions.get(fuse_device(branch.id)) != "pulled"
        ]
        found += [Diode(f"{way.part}:{way.b}", way.a, way.b, drop_v) for way, drop_v in self._diodes]
        for id, part in self.wiring.parts.items():
            if part.wired is not False:
                found += self._gives(figure, id, part, asked)
        towing = figure.positions.get(condition("towing")) != TOWING[0]
        on = (port for port in self.ports if self._is_on(port, asked))
        found += [self._load(port, asked) for port in on if towing or port.part in self.wiring.parts]
        return found

    # --- what gives ----------------------------------------------------------------------------------

    def _gives(self, figure: ModeFigure, id: str, part: Part, asked: Asked) -> Iterator[Element]:
        match part.kind:
            case "battery" | "vehicle_battery":
                yield from self._battery(figure, id)
            case "alternator" | "vehicle_feed":
                yield from self._vehicle(figure, id, part)
            case "converter":
                one = self.converters[id]
                most = min(one.limit_a, NO_LIMIT_A)
                ends = f"{id}.in", f"{id}.minus", f"{id}.out", f"{id}.out_minus"
                yield Converter(f"gives {id}", *ends, one.volts, most, one.efficiency)
            case "b2b" if figure.positions.get(id) == "on":
                yield self._between_batteries(id, part)
            case "solar_regulator" if asked.sun:
                yield from self._charges(figure, id, part)
                panels = panels_of(self.wiring, id)
                amps = sum(port.amps for port in self.ports if port.kind == "panel" and port.part in panels)
                yield Load(f"takes {id}", f"{id}.panel", f"{id}.panel_minus", amps)
            case "solar_panel" if asked.sun:  # gives what its regulator takes
                volts = output_volts(part, self.wiring.plan)
                yield Limited(f"gives {id}", f"{id}.plus", f"{id}.minus", volts, NO_LIMIT_A)
            case "mains_charger" | "fuel_cell":
                yield from self._charges(figure, id, part)
            case "tow_socket" if figure.positions.get(condition("towing")) == TOWING[-1]:
                for plus, minus in trailer_feeds(self.wiring, id):
                    volts = POSTS_V["lead"] * system_volts(self.wiring.plan) / 12.0
                    yield Source(f"gives {plus}", plus, minus, volts, TRAILER_OHM)
            case _:
                return

    def _battery(self, figure: ModeFigure, id: str) -> Iterator[Element]:
        """Give a battery; one whose management has opened lets current through one way only."""
        volts, ohm = self._battery_volts(figure, id), inner_ohm(self.wiring, self.inputs, id)
        stands = figure.positions.get(management_device(id), CLOSED)
        plus = f"{id}.plus" if stands == CLOSED else f"{id}.cells"
        yield Source(f"gives {id}", plus, f"{id}.minus", volts, ohm)
        if stands == NO_CHARGE:
            yield Diode(management_device(id), plus, f"{id}.plus", 0.0)
        elif stands == NO_DISCHARGE:
            yield Diode(management_device(id), f"{id}.plus", plus, 0.0)

    def _battery_volts(self, figure: ModeFigure, id: str) -> float:
        """Return the volts of a battery: the alternator's where that holds it, else at running posts. [V]"""
        for other, part in self.wiring.parts.items():
            holds = part.kind == "alternator" and part.charges == id
            if holds and other in figure.live.at(f"{id}.plus"):
                return self._alternator_volts(id, part)
        return posts_volts(self.wiring, id)

    def _alternator_volts(self, battery: str, part: Part) -> float:
        return cruising_volts(self.wiring, battery) or output_volts(part, self.wiring.plan)

    def _vehicle(self, figure: ModeFigure, id: str, part: Part) -> Iterator[Element]:
        """Give the alternator and its signal, or one of the vehicle's own feeds, while it is live."""
        minus = vehicle_minus(self.wiring)
        if minus is None:
            return
        battery = minus.removesuffix(".minus")
        volts = self._battery_volts(figure, battery)
        if part.kind == "vehicle_feed":
            if id in figure.live.at(f"{id}.plus"):
                yield Limited(f"gives {id}", f"{id}.plus", minus, volts, NO_LIMIT_A)
            return
        if id in figure.live.at(f"{id}.plus"):
            most = part.current.high if isinstance(part.current, Quantity) else NO_LIMIT_A
            charged = f"{part.charges or battery}"
            held = self._alternator_volts(charged, part)
            yield Limited(f"gives {id}", f"{id}.plus", f"{charged}.minus", held, most)
            yield Limited(f"gives {id}.d_plus", f"{id}.d_plus", minus, volts, NO_LIMIT_A)

    def _between_batteries(self, id: str, part: Part) -> Element:
        """Return a charger from one battery to another: what it gives, it takes at its input."""
        port = next(one for one in self.ports if one.part == id and one.kind == "charger_input")
        amps = next(one.amps for one in self.ports if one.part == id and one.kind == "output")
        volts = output_volts(part, self.wiring.plan)
        share = volts * amps / port.watts if port.watts else 1.0
        ends = f"{id}.in", f"{id}.minus", f"{id}.out", f"{id}.minus"
        return Converter(f"gives {id}", *ends, volts, amps, share)

    def _charges(self, figure: ModeFigure, id: str, part: Part) -> Iterator[Element]:
        """Give the outputs of a charger that are live."""
        for port in self.ports:
            name = port.id if port.id.endswith(".second") else id
            if port.part == id and port.kind == "output" and name in figure.live.at(port.plus):
                volts = output_volts(part, self.wiring.plan)
                yield Limited(f"gives {name}", port.plus, port.minus, volts, port.amps)

    # --- what is on ----------------------------------------------------------------------------------

    @staticmethod
    def _is_on(port: Port, asked: Asked) -> bool:
        if port.kind == "inverter":
            return asked.running is not None and port.part in asked.running
        named = asked.running is None or port.part in asked.running
        return port.kind in _ALWAYS_ON and (named or port.kind != "consumer")

    @staticmethod
    def _load(port: Port, asked: Asked) -> Load:
        name, ends = f"load {port.id}", (port.plus, port.minus)
        if port.part in asked.starting and port.has_start:
            return Load(name, *ends, port.start_a, port.start_w)
        return Load(name, *ends, port.amps, port.watts, port.siemens)


def closed_in(wiring: Wiring, positions: Mapping[str, str]) -> list[Contact]:
    """Return the contacts that are closed with every device in its position, diodes left out."""
    diodes = {way for way, _ in diodes_of(wiring)}
    found = dict.fromkeys(one for one in always_closed(wiring) if one not in diodes)
    for id, part in wiring.parts.items():
        if part.kind == "control_panel":
            outputs = contacts_of(id, part, None)
            found |= dict.fromkeys(one for one in outputs if positions.get(one.b) == "on")
        elif positions.get(id) in states(part):
            found |= dict.fromkeys(contacts_of(id, part, positions[id]))
    return list(found)


__all__ = ["NO_LIMIT_A", "Asked", "ModeNetwork", "closed_in"]
