"""Days of a phone at random: 300 of twelve steps each, every one a new phone and a server of its own.

Steps are entering a hive, looking at the last one again, taking an entry back, leaving a hive with taps
that are not entered, the phone's own Back, reloading, losing the signal, having it again, ``kill -9`` of
the server, a lost reply, a second tab in place of the first, and another version of the program. Each day
ends with signal and must hold just what was entered. The short form is in tests/web/test_field_browser.py.
"""

from __future__ import annotations

import logging
import os
import sys
import tempfile
import time
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from itertools import chain
from multiprocessing import get_context
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

from playwright.sync_api import Error, sync_playwright

from tests.conftest import chromium
from web.phone_life import lived

DAYS, STEPS = 300, 12
BROWSERS = 3  # at once: a day mostly waits


def days(seeds: range) -> list[str]:
    """Live some days in one browser; what differs at their ends from what was entered."""
    # a reply that is held back when its page is shut is told there, and says nothing about a day
    logging.getLogger("asyncio").setLevel(logging.CRITICAL)
    return list(chain.from_iterable(_lived(seeds)))


def _lived(seeds: range) -> Iterator[list[str]]:
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        for seed in seeds:
            try:
                yield lived(browser, Path(folder) / f"{seed}.sqlite", seed, STEPS)
            except (
                Error,
                AssertionError,
                OSError,
            ) as broken:  # a day that breaks off is a day that fails, and the rest go on
                yield [f"seed {seed}: broke off: {type(broken).__name__}: {str(broken)[:900]}"]
        browser.close()


def main() -> int:
    """Live every day; 1 where one ends with anything else than what was entered."""
    first = DAYS * (int(os.environ.get("BREADLINE_SEED", "1")) - 1)
    begun = time.monotonic()
    parts = [range(first + n, first + DAYS, BROWSERS) for n in range(BROWSERS)]
    with ProcessPoolExecutor(BROWSERS, mp_context=get_context("spawn")) as workers:
        wrong = list(chain.from_iterable(workers.map(days, parts)))
    took = BROWSERS * (time.monotonic() - begun) / DAYS
    print(f"{DAYS} days of {STEPS} steps, seeds {first} to {first + DAYS - 1}; {took:.0f} s a day\n")
    print(f"days that end with anything else than what was entered, or with a question: {len(wrong)}")
    for line in wrong[:20]:
        print(f"  {line}")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
