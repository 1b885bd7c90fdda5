"""Names of spots and words of bands, set beside them where there is room."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from loomwright.drawing.geometry import Point, cut_out, length_along
from loomwright.drawing.scene import Band, Drawn, Link, Text

from .bands import Said
from .paper import Paper

_SIZE = 2.6
#: How far beside its spot a name may stand; shorter bands bear no word. [mm]
_FAR, _LEAST_WORDED = (2.2, 3.0, 4.4, 6.0), 7.0
#: Where along a band its word is tried.
_SHARES = (0.5, 0.25, 0.75)


def set_names(paper: Paper, wanted: Iterable[tuple[Point, str, Link]]) -> Iterator[Drawn]:
    """Yield names beside their spots; one without room is left out.

    Parameters
    ----------
    paper : Paper
        Gets what is set.
    wanted : iterable of (Point, str, Link)
    """
    for at, text, of in wanted:
        yield from _named(paper, at, text, of)


def set_words(paper: Paper, lines: Iterable[tuple[Band, Said]]) -> Iterator[Drawn]:
    """Yield the figure or word of bands beside them, once for each wire and word."""
    said: set[tuple[str, str]] = set()
    for band, one in lines:
        long = length_along(band.points)
        if (one.wire, one.text) in said or long < _LEAST_WORDED:
            continue
        for share in _SHARES:
            at = cut_out(band.points, 0.0, share * long)[-1]
            texts = list(_named(paper, at, f"{one.wire} {one.text}", Link("wire", one.wire), band.half_width))
            if texts:
                said.add((one.wire, one.text))
                yield from texts
                break


def _named(paper: Paper, at: Point, text: str, of: Link, off: float = 0.0) -> Iterator[Drawn]:
    """Yield a short text beside a spot, if there is room."""
    box = Text((0.0, 0.0), text, _SIZE, 500, "middle").box()
    middle = paper.near(at, box.width + 1.2, box.height + 0.8, [off + far for far in _FAR])
    if middle is not None:
        x, y = middle[0] - box.centre[0], middle[1] - box.centre[1]
        placed = Text((x, y), text, _SIZE, 500, "middle", of=of)
        paper.add([placed])
        yield placed


__all__ = ["set_names", "set_words"]
