"""How warm it is in and about a van that is lived in, where a plan does not say.

Common practice; `rooms` of a season and the temperatures of the site are better.
"""

from __future__ import annotations

from loomwright.source import Source

LIVING_SOURCE = Source(
    work="common practice", place="how warm people keep a van; the day's swing of the air",
    checked="common practice",
)  # fmt: skip
#: Where people live. [°C]
ROOM_C = 18.0
#: Between the day's low and its high, where only one figure of the air is known. [°C]
USUAL_SWING_C = 8.0
