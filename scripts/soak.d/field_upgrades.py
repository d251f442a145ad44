"""A phone's pages while the program becomes another version: 300 upgrades, 900 openings at random moments.

Every opening has to come in whole, of one version. Several browsers at once on a machine with fewer hands,
and in half of them the worker's memory is cleared a hundred times a second: a body that is still on its way
breaks off then where the browser pumps it out of the worker. The short form is in
tests/web/test_field_upgrades.py.
"""

from __future__ import annotations

import os
import sys
import tempfile
import time
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from itertools import chain
from multiprocessing import get_context
from pathlib import Path
from random import Random

import pytest
from playwright.sync_api import sync_playwright

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

from breadline.web.app import create_app
from tests.conftest import chromium
from web.phone_life import book_with_hives
from web.phone_upgrades import GC, PATIENCE_MS, Upgraded, clears_up_often, upgrades
from web.served import serving

BROWSERS, UPGRADES = 6, 50  # at once, so that each is slow; of each


def upgraded(seed: int) -> list[str]:
    """One phone through all its upgrades; what did not come in."""
    with (
        tempfile.TemporaryDirectory() as folder, pytest.MonkeyPatch.context() as patch,
        serving(create_app(book_with_hives(Path(folder) / "book.sqlite"), today=date.today)) as where,
        sync_playwright() as playwright,
    ):  # fmt: skip
        program = Upgraded(where, patch)
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox", GC])
        context = browser.new_context(viewport={"width": 390, "height": 844})
        context.set_default_timeout(PATIENCE_MS)
        page = context.new_page()
        page.goto(f"{where}/field/")
        page.wait_for_selector("#can[data-ready=yes]")
        if seed % 2:
            clears_up_often(context)
        wrong = upgrades(page, program, Random(seed), UPGRADES)
        browser.close()
    return [f"phone {seed}, {one}" for one in wrong]


def main() -> int:
    """Upgrade all of them; 1 where an opening did not come in."""
    first = BROWSERS * (int(os.environ.get("BREADLINE_SEED", "1")) - 1)
    begun = time.monotonic()
    with ProcessPoolExecutor(BROWSERS, mp_context=get_context("spawn")) as workers:
        wrong = list(chain.from_iterable(workers.map(upgraded, range(first, first + BROWSERS))))
    many = BROWSERS * UPGRADES
    print(
        f"{many} upgrades, {3 * many} openings, {BROWSERS} browsers at once, {time.monotonic() - begun:.0f} s"
    )
    print(f"openings that did not come in, or came in of two versions: {len(wrong)}")
    print("\n".join(f"  {line}" for line in wrong[:20]))
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
