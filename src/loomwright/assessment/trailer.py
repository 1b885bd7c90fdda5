"""The socket for a trailer: by which contact each of its feeds comes back, and what a trailer draws.

Contacts 9 and 10 feed the trailer, at all times and with the ignition, each with an earth of its own; all
others come back by contact 3. A feed whose own earth has no wire comes back by another that has one.

Source: ISO 11446-1 (contact allocation; published, second hand). ISO 1724 has the same contact 3.
"""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.plan.kinds import terminals
from loomwright.plan.pieces import Wiring
from loomwright.source import Source

#: The contacts that feed a trailer, and the earth of each.
OWN_EARTH = {"9": "13", "10": "11"}
#: The contact that is live with the ignition only.
WITH_IGNITION = "10"
TRAILER_SOURCE = Source(
    work="common practice",
    place="trailer: 5 m of 2.5 mm² twice, its battery",
    checked="common practice",
)
#: Inside a trailer, from its plug to its battery and back. [Ω]
TRAILER_OHM = 0.1
#: The earth of all lamps.
COMMON_EARTH = "3"


def earth_of(wiring: Wiring, socket: str, contact: str) -> str:
    """Return the point by which what a contact feeds comes back; its own earth where none has a wire."""
    pins = terminals(wiring.parts[socket])
    own = OWN_EARTH.get(contact, COMMON_EARTH)
    earths = [f"{socket}.{pin}" for pin in (own, COMMON_EARTH, *OWN_EARTH.values()) if pin in pins]
    return next((point for point in earths if point in wiring.by_point), f"{socket}.{own}")


def trailer_feeds(wiring: Wiring, socket: str) -> Iterator[tuple[str, str]]:
    """Give the wired contacts by which a trailer is fed, each with the point that it comes back by."""
    for contact in OWN_EARTH:
        if f"{socket}.{contact}" in wiring.by_point:
            yield f"{socket}.{contact}", earth_of(wiring, socket, contact)


def trailer_draws(wiring: Wiring) -> Iterator[str]:
    """Give the contacts at which the plan says that a trailer draws."""
    for id, part in wiring.parts.items():
        if part.kind == "tow_socket":
            yield from (f"{id}.{contact}" for contact in part.draws or ())


__all__ = ["TRAILER_OHM", "WITH_IGNITION", "earth_of", "trailer_draws", "trailer_feeds"]
