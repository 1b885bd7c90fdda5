"""Labels of the main paths: wire, colour and size, fuse, current; less where there is less room."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.assessment.ends import label_of
from loomwright.assessment.record import Assessment
from loomwright.diagrams.common import size
from loomwright.drawing.lettering import shorten
from loomwright.drawing.scene import Drawn, Link, Wire

from .layout import Layout, Strand
from .levels import Level
from .marks import Paper, Words, place_label
from .things import USED, Graph
from .words import current_words, fuse_words, wire_words

#: What it costs, in steps of density, if a label tells neither fuse nor current, or is not there at all.
_SHORT, _NONE = 3.0, 8.0


def place_labels(
    layout: Layout,
    job: Assessment,
    level: Level,
    drawn: tuple[Drawn, ...],
    paper: Paper,
    graph: Graph,
    mains: bool,
) -> tuple[list[Drawn], float, tuple[str, ...]]:
    """Place the labels of main paths; what leads to a thing that is used is told in its box.

    Returns
    -------
    tuple
        The texts, what is left untold in steps of density, and the wires without fuse or current.
    """
    wires = {item.of: item for item in drawn if isinstance(item, Wire)}
    items: list[Drawn] = []
    untold: list[str] = []
    wanting = 0.0
    for strand in layout.strands:
        told = not mains and leads_to_use(strand, graph)
        link = Link("wire", strand.wire) if strand.wire else Link("part", strand.line.start)
        if told or link not in wires:
            continue
        placed = None
        for cost, words in _label_words(strand, job, mains):
            for type_size in (2.9, 2.6):
                placed = placed or place_label(paper, wires[link], words, min(type_size, level.text))
            if placed is not None:
                wanting += cost
                items += placed
                for item in placed:
                    paper.show(item.box(), strand.wire or strand.line.start)
                if cost >= _SHORT:
                    untold.append(strand.wire)
                break
        else:
            wanting += _NONE
            untold.append(strand.wire)
    return items, wanting, tuple(untold)


def _label_words(strand: Strand, job: Assessment, mains: bool) -> Iterator[tuple[float, list[Words]]]:
    """Yield what a label may say and what is lost by it, all of it first."""
    line, name = strand.line, shorten(label_of(job, strand.wire), 26.0, 2.9, 600)
    figure = job.wires.get(strand.wire)
    if mains or not strand.wire or line.control or figure is None or figure.factory:
        yield from (
            (0.0 if place == 0 else 0.4, words)
            for place, words in enumerate(_plain_words(strand, job, mains))
        )
        return
    full = wire_words(strand.wire, job)
    fuse, current = fuse_words(line, job), current_words(line, job)
    both = " · ".join(text for text in (fuse, current) if text)
    bold, small, grey = Words(f"{name} {full}".strip(), 600), Words(fuse), Words(current, grey=True)
    yield 0.0, [bold, Words(both)]
    yield 0.0, [bold, small, grey]
    yield 0.1, [Words(name, 600), Words(full, 500), small, grey]
    yield 1.0, [bold, small]
    yield 1.0, [Words(name, 600), Words(full, 500), small]
    yield _SHORT, [Words(name, 600), Words(full, 500)]
    yield _SHORT + 0.5, [Words(name, 600)]


def _plain_words(strand: Strand, job: Assessment, mains: bool) -> Iterator[list[Words]]:
    """Yield the words of control lines, of the maker's own cables and of the mains."""
    label = label_of(job, strand.wire)
    line, name = strand.line, Words(shorten(label, 26.0, 2.9, 600), 600)
    if mains:
        figure = job.wires.get(strand.wire)
        area = "" if figure is None or figure.area_mm2 is None else f"{size(figure)} mm²"
        yield [Words(f"{label} {area}".strip() if strand.wire else "plugged", grey=True)]
        yield [Words(label, grey=True)]
    elif not strand.wire:
        yield [Words("factory cable", grey=True)]
        yield [Words("factory", grey=True)]
    elif line.control:
        further = len(line.wires) - 1
        cores = f"and {further} more core{'s' if further > 1 else ''}" if further else ""
        yield [name, Words(cores, grey=True)]
        yield [name]
    else:
        yield [name, Words("factory cable", grey=True)]
        yield [name]


def leads_to_use(strand: Strand, graph: Graph) -> bool:
    """Say whether a wire leads to what is used and is no control line."""
    return graph.things[strand.line.tips[0].thing].field == USED and not strand.line.control
