"""What holds for every test: repeatable random examples, and no test that quietly does not run."""

from __future__ import annotations

import gc
import os
from collections.abc import Generator
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile(
    "repeatable", derandomize=True, deadline=None, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile("repeatable")

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command does, before numpy is there
gc.set_threshold(100_000, 20, 50)  # many assessments are held: looking through them all costs minutes

ROOT = Path(__file__).resolve().parent.parent


@pytest.fixture(scope="session")
def root() -> Path:
    """Return the folder of the project."""
    return ROOT


def _fail_if_skipped(report: pytest.TestReport | pytest.CollectReport) -> None:
    if report.skipped and not hasattr(report, "wasxfail"):
        report.longrepr = f"A test that is skipped counts as failed here.\n{report.longrepr}"
        report.outcome = "failed"


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport() -> Generator[None, pytest.TestReport, pytest.TestReport]:
    """Turn a skipped test into a failed one."""
    report = yield
    _fail_if_skipped(report)
    return report


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report() -> Generator[None, pytest.CollectReport, pytest.CollectReport]:
    """Turn a file that skips itself into a failed one."""
    report = yield
    _fail_if_skipped(report)
    return report
