"""Loomwright: plan, size, check and draw the electrics of a camper van.

>>> import loomwright
>>> "check" in loomwright.__all__
True
"""

from loomwright.api import Assessment, Plan, Report, assess, check, read, read_data, read_text
from loomwright.errors import LoomwrightError, PlanError

__all__ = [
    "Assessment",
    "LoomwrightError",
    "Plan",
    "PlanError",
    "Report",
    "assess",
    "check",
    "read",
    "read_data",
    "read_text",
]
