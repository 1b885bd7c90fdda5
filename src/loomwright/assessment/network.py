"""The plan's wiring as resistances between points: copper, joints, fuses, contacts, studs and the shell.

Every branch keeps what its ohms are made of, so that a drop can be told item by item. The body is one shell
with half of `contacts.body` to each stud; a bar's resistance lies between any two of its cables, so half of
it belongs to each.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property

from loomwright.circuit.network import Resistor, Source
from loomwright.plan.model import Part, Run
from loomwright.plan.pieces import BODY, FlatRun, Piece, Spot, Wiring
from loomwright.plan.values import AUTO, Fuse, Joints, Quantity

from . import bands
from .inputs import TYPED, Inputs, Pick
from .ohms import copper_step, part_of, several
from .record import Ohm
from .sizes import Chosen, Size, auto_key
from .states import NO_BODY_RETURN, Contact

#: Where the steel ends and the shell begins: the point behind a stud's contact.
METAL = "@metal"
#: The names of what sits at the ends of a piece, half of it at each.
END_JOINTS = ("crimps", "lugs", "joints")
#: From this area up a wire ends in lugs, below in crimps (plan format, section 7). [mm²]
LUG_FROM_MM2 = 10.0


@dataclass(frozen=True, slots=True)
class Branch:
    """One branch of the network. `kind` is wire, way, contact, stud, body or factory."""

    id: str
    a: str
    b: str
    kind: str
    owner: str
    ohms: tuple[Ohm, ...]
    ohm: float = field(init=False)  # all of its resistances in series [Ω]

    def __post_init__(self) -> None:
        object.__setattr__(self, "ohm", sum(item.ohm for item in self.ohms))

    def resistor(self) -> Resistor:
        """Return it as an element of a circuit."""
        return Resistor(self.id, self.a, self.b, self.ohm)


class NetworkBuilder:
    """Builds the branches of one van at one corner; sizes and copper temperatures are handed in."""

    def __init__(
        self,
        wiring: Wiring,
        inputs: Inputs,
        sizes: Mapping[str, Size],
        chosen: Chosen,
        copper_c: Mapping[str, float],
    ) -> None:
        self.wiring, self.inputs, self.sizes = wiring, inputs, sizes
        self.chosen, self.copper_c = chosen, copper_c

    def branches(self, closed: Iterable[Contact]) -> list[Branch]:
        """Return every branch with the given contacts closed (mains wires left out)."""
        contacts = (self._contact(contact) for contact in closed)
        return [*self._fixed, *contacts]

    @cached_property
    def _fixed(self) -> list[Branch]:
        """Everything that stays however the contacts stand."""
        runs = (flat for flat in self.wiring.runs.values() if not flat.mains)
        found = [branch for flat in runs for branch in self._run(flat)]
        found.extend(self._ways())
        found.extend(self._body(found))
        found.extend(self._factory())
        return found

    # --- wires ---------------------------------------------------------------------------------------

    def _run(self, flat: FlatRun) -> Iterator[Branch]:
        laid = [piece for piece in flat.pieces if not self._is_joint(flat, piece)]
        for piece in flat.pieces:
            ohms = [*self._copper_and_joints(flat, piece, laid)] if piece in laid else []
            ohms += [self.fuse_ohm(piece, spot) for spot in piece.spots if spot.way is None]
            ohms += [*self._bar_halves(piece)]
            yield Branch(piece.id, piece.a, piece.b, "wire", piece.id, tuple(ohms))

    def _is_joint(self, flat: FlatRun, piece: Piece) -> bool:
        """True for a leg of 0 m and for a wire that is part of a composite: no copper, no joints."""
        return flat.inner or (self.sizes[piece.id].length.value == 0.0 and flat.run.joints is None)

    def _copper_and_joints(self, flat: FlatRun, piece: Piece, laid: list[Piece]) -> Iterator[Ohm]:
        run, size = flat.run, self.sizes[piece.id]
        if isinstance(run.resistance, Quantity):
            whole = self.inputs.end(run.resistance, f"wiring.{flat.id}.resistance", ohms=True)
            ohm, parted = part_of(whole, len(laid))
            yield Ohm(piece.id, "measured", ohm, TYPED, sum=parted)
            return
        area_mm2 = size.area_mm2 if size.area_mm2 is not None else size.assumed_mm2
        if area_mm2 is not None:
            copper_c = self.copper_c.get(piece.id, 20.0)
            copper = copper_step(area_mm2, size.length.value, copper_c, size.conductors)
            what = f"copper {area_mm2:.4g} mm², {size.length.value:.4g} m"
            unknown = size.length.unknown if size.area_mm2 is not None else f"wiring.{flat.id}.area"
            source = bands.conductor_source(size.conductors)
            yield Ohm(piece.id, what, copper.value, source, unknown, copper)
        joint = self.joint(size)
        if isinstance(run.joints, Joints):
            typed, each = run.joints.each, joint.value
            if typed is not None:
                each = self.inputs.end(typed, f"wiring.{flat.id}.joints", ohms=True)
            if run.joints.count:
                all_joints = several(run.joints.count, each, len(laid))
                yield Ohm(piece.id, "joints", all_joints.value, TYPED, sum=all_joints)
            return
        name = "lugs" if self._is_lug(size) else "crimps"
        both = several(2, joint.value)
        yield Ohm(piece.id, name, both.value, joint.source, joint.unknown, both)

    def _is_lug(self, size: Size) -> bool:
        return (size.area_mm2 or 0.0) >= LUG_FROM_MM2

    def joint(self, size: Size) -> Pick:
        """Return the resistance of one joint at the end of a wire of this size. [Ω]"""
        return self.contact_pick("lug" if self._is_lug(size) else "crimp")

    def contact_pick(self, name: str) -> Pick:
        """Return a contact resistance: the plan's `basis.contacts`, else the table's band. [Ω]"""
        low, high, source = bands.contact(name)
        basis = self.wiring.plan.basis.contacts
        typed = getattr(basis, name, None) if basis is not None else None
        worn, field = bands.worn_ohm(name), f"basis.contacts.{name}"
        return self.inputs.pick(typed, (low, high), field, source, ohms=True, worn=worn)

    def _bar_halves(self, piece: Piece) -> Iterator[Ohm]:
        for point in (piece.a, piece.b):
            part = self.wiring.parts.get(point)
            if part is not None and part.kind == "busbar" and part.resistance is not None:
                pick = self.inputs.pick(
                    part.resistance, (0.0, 0.0), f"parts.{point}.resistance", TYPED, ohms=True
                )
                if pick.value:
                    yield Ohm(point, "bar", pick.value / 2.0, pick.source)

    # --- fuses ---------------------------------------------------------------------------------------

    def fuse_rating(self, piece: Piece, fuse: Fuse) -> float | None:
        """Return a fuse's rating, typed or chosen; None while it is not known. [A]"""
        if isinstance(fuse.rating, Quantity):
            return fuse.rating.high
        return self.chosen.fuse_a.get(auto_key(piece)) if fuse.rating is AUTO else None

    def fuse_kind(self, piece: Piece, spot: Spot) -> str:
        """Return a fuse's kind: typed, else that of its box, else blade up to 30 A and bolted above."""
        if spot.fuse.type not in (None, "unknown"):
            return spot.fuse.type or ""
        box = self.wiring.parts.get(self.wiring.part_of(spot.way) or "") if spot.way else None
        if box is not None and isinstance(box.fuse_type, str):
            return box.fuse_type
        return bands.usual_fuse_kind(self.fuse_rating(piece, spot.fuse))

    def fuse_ohm(self, piece: Piece, spot: Spot) -> Ohm:
        """Return the cold resistance of a fuse, its holder included. [Ω]"""
        return self._fuse_ohm(
            piece.id, spot.fuse, self.fuse_rating(piece, spot.fuse), self.fuse_kind(piece, spot)
        )

    def _fuse_ohm(self, owner: str, fuse: Fuse, rating: float | None, kind: str) -> Ohm:
        if isinstance(fuse.resistance, Quantity):
            ohm = self.inputs.end(fuse.resistance, f"fuse of {owner}", ohms=True)
            return Ohm(owner, _fuse_name(rating), ohm, TYPED)
        if rating is None:
            return Ohm(owner, "fuse of unknown rating", 0.0, TYPED, f"wiring.{owner}.fuse")
        typed = bands.typed_fuse(self.wiring.plan.basis.fuses, kind, rating)
        low, high, source = bands.fuse(kind, rating)
        pick = self.inputs.pick(typed, (low, high), f"basis.fuses.{kind}", source, ohms=True)
        return Ohm(owner, _fuse_name(rating), pick.value, pick.source, pick.unknown)

    def _ways(self) -> Iterator[Branch]:
        """Give each fuse box its main fuse and each way in use its fuse."""
        fused: dict[str, tuple[Piece, Spot]] = {}
        used: set[str] = set()
        for flat in self.wiring.runs.values():
            for piece in flat.pieces:
                used.update((piece.a, piece.b))
                for spot in piece.spots:
                    if spot.way is not None:
                        fused.setdefault(spot.way, (piece, spot))
        for part_id, part in self.wiring.parts.items():
            if part.kind != "fuse_box":
                continue
            bar = f"{part_id}.bar"
            main = [self._main_fuse(part_id, fuse) for fuse in _fuses(part)]
            yield Branch(f"{part_id}.main", f"{part_id}.in", bar, "way", part_id, tuple(main))
            for point in sorted(used):
                if self.wiring.part_of(point) == part_id and self.wiring.terminal_of(point).isdigit():
                    ohms = (self.fuse_ohm(*fused[point]),) if point in fused else ()
                    yield Branch(point, bar, point, "way", point, ohms)

    def _main_fuse(self, part_id: str, fuse: Fuse) -> Ohm:
        rating = fuse.rating.high if isinstance(fuse.rating, Quantity) else None
        kind = fuse.type or bands.usual_fuse_kind(rating)
        return self._fuse_ohm(part_id, fuse, rating, kind)

    # --- contacts, studs, shell ----------------------------------------------------------------------

    def _contact(self, contact: Contact) -> Branch:
        part = self.wiring.parts[contact.part]
        name = bands.contact_name(part.kind)
        low, high, source = bands.contact(name)
        worn = bands.worn_ohm(name)
        typed = getattr(self.wiring.plan.basis.contacts, name, None)
        amount = part.resistance if part.resistance is not None else typed
        if part.kind in ("diode", "diode_splitter"):  # its drop is counted as volts, not as ohms
            low = high = worn = 0.0
            amount = part.resistance
        field = f"parts.{contact.part}.resistance"
        pick = self.inputs.pick(amount, (low, high), field, source, ohms=True, worn=worn)
        ohms = (Ohm(contact.part, "contact", pick.value, pick.source, pick.unknown),) if pick.value else ()
        return Branch(
            f"{contact.part}:{contact.a}-{contact.b}", contact.a, contact.b, "contact", contact.part, ohms
        )

    def _body(self, so_far: list[Branch]) -> Iterator[Branch]:
        """Give every stud (typed or assumed) in use its contact and its half of the shell."""
        used = dict.fromkeys(point for branch in so_far for point in (branch.a, branch.b))
        conducts = self.wiring.plan.vehicle.body not in NO_BODY_RETURN
        halves = self._halves()
        runs = self.wiring.runs.values()
        assumed = {point: flat.run for flat in runs for piece in flat.pieces for point in (piece.a, piece.b)}
        for point in used:
            stud = self.wiring.plan.studs.get(point)
            if stud is not None:
                pick = self.contact_pick("stud")
                if isinstance(stud.resistance, Quantity):
                    pick = self.inputs.pick(
                        stud.resistance, (0.0, 0.0), f"studs.{point}.resistance", TYPED, ohms=True
                    )
                yield from self._onto_shell(point, pick, halves[point], conducts)
            elif point.endswith(f"@{BODY}"):
                run: Run = assumed[point]
                pick = Pick(0.0, TYPED) if run.factory is True else self.contact_pick("stud")
                yield from self._onto_shell(point, pick, self._half(), conducts)
        for part_id, part in self.wiring.parts.items():
            if part.case == "minus" and conducts:
                yield from self._onto_shell(
                    f"{part_id}.minus", self.contact_pick("stud"), self._half(), conducts
                )

    def _half(self) -> Pick:
        body = self.contact_pick("body")
        return Pick(body.value / 2.0, body.source, body.unknown)

    def _onto_shell(self, point: str, contact: Pick, half: Pick, conducts: bool) -> Iterator[Branch]:
        ohms = (Ohm(point, "stud", contact.value, contact.source, contact.unknown),)
        yield Branch(f"{point}{METAL}", point, f"{point}{METAL}", "stud", point, ohms)
        if conducts:
            ohms = (Ohm(point, "body", half.value, half.source, half.unknown),)
            yield Branch(f"{point}:{BODY}", f"{point}{METAL}", BODY, "body", point, ohms)

    def _halves(self) -> dict[str, Pick]:
        """Return each stud's half of the shell; where `body_to` has measured pairs, halves that fit them."""
        studs, default = self.wiring.plan.studs, self._half()
        measured = {
            (a, b): self.inputs.end(amount, f"studs.{a}.body_to.{b}", ohms=True)
            for a, stud in studs.items()
            for b, amount in (stud.body_to or {}).items()
            if isinstance(amount, Quantity) and b in studs and b != a
        }
        halves = dict.fromkeys(studs, default.value)
        for _ in range(200 if measured else 0):
            for name in halves:
                pairs = [(b if a == name else a, ohm) for (a, b), ohm in measured.items() if name in (a, b)]
                # a stud measured against several others fits them; one measured only once keeps its half
                if len(pairs) > 1 or (pairs and name in {a for a, _ in measured}):
                    fit = sum(ohm - halves[other] for other, ohm in pairs) / len(pairs)
                    halves[name] = max(fit, 0.0)
        for (a, b), ohm in measured.items():  # less steel than one usual half: the other gives way too
            halves[b] = min(halves[b], max(ohm - halves[a], 0.0))
        touched = {name for pair in measured for name in pair}
        return {
            name: Pick(ohm, TYPED if name in touched else default.source, default.unknown)
            for name, ohm in halves.items()
        }

    def _factory(self) -> Iterator[Branch]:
        """Give what is there untyped: alternator to battery, that battery on the body, joined minuses."""
        touched = {
            point
            for flat in self.wiring.runs.values()
            for piece in flat.pieces
            for point in (piece.a, piece.b)
        }
        for part_id, part in self.wiring.parts.items():
            if part.kind == "alternator" and part.charges in self.wiring.parts:
                yield Branch(
                    f"{part_id}.plus", f"{part_id}.plus", f"{part.charges}.plus", "factory", part_id, ()
                )
            if part.kind == "converter" and part.isolated is not True:
                yield Branch(
                    f"{part_id}.minus", f"{part_id}.minus", f"{part_id}.out_minus", "factory", part_id, ()
                )
            if part.kind == "solar_regulator" and f"{part_id}.panel_minus" not in touched:
                yield Branch(
                    f"{part_id}.minus",
                    f"{part_id}.panel_minus",
                    f"{part_id}.battery_minus",
                    "factory",
                    part_id,
                    (),
                )
            if part.kind == "vehicle_battery" and f"{part_id}.minus" not in touched:
                point = f"{part_id}.minus"
                ohms = (Ohm(part_id, "body", self._half().value, self._half().source),)
                if self.wiring.plan.vehicle.body not in NO_BODY_RETURN:
                    yield Branch(f"{point}:{BODY}", point, BODY, "factory", part_id, ohms)


def _fuse_name(rating: float | None) -> str:
    return "fuse" if rating is None else f"fuse {rating:g} A"


def _fuses(part: Part) -> tuple[Fuse, ...]:
    fuses = part.main_fuse
    return fuses if isinstance(fuses, tuple) else ()


def vehicle_minus(wiring: Wiring) -> str | None:
    """Return the minus of the first vehicle battery, the return of everything the vehicle itself feeds."""
    for part_id, part in wiring.parts.items():
        if part.kind == "vehicle_battery":
            return f"{part_id}.minus"
    return None


def posts_source(part_id: str, volts: float, ohm: float = 0.0) -> Source:
    """Return a battery as a source between its posts."""
    return Source(part_id, f"{part_id}.plus", f"{part_id}.minus", volts, ohm)


__all__ = ["END_JOINTS", "LUG_FROM_MM2", "METAL", "Branch", "NetworkBuilder", "posts_source", "vehicle_minus"]
