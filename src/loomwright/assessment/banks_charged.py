"""How the batteries of a bank share what a charger gives: by their inner resistances and their links."""

from __future__ import annotations

from .joined import banks
from .record import Assessment


def charge_share(job: Assessment, battery: str, charger: str) -> float:
    """Return the part of a charger's current that goes into one battery of a bank; 1 for one by itself.

    Parameters
    ----------
    job : Assessment
        The plan worked out.
    battery : str
        The battery.
    charger : str
        A charger, or a second output of one ("regulator.second").

    Returns
    -------
    float
        Where nothing leads from that charger to the bank as the contacts stand, 1.
    """
    if not any(battery in bank for bank in banks(job.wiring, job.standing.closed)):
        return 1.0
    net = job.under_load.net
    ports = [
        k for k, port in enumerate(net.ports) if port.kind == "output" and charger in (port.id, port.part)
    ]
    rows = [k for k, source in enumerate(net.sources) if source.id == battery]
    if not ports or not rows or not net.reduced.reached[ports[0]]:
        return 1.0
    share = abs(float(net.reduced.source_share[rows[0], ports[0]]))
    return share if share > 0.0 else 1.0


__all__ = ["charge_share"]
