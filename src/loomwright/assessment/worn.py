"""The joints of a van one by one: where each is, what it resists as counted, and after years.

A fuse counts with the clips of its holder; a bolted one with its screws. Where a wire's resistance was
measured as a whole its joints are not known one by one, and they are left out.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from loomwright.plan.pieces import BODY, Piece
from loomwright.plan.values import Joints, Quantity

from . import bands
from .breaks_network import BreaksNetwork
from .network import LUG_FROM_MM2, Branch
from .record import Assessment, Ohm
from .sizes import place_of

#: Types of fuse that sit under screws; the others sit in clips.
_SCREWED = ("bolted", "high_breaking", "post")
_CLIPPED = ("blade", "mini_blade", "large_blade", "glass")
#: No clips hold a fuse of more; ISO 8820 has none. [A]
MOST_IN_CLIPS_A = 100.0


@dataclass(frozen=True, slots=True)
class Joint:
    """One joint.

    `branch` is that of the network, `of` the wire, stud or part, `at` the end it sits at. [Ω]
    """

    branch: str
    of: str
    what: str
    at: str
    place: str
    fresh_ohm: float
    worn_ohm: float


def joints_of(job: Assessment, network: BreaksNetwork) -> Iterator[Joint]:
    """Give every joint whose own resistance is counted."""
    pieces = {piece.id: piece for piece in job.wiring.pieces()}
    for branch in network.branches:
        for item in branch.ohms:
            if item.what in ("crimps", "lugs", "joints"):
                yield from _ends(job, branch, pieces[branch.id], item)
            elif item.what.startswith("fuse"):
                yield from _clips(job, branch, item)
            elif item.what == "stud":
                yield _stud(job, branch, item)
            elif item.what == "contact":
                yield _contact(job, branch, item)


def _joint(
    job: Assessment, branch: Branch, of: str, kind: str, where: tuple[str, str, str], fresh: float
) -> Joint:
    what, at, place = where
    typed = getattr(job.plan.basis.aged, kind, None)
    worn = typed.high if isinstance(typed, Quantity) else bands.worn_ohm(kind)
    return Joint(branch.id, of, what, at, place, fresh, max(worn, fresh))


def _stud(job: Assessment, branch: Branch, item: Ohm) -> Joint:
    """Return the joint of a stud; one that stands for a return by the body belongs to its wire."""
    of, at = item.owner, item.owner
    if of not in job.plan.studs:
        of, at = of.partition("@")[0], BODY
    wire = job.wires.get(of)
    place = place_of(job.wiring, of) or (wire.places[0] if wire is not None and wire.places else "")
    return _joint(job, branch, of, "stud", ("stud", at, place), item.ohm)


def _ends(job: Assessment, branch: Branch, piece: Piece, item: Ohm) -> Iterator[Joint]:
    """Give the joints at the two ends of a piece of wire."""
    wire = job.wires[piece.id]
    kind = "lug" if (wire.area_mm2 or 0.0) >= LUG_FROM_MM2 else "crimp"
    joints = job.wiring.runs[piece.run].run.joints
    fresh = item.ohm / 2.0
    if isinstance(joints, Joints):
        fresh = joints.each.high if joints.each is not None else bands.contact(kind)[1]
    for point, text in ((piece.a, piece.a_text), (piece.b, piece.b_text)):
        where = (kind, text or point, place_of(job.wiring, point) or "")
        yield _joint(job, branch, piece.id, kind, where, fresh)


def _clips(job: Assessment, branch: Branch, item: Ohm) -> Iterator[Joint]:
    wire = job.wires.get(item.owner)
    if wire is not None:
        fuses = [one for one in wire.fuses if branch.kind == "wire" or one.at == branch.id]
    else:
        fuses = [one for box, one in job.main_fuses.items() if box == item.owner]
    rated = [one for one in fuses if one.rating_a is not None]
    fuse = next((one for one in rated if item.what == f"fuse {one.rating_a:g} A"), None)
    known = fuse.kind or bands.usual_fuse_kind(fuse.rating_a) if fuse is not None else ""
    large = fuse is not None and (fuse.rating_a or 0.0) > MOST_IN_CLIPS_A
    kind = "lug" if known in _SCREWED or large else "clip" if known in _CLIPPED else ""
    if fuse is not None and kind:
        point = branch.a if branch.kind == "wire" else branch.b
        place = place_of(job.wiring, point) or ""
        what = "fuse clips" if kind == "clip" else "fuse screws"
        fresh = bands.contact(kind)[1]
        yield _joint(job, branch, item.owner, kind, (what, fuse.at, place), fresh)


def _contact(job: Assessment, branch: Branch, item: Ohm) -> Joint:
    part = job.wiring.parts[branch.owner]
    kind = bands.contact_name(part.kind)
    at = branch.b.rstrip("<>") if part.kind in ("plug", "control_panel") else branch.owner
    what = "pin" if kind == "pin" else "contact"
    where = (what, at, place_of(job.wiring, branch.a) or "")
    return _joint(job, branch, branch.owner, kind, where, item.ohm)


__all__ = ["Joint", "joints_of"]
