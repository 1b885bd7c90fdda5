"""How much the boxes say and how close they stand: from a sheet of few things to a full one. [mm]"""

from __future__ import annotations

from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """How much a box says and how close things stand; the sheet takes the first level at which all fits.

    Attributes
    ----------
    widths : tuple of float
        Of the boxes in each of the five fields.
    bar, bar_words : float
        Width of a fuse box or bar, and most room for the words above it.
    title, text : float
        Type sizes.
    lines : int
        Most lines below the title of a box.
    row : int
        Lines in the box of a thing that is used; 0: a line of a list.
    row_height, row_gap, gap : float
        Of those boxes, between them, and between all other boxes.
    pitch, link : float
        Between lines with labels at one box, and of a line between two boxes of one column.
    reserve : bool
        Keep the room below for the energy of a day.
    air : float
        Further room between boxes that are no bars, where the field has room to spare.
    edge : float
        From the first and last line at a box to its corners.
    """

    widths: tuple[float, float, float, float, float]
    bar: float
    bar_words: float
    title: float
    text: float
    lines: int
    row: int
    row_height: float
    row_gap: float
    gap: float
    pitch: float
    link: float
    reserve: bool = True
    air: float = 0.0
    edge: float = 2.2


_WIDE, _MIDDLE, _SLIM, _NARROW, _LEAN = (
    (42.0, 40.0, 34.0, 36.0, 58.0), (38.0, 36.0, 29.0, 31.0, 57.0), (32.0, 31.0, 25.0, 27.0, 56.0),
    (28.0, 27.0, 23.0, 24.0, 54.0), (22.0, 22.0, 20.0, 20.0, 52.0),
)  # fmt: skip
_AIRY = Level(widths=_WIDE, bar=6, bar_words=26, title=3.6, text=3.0, lines=4, row=3, row_height=15.0,
              row_gap=11.0, gap=11.0, pitch=9.0, link=17.0)  # fmt: skip
_TALL = replace(_AIRY, row_gap=5.0, gap=8.0, link=14.0)
_TWO = replace(_AIRY, title=3.4, text=2.9, lines=3, row=2, row_height=9.8, row_gap=3.8, gap=6.0, link=12.0)
_CLOSE = replace(_TWO, row_gap=2.6, lines=2, gap=5.0, pitch=7.0, link=10.0, reserve=False)
_ONE = replace(_CLOSE, title=3.0, text=2.8, row=1, row_height=4.6, gap=4.0, pitch=5.0, link=8.0)
_LIST = replace(
    _ONE, title=2.9, text=2.7, lines=1, row=0, row_height=3.6, row_gap=0.0, gap=3.0, pitch=3.6, link=7.0
)
_DENSE = replace(
    _LIST, title=2.6, text=2.5, lines=0, row_height=3.12, gap=2.6, pitch=3.12, link=6.5, edge=1.3
)
#: Further room between boxes, tried where the field has room to spare; the last that costs nothing is taken.
AIRS = (4.0, 8.0, 12.0, 16.0, 20.0)
#: What rows of one line are wider by, where it fits.
_LONG = 26.0
_WIDTHS = ((_WIDE, 26.0), (_MIDDLE, 20.0), (_SLIM, 16.0), (_NARROW, 15.0), (_LEAN, 12.0))
#: From roomy to dense; each with boxes ever slimmer, those of one line each at last with shorter rows.
LEVELS = tuple(
    replace(level, widths=(*widths[:4], widths[4] + longer), bar_words=words)
    for level in (_AIRY, _TALL, _TWO, replace(_TWO, reserve=False), _CLOSE, _ONE, _LIST, _DENSE)
    for longer in ((0.0,) if level.row > 1 else (_LONG, 0.0) if level.row else (_LONG, 7.0))
    for widths, words in _WIDTHS
)
#: So many of the last levels set what is used as lists.
DENSE_STEPS = sum(level.row == 0 for level in LEVELS)
