"""The sheets of a checked plan by name; what draws each is imported when it is asked for."""

from __future__ import annotations

from typing import cast

from loomwright.assessment.energy.day_flows import months_of_use
from loomwright.drawing.scene import Sheet
from loomwright.errors import NoSuchModeError
from loomwright.plan.calendar import MONTH_NAMES, MONTHS, months_in_words
from loomwright.rules.check import Checked


def _has_month(checked: Checked, month: str) -> None:
    """Refuse a month in which a van is not used."""
    months = months_of_use(checked.assessment)
    if month in MONTHS and month not in months:
        used = months_in_words(months) or "none"
        raise NoSuchModeError(f"this van is not used in {MONTH_NAMES[month]}; its months of use: {used}")


def sheets_of(
    checked: Checked, sheet: str, *, mode: str = "", by: str = "", month: str = "", paper: str = "a4"
) -> list[Sheet]:
    """Return the sheets of one name.

    Parameters
    ----------
    checked : Checked
    sheet : str
        One of `api.SHEETS`.
    mode, by, month, paper : str
        As for `api.draw`.

    Raises
    ------
    NoSuchModeError
        The van has no such mode, or is not used in that month.
    """
    if sheet == "board":
        from loomwright.diagrams.loom import board_sheets

        return list(board_sheets(checked, paper))
    if sheet == "system":
        from loomwright.diagrams.system import system_sheets

        _has_month(checked, month)
        return list(system_sheets(checked, month))
    if sheet == "van":
        from loomwright.diagrams.van import By, van_sheets

        return list(van_sheets(checked, cast(By, by)))
    if sheet == "loom":
        from loomwright.diagrams.loom import loom_sheets

        return list(loom_sheets(checked))
    if sheet == "labels":
        from loomwright.diagrams.loom import label_sheets

        return list(label_sheets(checked))
    if sheet == "modes":
        from loomwright.diagrams.modes import mode_sheets

        return list(mode_sheets(checked))
    if sheet == "energy":
        from loomwright.documents.year import year_sheets

        return list(year_sheets(checked))
    if sheet == "mains":
        from loomwright.diagrams.mains import mains_sheets

        return list(mains_sheets(checked))
    if sheet == "fuse-label":
        from loomwright.diagrams.fuse_label import fuse_label_sheets

        return fuse_label_sheets(checked)
    from loomwright.diagrams.wiring import fault_sheets, wiring_sheets

    if sheet == "faults":
        return list(fault_sheets(checked))
    if not mode:
        return list(wiring_sheets(checked))
    modes, flows = checked.assessment.modes.figures, checked.assessment.flows
    if mode not in modes:
        raise NoSuchModeError(f"no mode {mode!r}; this van has {', '.join(modes)}")
    return list(wiring_sheets(checked, modes[mode], flows.of(modes[mode])))


__all__ = ["sheets_of"]
