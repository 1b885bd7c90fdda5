"""Every case of a van's mains side that a person may choose, and small vans to choose them on."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from loomwright import read_text
from loomwright.assessment.assess import assess
from loomwright.assessment.mains.case import Case
from loomwright.assessment.mains.choices import choices_of, modes_of, settled
from loomwright.assessment.mains.side import MainsSide
from loomwright.assessment.mains.tried import Tried, tried

#: What is out of order before, with the fault that tells it.
TELLING = {"post_earth": "case", "post_neutral": "none", "rcd": "case", "bond": "chafed"}


def every_case(side: MainsSide, missing: str | None = None) -> Iterator[Case]:
    """Give all modes, pitches, earths, polarities and faults; with `missing` only that, at every fault."""
    for mode in modes_of(side):
        for stood in _stood(side, settled(side, Case(mode=mode))):
            offered = choices_of(side, stood)
            for fault in offered.faults:
                for outlet in list(offered.outlets)[: 1 if fault == "none" else None]:
                    if missing is None or missing in offered.missing:
                        yield replace(stood, fault=fault, outlet=outlet, missing=missing or "")
            if missing is None:
                for id in offered.missing.keys() & TELLING.keys():
                    yield replace(stood, fault=TELLING[id], missing=id)


def _stood(side: MainsSide, case: Case) -> Iterator[Case]:
    offered = choices_of(side, case)
    for source in offered.sources or ("",):
        for earthing in offered.earthings or ("",):
            for polarity in offered.polarities or ("",):
                yield replace(case, source=source, earthing=earthing, polarity=polarity)


def side_of(text: str) -> MainsSide:
    """Return the mains side of a plan."""
    return assess(read_text(text)).mains


def try_case(side: MainsSide, **chosen: str) -> Tried:
    """Work out a case of which some things are chosen."""
    return tried(side.case_nets, settled(side, Case(**chosen)))
