"""Colours, line widths and dash patterns of all sheets.

A colour is named by its token; the day set is for paper, PDF and DXF, the evening set only for the
screen. Wires keep their own colours in both and carry an outline for contrast.

Sources: letters of wire colours after IEC 60757:2021 (from memory); the shades are ours. Contrast is
held to WCAG 2.1, 1.4.3 and 1.4.11 (4.5:1 for text, 3:1 for graphics) by a test.
"""

from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

Token = Literal[
    "paper", "slip", "board", "tint",
    "ink", "grey", "rule", "accent", "on_accent", "mark",
    "band", "sun", "use", "danger", "danger_ring", "on_danger", "danger_text", "wire_outline",
    "BK", "BN", "RD", "OG", "YE", "GN", "BU", "VT", "GY", "WH", "PK", "TQ",
]  # fmt: skip

_DAY: dict[Token, str] = {
    "paper": "#FDFCF8", "slip": "#FFFFFF", "board": "#E3E0D7", "tint": "#EFEDE6",
    "ink": "#1B2127", "grey": "#59626B", "rule": "#737A81",
    "accent": "#0B5A66", "on_accent": "#FFFFFF", "mark": "#BFE3E2", "band": "#DEDEDB",
    "sun": "#EFE3B0", "use": "#E6E2D6",
    "danger": "#A8121B", "danger_ring": "#A8121B", "on_danger": "#FFFFFF", "danger_text": "#A8121B",
    "wire_outline": "#1B2127",
}  # fmt: skip

_EVENING: dict[Token, str] = {
    "paper": "#1E2327", "slip": "#262C31", "board": "#121517", "tint": "#2D343A",
    "ink": "#ECE8DE", "grey": "#A9B0B6", "rule": "#7C858C",
    "accent": "#7CC7D0", "on_accent": "#0E2225", "mark": "#1B464C", "band": "#3D4142",
    "sun": "#55491F", "use": "#403A2E",
    "danger": "#D2363D", "danger_ring": "#ECE8DE", "on_danger": "#FFFFFF", "danger_text": "#FF9A94",
    "wire_outline": "#8C949B",
}  # fmt: skip

#: Colour letters of wires; the same shade by day and in the evening.
WIRE_COLOURS: MappingProxyType[Token, str] = MappingProxyType({
    "BK": "#17191C", "BN": "#7C4A22", "RD": "#CE2420", "OG": "#EC7A12", "YE": "#F6CF1E", "GN": "#2E8B3D",
    "BU": "#2563C4", "VT": "#7C3FA3", "GY": "#8A9299", "WH": "#FFFFFF", "PK": "#F29AB8", "TQ": "#1FA7A0",
})  # fmt: skip

#: Token -> "#RRGGBB".
DAY: MappingProxyType[Token, str] = MappingProxyType({**_DAY, **WIRE_COLOURS})
EVENING: MappingProxyType[Token, str] = MappingProxyType({**_EVENING, **WIRE_COLOURS})

#: Outline on each side of a wire's core. [mm]
WIRE_OUTLINE_MM = 0.18
#: Bands of the second colour: drawn and left out, along the wire. [mm]
SECOND_COLOUR_DASH_MM = (2.0, 4.0)
#: The same for green and yellow, the colours of protective earth.
EARTH_DASH_MM = (2.0, 2.0)


@dataclass(frozen=True, slots=True)
class Pen:
    """A line: its colour, width and dash pattern (drawn, left out, ...). [mm]"""

    ink: Token
    width: float
    dash: tuple[float, ...] = ()


SYMBOL = Pen("ink", 0.35)
MOVING_CONTACT = Pen("ink", 0.5)
LINKAGE = Pen("ink", 0.25, (1.4, 1.0))
LEADER = Pen("ink", 0.25)
RAIL = Pen("ink", 1.0)
BUSBAR = Pen("ink", 1.4)
FRAME = Pen("ink", 0.7)
FIELD = Pen("ink", 0.35)
UNIT = Pen("ink", 0.5)
THIN = Pen("ink", 0.18)
#: Strokes of a pattern on a band.
PATTERN = Pen("rule", 0.4)
PLACE = Pen("grey", 0.25, (4.0, 1.0, 0.6, 1.0))
PLANNED = Pen("ink", 0.35, (1.6, 1.2))
EDGE = Pen("danger", 0.6)
MISSING = Pen("danger", 0.6, (1.4, 0.9))

#: Core of a vehicle maker's own cable, drawn in plain ink. [mm]
FACTORY_CORE_MM = 0.7


def core_width_mm(area_mm2: float, ratio: float = 1.0) -> float:
    """Return how wide to draw a conductor of `area_mm2`; `ratio` is one per sheet.

    Four steps, so that the eye reads "heavy": up to 1.5 mm², up to 6, up to 35, above.
    """
    steps = ((1.5, 0.7), (6.0, 1.0), (35.0, 2.0))
    return ratio * next((core for largest, core in steps if area_mm2 <= largest), 3.0)
