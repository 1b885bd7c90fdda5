"""What happens to the rest of a plan when an entry is taken out of it, in plain words."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from loomwright.plan.changes.falling import Falling
from loomwright.plan.changes.references import Path, Reference
from loomwright.plan.changes.saying import Said, listed, the
from loomwright.plan.changes.shape import step_of, value_at
from loomwright.plan.kinds import states
from loomwright.plan.model import Plan

_TOO = ("goes too.", "go too.")
_ABOUT = ("is about it and goes too.", "are about it and go too.")
_NO_RETURN = ("returned to it and has no return now.", "returned to it and have no return now.")
_ON_BODY = ("ends on the bare body now; no stud is named.", "end on the bare body now; no stud is named.")
_FROM_BODY = (
    "begins on the bare body now; no stud is named.",
    "begin on the bare body now; no stud is named.",
)
_FUSE_MOVES = ("moves to the beginning of the run.", "move to the beginning of their runs.")
_ALIKE = (
    "was like it; what it had of it is written out there.",
    "were like it; what they had of it is written out there.",
)
#: What a part says no longer, by the field that goes; of one part, and of several.
_OF_PARTS: Mapping[str, tuple[str, str]] = {
    "place": ("has no place now.", "have no place now."),
    "charges": ("no longer says which battery it charges.", "no longer say which battery they charge."),
    "plugged": ("is no longer plugged in there: any socket.", "are no longer plugged in there: any socket."),
    "off_while": ("is no longer held off by it.", "are no longer held off by it."),
    "priority": ("no longer drops it.", "no longer drop it."),
    "includes": (
        "no longer includes it; look at its figure.",
        "no longer include it; look at their figures.",
    ),
}


def consequences(plan: Plan, falling: Falling) -> list[str]:
    """Return a sentence for each thing that goes or changes, but for the runs of the van that go.

    Parameters
    ----------
    plan : Plan
        Before.
    falling : Falling
        What is taken out of it.
    """
    teller = _Teller(plan, falling)
    for path in falling.dead[1:]:
        teller.entry(path)
    for path, by in falling.gone.items():
        if by is not None and path[0] != "labels" and not falling.is_dead(path):
            teller.loss(path, by)
    for path, value in falling.instead.items():
        if not falling.is_dead(path):
            teller.change(path, value)
    return teller.said.sentences()


class _Teller:
    """Says what goes and what changes."""

    def __init__(self, plan: Plan, falling: Falling) -> None:
        self.plan, self.falling, self.said = plan, falling, Said()

    def entry(self, path: Path) -> None:
        """Say that an entry goes too."""
        section, id = path[-2], str(path[-1])
        if section == "promises":
            self.said.add(f"promise {id}", *_ABOUT)
        elif section == "accepted":
            self.said.add(f"what was accepted of {value_at(self.falling.data, (*path, 'where'))}", *_TOO)
        elif len(path) > 2:
            self.said.add(f"{path[1]}/{id}", *_TOO)
        elif section != "wiring":
            self.said.add(_dotted(path), *_TOO)

    def loss(self, path: Path, by: Reference) -> None:
        """Say that something goes out of an entry that stays."""
        step, key = step_of(path), str(path[1])
        if path[0] == "wiring":
            self._of_run(path, key, by)
        elif path[0] == "modes":
            self._of_mode(path, key, step.field)
        elif step.record == "Part" and step.field in _OF_PARTS and len(path) <= 4:
            self.said.add(the(self.plan, key), *_OF_PARTS[step.field])
        elif step.field == "along":
            self.said.add(f"path {key}", "no longer runs past it.", "no longer run past it.")
        elif step.record == "Cargo":
            self.said.add(key, *_OF_PARTS["place"])
        elif step.field == "leaves":
            stays = "that it stays live."
            self.said.add(f"promise {key}", f"no longer says {stays}", f"no longer say {stays}")
        elif step.record == "Stud":
            self.said.add(f"the figure measured to it from {key}", *_TOO)
        else:
            self.said.add(_dotted(path), *_TOO)

    def _of_run(self, path: Path, key: str, by: Reference) -> None:
        step = step_of(path)
        if step.record == "FuseEntry":
            self.said.add(f"the fuse of {key} beside it", *_FUSE_MOVES)
        elif step.field == "fuse":
            self.said.add(f"the fuse of {key} beside it", *_TOO)
        elif step.field == "through":
            self._passed(key, by, "return" in path)
        elif step.field == "via":
            self.said.add(key, f"no longer lies in {by.id}.", f"no longer lie in {by.id}.")
        elif step.field == "return" or step.record == "Return":
            self.said.add(key, *_NO_RETURN)
        else:
            ends = [end.id for end in self.plan.wiring[key].to if end.id != by.id]
            left = listed([the(self.plan, id) for id in ends if ("parts", id) not in self.falling.dead])
            self.said.add(key, f"feeds only {left} now.", f"feed only {left} now.")

    def _passed(self, key: str, by: Reference, back: bool) -> None:
        """Say that a run goes straight on, and whether something could open it before."""
        part = self.plan.parts.get(by.id) if not by.scope else None
        opens = "; nothing opens it there" if part is not None and states(part) else ""
        subject = f"the return of {key}" if back else key
        says = f"passed through {by.id} and {{}} straight on now{opens}."
        self.said.add(subject, says.format("goes"), says.format("go"))

    def _of_mode(self, path: Path, mode: str, field: str) -> None:
        subject = f"mode {mode}"
        if field == "switches":
            line = f"{path[3]}: that line goes."
            self.said.add(subject, f"sets {line}", f"set {line}")
        elif field in ("running", "starting"):
            verb = "run" if field == "running" else "start"
            self.said.add(subject, f"no longer {verb}s it.", f"no longer {verb} it.")
        else:
            self.said.add(_dotted(path), *_TOO)

    def change(self, path: Path, value: Any) -> None:
        """Say what is written instead."""
        step, key = step_of(path), str(path[1])
        if path[0] == "wiring":
            if step.field == "fuse":
                self.said.add(f"the fuse of {key} beside it", *_FUSE_MOVES)
            elif step.field == "return" or step.record == "Return":
                self.said.add(f"the return of {key}", *_ON_BODY)
            elif step.field in ("from", "to"):
                self.said.add(key, *(_FROM_BODY if step.field == "from" else _ON_BODY))
        elif step.field == "hook_up":
            self.said.add(f"mode {key}", "is on any supply now.", "are on any supply now.")
        elif step.field == "running":
            self.said.add(f"mode {key}", "runs nothing now.", "run nothing now.")
        elif isinstance(value, dict):
            self.said.add(str(path[-1]), *_ALIKE)
        else:
            self.said.add(_dotted(path), "names nothing now.", "name nothing now.")


def _dotted(path: Path) -> str:
    return ".".join(str(name) for name in path if isinstance(name, str))


__all__ = ["consequences"]
