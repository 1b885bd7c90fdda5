"""What IEC 60445 says of colours that protective earth needs for itself.

The wording of the standard was not seen; both rules are quoted alike by public pages.

Source: IEC 60445.
"""

from __future__ import annotations

from loomwright.source import Source

#: Green-yellow marks protective conductors and nothing else.
RESERVED_SOURCE = Source(
    work="IEC 60445", place="green-yellow for protective conductors only", checked="published, second hand"
)
#: Green alone and yellow alone only where nobody can take the wire for protective earth.
SINGLE_SOURCE = Source(
    work="IEC 60445",
    place="green or yellow alone where no confusion with protective earth is likely",
    checked="published, second hand",
)
#: Colours that may be taken for protective earth.
NEAR_PROTECTIVE = ("GN", "YE")
