"""Changes at cuts, and at what hangs on the vehicle's lamp circuits and on the socket of its trailer."""

from __future__ import annotations

from collections.abc import Iterator

from loomwright.plan.edit import Edit
from loomwright.plan.values import Limit, Quantity
from loomwright.rules.finding import Finding

from .candidate import Base, Candidate, change

#: A cut is usually set to wait so long. Common practice. [s]
_WAITS_S = (30, 60, 90)


def cut_waits(base: Base, finding: Finding) -> Iterator[Candidate]:
    """Give the cut with a delay that outlasts the start."""
    part = base.assessment.wiring.parts.get(finding.where)
    starts = [one.start_s or 0.0 for one in base.assessment.circuits.values() if one.load in finding.also]
    if part is None or not isinstance(part.cut_out, Limit):
        return
    at = f"parts.{finding.where.replace('/', '.inside.parts.')}"
    for seconds in (one for one in _WAITS_S if one > max(starts, default=0.0)):
        edit = Edit(f"{at}.delay", f"{seconds} s")
        volts = part.cut_out.volts
        if part.cut_out.for_s is not None and isinstance(volts, Quantity):
            edit = Edit(f"{at}.cut_out", f"{volts.typed} for {seconds} s")
        yield change(f"{base.job.name(finding.where)} set to wait {seconds} s", edit)


__all__ = ["cut_waits"]
