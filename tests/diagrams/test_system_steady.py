"""A change of the plan moves no more of the system sheet than it has to.

A name, a size or a fuse moves nothing. A further load moves what stands lower in its column and in those that
feed it, unless the sheet has to be set denser; how often that is so is counted.
"""

import re
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import pytest

from loomwright.diagrams.system import Drawing, draw_field
from loomwright.drawing.geometry import Box
from loomwright.plan.read import read_plan
from loomwright.rules.check import check_plan
from tests.plans import random_plan

VANS = ("mossgrove", "alderford", "highcol", "amberquay", "saltpan", "planeshed")
EXAMPLES = Path(__file__).parents[2] / "examples"
SIZES = ("0.5", "0.75", "1", "1.5", "2.5", "4", "6", "10", "16", "25", "35", "50", "70", "95")
RANDOM = ((1, 12), (2, 25), (3, 40), (6, 12), (7, 12), (8, 25), (9, 40))


@cache
def plan_text(plan: str) -> str:
    """Return the text of an example van, or of a random one such as "3 40"."""
    if plan in VANS:
        return (EXAMPLES / f"{plan}.yaml").read_text("utf-8")
    seed, wires = plan.split()
    return random_plan(int(seed), int(wires))


@cache
def drawn(text: str) -> Drawing:
    return draw_field(check_plan(read_plan(text)).assessment)


def moved(before: Drawing, after: Drawing) -> dict[str, tuple[Box, Box]]:
    """Return the things whose boxes are not where they were."""
    old, new = before.main.boxes, after.main.boxes
    return {id: (box, new[id]) for id, box in old.items() if id in new and box != new[id]}


def one_by_one(text: str, pattern: str, change: Callable[[re.Match[str]], str]) -> Iterator[str]:
    """Yield the plan with each place of a pattern changed, one place at a time; four of them at most."""
    found = list(re.finditer(pattern, text))
    for match in found[:: max(1, len(found) // 4)]:
        yield text[: match.start()] + change(match) + text[match.end() :]


def next_size(match: re.Match[str]) -> str:
    return f"area: {next(size for size in SIZES if float(size) > float(match.group(1)))} mm²"


CHANGES = {
    "size": (r"area: ([\d.]+) mm²", next_size),
    "fuse": (r"fuse: ([\d.]+) A(?! bolted)", lambda match: f"fuse: {float(match.group(1)) + 1:g} A"),
    "name": (
        r"\{kind: (\w+),(?!.*name:)",
        lambda match: f"{{kind: {match.group(1)}, name: Some other words,",
    ),
}


@pytest.mark.parametrize("plan", [*VANS, "1 12", "2 25", "3 40"])
@pytest.mark.parametrize("change", CHANGES)
def test_a_name_a_size_or_a_fuse_moves_nothing(plan, change):
    before = drawn(plan_text(plan))
    for text in one_by_one(plan_text(plan), *CHANGES[change]):
        after = drawn(text)
        assert moved(before, after) == {}
        assert set(after.main.boxes) == set(before.main.boxes)


def with_load(text: str, start: str) -> str:
    """Return a plan with one more load at its end, fed from a way or bar."""
    run = f"  new_1: {{from: {start}, fuse: 5 A, to: new_lamp, area: 1 mm², length: 2 m, return: body}}"
    added = {"parts": "  new_lamp: {kind: lamp, running: 0.4 A}", "wiring": run}
    lines: list[str] = []
    section = ""
    for line in [*text.splitlines(), "end:"]:
        head = re.match(r"(\w+):", line)
        if head:
            if section in added:
                lines.append(added[section])
            section = head.group(1)
        lines.append(line)
    return "\n".join(lines[:-1]) + "\n"


def free_starts(text: str) -> list[str]:
    """Return a free way of each box, and each bar, that feed what is used already."""
    job = check_plan(read_plan(text)).assessment
    main = drawn(text).main
    feeding = {strand.line.start for strand in main.strands if set(strand.leads_to) & main.rows}
    taken = {wire.from_ for wire in job.wires.values()}
    found = []
    for id, part in job.plan.parts.items():
        if id in feeding and part.kind == "fuse_box" and isinstance(part.ways, int):
            found += [f"{id}.{way}" for way in range(1, part.ways + 1) if f"{id}.{way}" not in taken][:1]
        elif id in feeding and part.kind == "busbar":
            found.append(id)
    return found


def denser(before: Drawing, after: Drawing) -> bool:
    """Say whether a sheet is set otherwise, air between boxes included."""
    return before.level != after.level


def assert_only_lower_things_moved(before: Drawing, after: Drawing) -> None:
    new = after.main.boxes["new_lamp"]
    head = 14.0  # a bar that feeds the load begins above it, with its name
    for id, (old, now) in moved(before, after).items():
        assert (old.left, old.right) == (now.left, now.right), id
        grew = (old.top, old.bottom) != (now.top, now.bottom) and now.top == old.top
        assert grew or (now.top > old.top and old.top >= new.top - new.height - head) or grown_up(old, now), (
            id
        )


def grown_up(old: Box, now: Box) -> bool:
    """Say whether a bar became longer at its upper end by no more than the step of a row that hangs."""
    return abs(now.top - old.top) <= 1.0


@pytest.mark.parametrize("van", ["mossgrove", "highcol", "amberquay", "saltpan"])
def test_a_load_at_a_free_way_moves_what_is_lower(van):
    """Alderford and Planeshed have no free way on a box that feeds what is used."""
    starts = free_starts(plan_text(van))
    assert starts
    for start in starts:
        before, after = drawn(plan_text(van)), drawn(with_load(plan_text(van), start))
        assert not denser(before, after)
        assert_only_lower_things_moved(before, after)


def test_a_load_at_a_free_way_of_random_vans():
    """Of all that is tried no more than one in three sets the sheet denser; the others move what is lower."""
    tried = dense = 0
    for seed, wires in RANDOM:
        text = plan_text(f"{seed} {wires}")
        for start in free_starts(text):
            before, after = drawn(text), drawn(with_load(text, start))
            tried += 1
            if denser(before, after):
                dense += 1
            else:
                assert_only_lower_things_moved(before, after)
    print(f"{tried} loads added, {dense} of them set the sheet denser")
    assert tried >= 10
    assert dense <= tried / 3
