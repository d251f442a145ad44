"""Days of a phone at random: 300 of twelve steps each, every one in a browser and a server of its own.

Steps are entering a hive, looking at the last one again, reloading, losing the signal, having it again,
``kill -9`` of the server, a lost reply, a second tab in place of the first, and another version of the
program. Each day ends with signal and must hold just what was entered. The short form is in
tests/web/test_field_browser.py.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

from playwright.sync_api import sync_playwright

from tests.conftest import chromium
from web.phone_life import lived

DAYS, STEPS = 300, 12


def main() -> int:
    """Live every day; 1 where one ends with anything else than what was entered."""
    first = DAYS * (int(os.environ.get("BREADLINE_SEED", "1")) - 1)
    wrong: list[str] = []
    begun = time.monotonic()
    with sync_playwright() as playwright, tempfile.TemporaryDirectory() as folder:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        for seed in range(first, first + DAYS):
            wrong += lived(browser, Path(folder) / f"{seed}.sqlite", seed, STEPS)
        browser.close()
    took = (time.monotonic() - begun) / DAYS
    print(f"{DAYS} days of {STEPS} steps, seeds {first} to {first + DAYS - 1}; {took:.0f} s a day\n")
    print(f"days that end with anything else than what was entered, or with a question: {len(wrong)}")
    for line in wrong[:20]:
        print(f"  {line}")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
