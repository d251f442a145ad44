"""What all tests share: the browser, and the rule that the build machine skips nothing."""

from __future__ import annotations

import gc
import os
import shutil
from collections.abc import Iterator
from typing import Any

import pytest
from hypothesis import settings

# A busy machine is no fault of the program: no test is timed.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")

IN_CI = os.environ.get("CI") == "true"
skipped: list[str] = []


def chromium() -> str | None:
    """The Chromium to use, as a path; ``scripts/test`` names one in BREADLINE_CHROMIUM."""
    names = (os.environ.get("BREADLINE_CHROMIUM", ""), "chromium", "chromium-browser", "google-chrome")
    return next((found for name in names if name and (found := shutil.which(name))), None)


@pytest.fixture(scope="session")
def browser() -> Iterator[Any]:
    """A real browser without a window; skipped where none is installed (never in CI)."""
    path = chromium()
    if path is None:
        pytest.skip("no Chromium here; ./scripts/test installs it where it may")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        opened = playwright.chromium.launch(executable_path=path, args=["--no-sandbox"])
        yield opened
        opened.close()


def pytest_collectstart() -> None:
    """Sixteen thousand tests lie about until the end: while they are found nothing can be thrown away."""
    gc.disable()


def pytest_collection_finish() -> None:
    """From here on Python clears up as ever, save among what was there before the first test."""
    gc.collect()
    gc.freeze()
    gc.enable()


def pytest_runtest_logreport(report: pytest.TestReport) -> None:
    """Remember every test that was skipped or expected to fail."""
    if report.skipped:
        skipped.append(report.nodeid)


def pytest_collectreport(report: pytest.CollectReport) -> None:
    """Remember every file of tests that was skipped whole."""
    if report.skipped:
        skipped.append(report.nodeid)


def pytest_sessionfinish(session: pytest.Session) -> None:
    """With CI=true a skipped test fails the run."""
    if IN_CI and skipped and session.exitstatus == pytest.ExitCode.OK:
        session.exitstatus = pytest.ExitCode.TESTS_FAILED


def pytest_terminal_summary(terminalreporter: Any) -> None:
    """Say which tests were skipped, where that fails the run."""
    if IN_CI and skipped:
        terminalreporter.section("skipped tests fail the run when CI=true", red=True)
        for name in skipped:
            terminalreporter.line(name)
