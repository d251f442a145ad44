"""Prints how many values of the outside world were checked, by kind."""

from __future__ import annotations

from typing import Any

import pytest

from .cases import KINDS, sheets

ran: set[str] = set()


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Remember that the values were among the tests run."""
    if "test_agrees_with_the_outside_world" in report.nodeid:
        ran.add(report.nodeid)


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """The table of counts, where the values were run."""
    if not ran:
        return
    terminalreporter.section("checked against the outside world")
    for kind in KINDS:
        of_kind = [s for s in sheets() if s.kind == kind]
        values, sources = sum(s.values for s in of_kind), len({s.source for s in of_kind})
        terminalreporter.line(f"{kind:<28}{values:>4} values from {sources:>3} sources")
