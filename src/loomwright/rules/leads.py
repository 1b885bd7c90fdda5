"""The rule on the leads that parts come with: the fuse before them guards those too."""

from __future__ import annotations

from collections.abc import Iterator

from .finding import Finding, Severity
from .registry import Job, rule


@rule(
    worst="fault",
    asks="Does each fuse guard the thin leads behind it too?",
    why="The tail of a lamp is thinner than the wire to it; a short inside the lamp heats the tail first.",
)
def fuse_above_lead_rating(job: Job) -> Iterator[Finding]:
    limit = job.limits.fuse_over_cable
    for lead in job.assessment.leads:
        fuse_a = lead.fuse.rating_a or 0.0
        severity: Severity | None = limit.level(fuse_a / max(lead.rating_a, 1e-9))
        if severity is not None:
            yield Finding(
                rule="fuse_above_lead_rating",
                severity=severity,
                where=lead.part,
                also=(lead.run,),
                place=job.place(lead.part),
                value=fuse_a,
                limit=lead.rating_a,
                unit="A",
                says=f"{fuse_a:g} A fuse at {lead.fuse.at} before the {lead.area_mm2:g} mm² lead of "
                f"{job.name(lead.part)}, which is good for {lead.rating_a:.3g} A",
                do="fit a smaller fuse if it carries the loads, or a small one of its own at the part",
                source=limit.source,
            )
