"""Text on a sheet: which letters we have, how wide they run, how a long text is made to fit.

Widths are plain sums of advance widths, because the faces that ship with the package carry no kerning
and no ligatures; every writer thus sets a text exactly as wide as it was measured. A letter that the
faces lack counts `UNKNOWN_WIDTH_EM`: SVG holds it to that width, PDF and DXF show □ in its place.

Source: the measures are read out of the font files by `tools/make_fonts.py`.
"""

import csv
import re
import unicodedata
from functools import cache, lru_cache
from importlib.resources import files
from typing import Literal

Weight = Literal[400, 500, 600]

#: Advance width that stands in for a letter the faces lack. [em]
UNKNOWN_WIDTH_EM = 1.0
#: Lowest and highest point assumed for such a letter, those of Latin letters. [em]
UNKNOWN_REACH_EM = (-0.22, 0.78)
#: Height of capitals and figures above the base line. [em]
CAP_HEIGHT_EM = 0.698
#: Stands for a letter that cannot be shown. Not U+FFFD, which a tagged PDF may not hold as text.
REPLACEMENT = "□"
#: A label is measured in several forms and places: so many texts are remembered, cleaned and measured.
_TEXTS_KEPT = 16384

#: Invisible letters that are dropped: joiners, soft hyphen, byte order mark, variation selectors.
_INVISIBLE = {0x00AD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, *range(0xFE00, 0xFE10)}
#: Signs that would turn the direction of what follows; shown as a replacement sign, never obeyed.
_DIRECTION = {0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)}
_UNIT_FOLLOWS = re.compile(r"\d (?:[mk]?[AVWΩ]|Ah|Wh|Wp|mm²?|m|ms|s|min|h|°C|K|kg|l|Hz|%)(?![\w²])")
#: Signs replaced by a letter that the faces hold and that reads the same.
_SAME_READING = str.maketrans(
    {"\ufffd": "□", "⌀": "Ø", "∆": "Δ", "\u03bc": "µ", "\u2009": " ", "\u202f": " ", "\xa0": " "}
)


@lru_cache(maxsize=_TEXTS_KEPT)
def clean(text: str) -> str:
    """Return `text` as one line that any writer can take.

    Control letters, lone surrogates and direction signs become □, invisible letters go, runs of
    blanks become one blank, accents are joined to their letters.

    Examples
    --------
    >>> clean("pump \\x00 2\\n")
    'pump □ 2'
    """
    if text.isascii() and text.isprintable() and "  " not in text:
        return text.strip()
    text = unicodedata.normalize("NFC", text).translate(_SAME_READING)
    return " ".join("".join(_plain(letter) for letter in text).split())


def _plain(letter: str) -> str:
    code = ord(letter)
    if code in _INVISIBLE:
        return ""
    if letter.isspace() and letter not in "\x1c\x1d\x1e\x1f\x85":
        return " "
    unfit = unicodedata.category(letter) in ("Cc", "Cs") or code in _DIRECTION or code & 0xFFFE == 0xFFFE
    return REPLACEMENT if unfit else letter


@cache
def _measures() -> dict[str, dict[str, tuple[int, int, int]]]:
    """Return face -> letter -> (advance, lowest, highest point), in 1/1000 em."""
    table = files("loomwright.drawing").joinpath("fonts/measures.csv").read_text(encoding="ascii")
    head, *rows = csv.reader(table.splitlines())
    return {
        name.partition("_")[0]: {
            chr(int(row[0])): (int(row[column]), int(row[column + 1]), int(row[column + 2]))
            for row in rows
            if row[column]
        }
        for column, name in enumerate(head)
        if name.endswith("_advance_per_mille")
    }


def _face(weight: Weight, mono: bool) -> dict[str, tuple[int, int, int]]:
    return _measures()["mono400" if mono else f"sans{weight}"]


@lru_cache(maxsize=_TEXTS_KEPT)
def _measured(text: str, weight: Weight, mono: bool) -> tuple[float, float, float]:
    """Return width, lowest and highest point of a text once it is clean. [em]"""
    face = _face(weight, mono)
    unknown = (UNKNOWN_WIDTH_EM * 1000, UNKNOWN_REACH_EM[0] * 1000, UNKNOWN_REACH_EM[1] * 1000)
    letters = [face.get(letter, unknown) for letter in clean(text)] or [(0, 0, 0)]
    width, low, high = zip(*letters, strict=True)
    return sum(width) / 1000, min(low) / 1000, max(high) / 1000


