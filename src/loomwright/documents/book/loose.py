"""The chapter on what follows if something comes loose: fuses, returns, and the joints to check first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

from loomwright.assessment.breaks_record import Break
from loomwright.assessment.record import Assessment
from loomwright.assessment.weak_joints import WeakJoint, check_first, weak_joints
from loomwright.diagrams.fuse_label import FuseRow as LabelRow
from loomwright.diagrams.fuse_label import fuse_boxes
from loomwright.documents.reasons.figures import quantity
from loomwright.documents.reasons.loose import (
    heat_words,
    joint_words,
    parts_words,
    says,
    verdict_words,
)
from loomwright.documents.reasons.words import and_more, part_words

from .found import sentence

#: So many breaks that show themselves oddly are printed; all are in the check.
MOST_ODD = 24
#: So many things that come open alike are named.
NAMED = 6


@dataclass(frozen=True, slots=True, kw_only=True)
class FuseRow:
    """A fuse: where it is, what it is, what it carries, what it takes down, what charges no more."""

    fuse: str
    rating: str
    carries: str
    stops: str
    quiet: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OddRow:
    """Things that come open alike, and what then shows elsewhere than where they are."""

    things: str
    says: str
    live: str


@dataclass(frozen=True, slots=True, kw_only=True)
class JointRow:
    """A joint to check: what and where it is, its ohms as made and worn, what it carries, and what breaks."""

    joint: str
    of: str
    place: str
    made: str
    worn: str
    carries: str
    loses: str
    heat: str
    first: str
    suffers: str


def fuse_rows(job: Assessment) -> tuple[FuseRow, ...]:
    """Return what each fuse takes down when it blows."""
    labels = {row.at: row for box in fuse_boxes(job) for row in box.rows}
    found = ((at, one) for at, one in job.breaks.fuses.items() if one.matters)
    return tuple(_fuse(job, at, one, labels.get(at) or labels.get(f"{at}.main")) for at, one in found)


def _fuse(job: Assessment, at: str, broken: Break, label: LabelRow | None) -> FuseRow:
    if label is not None:
        way = f"way {label.way}" if label.way.isdecimal() else label.way
        fuse, rating = f"{label.box} {way}".strip(), label.rating
    else:
        fuses = job.wires[at].fuses if at in job.wires else ()
        fuse = f"{at}, at {' and '.join(one.at for one in fuses)}" if fuses else at
        rating = ", ".join(dict.fromkeys(quantity(one.rating_a, "A") for one in fuses))
    others = says(job, replace(broken, stops=(), charges_no_more=()))
    stops = [parts_words(job, broken.stops), others]
    return FuseRow(
        fuse=fuse,
        rating=rating,
        carries=quantity(broken.amps_a, "A"),
        stops="; ".join(words for words in stops if words),
        quiet=parts_words(job, broken.charges_no_more),
    )


def odd_rows(job: Assessment) -> tuple[tuple[OddRow, ...], int]:
    """Return the breaks that show elsewhere than where they are, and how many of them are left out.

    In series with another load, by another way, or with a minus that is live: those of wires and studs, told
    once for all that come open alike.
    """
    alike: dict[tuple[object, ...], list[Break]] = {}
    for one in (*job.breaks.wires.values(), *job.breaks.studs.values()):
        if one.in_series or one.other_ways or one.goes_on or one.live:
            key = one.stops, one.charges_no_more, one.in_series, one.other_ways, one.live
            alike.setdefault(key, []).append(one)
    rows = [_odd(job, group) for group in sorted(alike.values(), key=_weight)]
    return tuple(rows[:MOST_ODD]), max(0, len(rows) - MOST_ODD)


def _weight(group: list[Break]) -> tuple[bool, int]:
    """Sort what overloads another wire first, then by how many loads are left in series."""
    one = group[0]
    return all(way.holds for way in one.other_ways), -len(one.in_series) - len(one.live)


def _odd(job: Assessment, group: list[Break]) -> OddRow:
    one = group[0]
    live = f"{parts_words(job, one.live)} at {quantity(one.live_v, 'V')}" if one.live else ""
    return OddRow(
        things=and_more((broken.of for broken in group), NAMED),
        says=sentence(says(job, one)),
        live=live,
    )


def joint_rows(job: Assessment, joints: Iterable[WeakJoint] | None = None) -> tuple[JointRow, ...]:
    """Return the joints to check first at service, as printed."""
    chosen = check_first(weak_joints(job)) if joints is None else joints
    return tuple(_joint(job, one) for one in chosen)


def _joint(job: Assessment, one: WeakJoint) -> JointRow:
    suffers = (f"{part_words(job, loses.load)} {quantity(loses.then_v, 'V')}" for loses in one.suffers)
    return JointRow(
        joint=joint_words(job, one),
        of=one.of,
        place=_place(one),
        made=quantity(one.fresh_ohm, "Ω"),
        worn=quantity(one.worn_ohm, "Ω"),
        carries=quantity(one.amps_a, "A"),
        loses=quantity(one.volts_v, "V"),
        heat=heat_words(one),
        first=sentence(verdict_words(job, one)),
        suffers=and_more(suffers, 3),
    )


def _place(one: WeakJoint) -> str:
    """Return the place of a joint, with what it does to it where its name does not say so."""
    zones = [zone for zone in one.zones if zone not in one.place]
    return ", ".join(word.replace("_", " ") for word in (one.place, *zones) if word)


def joint_list(job: Assessment) -> Iterator[tuple[str | float | None, ...]]:
    """Give the rows of the list of all joints, its head first."""
    yield (
        "joint", "of", "at", "place", "fresh_ohm", "worn_ohm", "current_a", "worn_v", "worn_w", "first",
        "first_load", "breaks_at_ohm", "suffers", "zones",
    )  # fmt: skip
    for one in weak_joints(job):
        yield (
            one.what, one.of, one.at, one.place, one.fresh_ohm, one.worn_ohm, one.amps_a, one.volts_v,
            one.watts_w, one.first, one.load, one.breaks_at_ohm,
            " ".join(loses.load for loses in one.suffers), " ".join(one.zones),
        )  # fmt: skip


__all__ = ["FuseRow", "JointRow", "OddRow", "fuse_rows", "joint_list", "joint_rows", "odd_rows"]
