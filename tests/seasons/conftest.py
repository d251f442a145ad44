"""Says at the end of a run which steps of the scenarios are not built yet."""

from __future__ import annotations

from typing import Any

from seasons.steps import open_lines


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """One line a scenario with open steps."""
    lines = open_lines()
    if lines:
        terminalreporter.section("scenario steps still open (not built yet, not collected)")
        for line in lines:
            terminalreporter.line(line)