def text_width_mm(text: str, size_mm: float, weight: Weight = 400, mono: bool = False) -> float:
    """Return how wide a text runs.

    Parameters
    ----------
    text : str
        One line.
    size_mm : float
        Type size, the em. [mm]
    weight : Weight
        400, 500 or 600; the mono face has 400 only and ignores it.
    mono : bool
        Take the mono face.

    Returns
    -------
    float
        Sum of the advance widths. [mm]
    """
    return _measured(text, weight, mono)[0] * size_mm


def text_reach_mm(text: str, size_mm: float, weight: Weight = 400, mono: bool = False) -> tuple[float, float]:
    """Return how far a text reaches above and below its base line, as two positive lengths. [mm]"""
    return text_extent_mm(text, size_mm, weight, mono)[1:]


def text_extent_mm(
    text: str, size_mm: float, weight: Weight = 400, mono: bool = False
) -> tuple[float, float, float]:
    """Return how wide a text runs, and how far it reaches above and below its base line. [mm]"""
    width, low, high = _measured(text, weight, mono)
    return width * size_mm, high * size_mm, -low * size_mm


def all_letters_held(text: str, weight: Weight = 400, mono: bool = False) -> bool:
    """Say whether the face holds every letter of a text."""
    return all(letter in _face(weight, mono) for letter in text)


def with_held_letters(text: str, weight: Weight = 400, mono: bool = False) -> str:
    """Return the text with □ in place of each letter that the face lacks."""
    face = _face(weight, mono)
    return "".join(letter if letter in face else REPLACEMENT for letter in text)


def shorten(text: str, width_mm: float, size_mm: float, weight: Weight = 400, mono: bool = False) -> str:
    """Return the text, cut and ended by "…" if it runs wider than `width_mm`.

    Raises
    ------
    ValueError
        Not even "…" fits.

    Examples
    --------
    >>> shorten("left post, roof left, rear roof rib", 20.0, 2.9)
    'left post, roof l…'
    """
    text = clean(text)
    if text_width_mm(text, size_mm, weight, mono) <= width_mm:
        return text
    room = width_mm - text_width_mm("…", size_mm, weight, mono)
    if room < 0:
        raise ValueError(f"no text fits {width_mm:.2f} mm at size {size_mm:g} mm")
    return text[: _letters_that_fit(text, room, size_mm, weight, mono)].rstrip() + "…"


@lru_cache(maxsize=_TEXTS_KEPT)
def _letters_that_fit(text: str, width_mm: float, size_mm: float, weight: Weight, mono: bool) -> int:
    face, room = _face(weight, mono), width_mm / size_mm * 1000
    for count, letter in enumerate(text):
        room -= face[letter][0] if letter in face else UNKNOWN_WIDTH_EM * 1000
        if room < 0:
            return count
    return len(text)


def wrap(
    text: str, width_mm: float, size_mm: float, weight: Weight = 400, *, most_lines: int = 99
) -> tuple[str, ...]:
    """Return a text broken into lines no wider than `width_mm`.

    Breaks at blanks, but not between a figure and its unit; a word wider than a line breaks after "_",
    "-", "/", "." or "," if it has one in the part that fits, else between letters. What does not fit
    `most_lines` ends in "…".
    """
    lines: list[str] = []
    rest = clean(text)
    while rest and len(lines) < most_lines:
        if len(lines) == most_lines - 1:
            return (*lines, shorten(rest, width_mm, size_mm, weight))
        end = _letters_that_fit(rest, width_mm, size_mm, weight, mono=False)
        if end < len(rest):
            end = _break_before(rest, max(end, 1))
        lines.append(rest[:end].rstrip())
        rest = rest[end:].lstrip()
    return tuple(lines)


def _break_before(text: str, end: int) -> int:
    """Return where to break a text of which `end` letters fit."""
    blank = text.rfind(" ", 0, end + 1)
    while blank > 0 and _UNIT_FOLLOWS.match(text, blank - 1):
        blank = text.rfind(" ", 0, blank)
    if blank > 0:
        return blank
    joint = max(text.rfind(mark, 0, end) for mark in "_-/.,")
    return joint + 1 if joint > 0 else end
