"""The wiring: one run of cable with what hangs in it, its legs and its return."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from loomwright.plan.columns import (
    AMPS,
    AT_LEAST_ONE,
    AUTO_AREA,
    AUTO_METRES,
    BREAKER,
    CELSIUS,
    COLOUR,
    ENDS,
    FUSE,
    FUSE_TYPE,
    INSULATION,
    JOINTS,
    METRES,
    MONEY,
    OHMS,
    PASSAGE,
    PATH_OR_PLACE,
    RETURN,
    TEXT,
    VOLTS,
    YES_NO,
    EndKind,
    amount,
    column,
    list_of,
    words,
)
from loomwright.plan.model.entry import Entry
from loomwright.plan.model.van import YesNo
from loomwright.plan.values import Amount, Breaker, End, Fuse, Joints, Passage, Word

#: Fuses of a run: one or more, UNKNOWN, AUTO, () if it says `none`, None if it says nothing.
Fuses = tuple[Fuse, ...] | Word | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Return(Entry):
    """How the minus comes back. It starts at the minus of the load."""

    to: End | None = column(
        EndKind("end", "return"),
        needed=True,
        says="stud, `body`, bar or terminal; `wire` is the minus that belongs to `from`",
    )
    through: tuple[Passage, ...] = column(
        list_of(PASSAGE), says="what stands in it, from the load on: plug pin, shunt, master, dimmer"
    )
    via: tuple[str, ...] | None = column(
        list_of(PATH_OR_PLACE), otherwise="those of the feed", says="paths and places the cable lies in"
    )
    length: Amount | None = column(
        AUTO_METRES,
        otherwise="to a stud its way, 0.3 m if unknown or to the body, else that of the feed",
        says="one way",
    )
    area: Amount | None = column(AUTO_AREA, otherwise="that of the feed", says="size")
    colour: str | None = column(COLOUR, otherwise="BK", says="by its letters")
    insulation: str | None = column(INSULATION, otherwise="that of the feed", says="of the cable")


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg(Entry):
    """From the joint of a run to one of its loads. What is None is as the run says."""

    length: Amount = column(AUTO_METRES, "0 m", says="from the joint to this load")
    area: Amount | None = column(AUTO_AREA, otherwise="as the run", says="size")
    through: tuple[Passage, ...] = column(list_of(PASSAGE), says="what stands in this leg")
    via: tuple[str, ...] | None = column(
        list_of(PATH_OR_PLACE), otherwise="as the run", says="paths and places it lies in"
    )
    fuse: Fuses = column(FUSE, otherwise="none", says="in this leg, at the joint unless it says `at`")
    colour: str | None = column(COLOUR, otherwise="as the run", says="by its letters")
    return_: Return | None = column(RETURN, otherwise="as the run", says="of this load")


@dataclass(frozen=True, slots=True, kw_only=True)
class Run(Entry):
    """One run of cable, with what hangs in it.

    `to` and `legs` come from the same field: `legs` has every end of `to` as its key, by the text typed;
    for a list it holds empty legs.
    """

    id: str
    from_: End = column(EndKind("end", "from"), needed=True, says="the feeding end")
    to: tuple[End, ...] = column(
        ENDS, needed=True, says="one end; a list of loads joined there; or a map from load to leg"
    )
    legs: Mapping[str, Leg]
    through: tuple[Passage, ...] = column(
        list_of(PASSAGE), says="parts in series from `from` to `to`, in order"
    )
    via: tuple[str, ...] = column(
        list_of(PATH_OR_PLACE), says="paths and places the cable lies in; else it goes straight"
    )
    fuse: Fuses = column(
        FUSE,
        otherwise="in a way auto, else none",
        says="at `from` unless it says `at`; if `from` is a way of a fuse box it sits in that way",
    )
    breaker: Breaker = column(BREAKER, "none", says="mains: in that way of the breaker box")
    area: Amount = column(AUTO_AREA, "auto", says="size")
    length: Amount = column(AUTO_METRES, "auto", says="one way as routed, slack in it")
    return_: Return | None = column(
        RETURN,
        otherwise="none",
        says="`wire`, `body`, a stud, an end, or a map return; from the minus of `to`",
    )
    joined: str = column(
        words("star chain"), "star", says="several loads: all from the end of the run, or one after the other"
    )
    insulation: str | None = column(
        INSULATION,
        otherwise="basis",
        says="`PVC 70 °C` `XLPE 90 °C` `automotive 105 °C` `automotive 125 °C` `silicone 180 °C`",
    )
    conductor: str = column(words("flexible stranded solid"), "flexible", says="how the copper is built")
    cores: int | Word | None = column(AT_LEAST_ONE, otherwise="1, mains 3", says="cores of the cable")
    temperature: Amount | None = column(CELSIUS, otherwise="path, place, basis", says="stated outright")
    bundle: int | Word | None = column(
        AT_LEAST_ONE, otherwise="path, place, basis", says="loaded cores lying together"
    )
    colour: str | None = column(
        COLOUR, otherwise="by function", says="IEC 60757 letters: RD, BK, RDBU; GNYE only for PE"
    )
    loop: Amount = column(METRES, "0 m", says="spare left in the van, on top of a length found by its way")
    clips: Amount | None = column(METRES, says="fixing distance")
    joints: Joints | Word | None = column(
        JOINTS,
        otherwise="one per piece end",
        says="lugs and crimps counted by hand, those of feed and return together",
    )
    resistance: Amount | None = column(
        OHMS, otherwise="worked out", says="measured, feed and return together"
    )
    factory: YesNo = column(YES_NO, "no", says="the vehicle maker's own cable: outside the fuse rule")
    sheathed: YesNo = column(YES_NO, "no", says="in a second tough sleeve")
    status: str = column(words("new existing to_remove"), "new", says="to be laid, there, or to go")
    built: str = column(words("drawn cut fitted tested"), "drawn", says="how far the work is")
    price: Amount | None = column(MONEY, says="of the run")


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseEntry(Entry):
    """The long form of a fuse; it becomes a `values.Fuse`."""

    rating: Amount = column(amount("A", auto=True, zero=False), needed=True, says="rated current")
    type: str | Word | None = column(FUSE_TYPE, otherwise="by the box, else unknown", says="what is put in")
    at: str = column(
        TEXT, "from", says="`from` `to` `both`, or a part in `through`: on its side towards `to`"
    )
    breaks: Amount | None = column(AMPS, otherwise="by type", says="breaking capacity")
    voltage: Amount | None = column(VOLTS, otherwise="by type", says="rated volts")
    distance: Amount | None = column(METRES, otherwise="0 m", says="cable between source and fuse")
    resistance: Amount | None = column(OHMS, otherwise="basis", says="cold")
    plus_mark: str | Word = column(
        words("none from to unknown"),
        "none",
        says="end that the plus mark of a breaker looks at; `none`: breaks both ways",
    )


__all__ = ["FuseEntry", "Fuses", "Leg", "Return", "Run"]
