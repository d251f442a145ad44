"""Every page two steps from the yards before axe, at 200 %, by keyboard alone, and with no motion wanted.

The phone's page is drawn by its script: a server runs for it, and a visit is gone through screen by
screen. The short form, of seven pages and four of those screens, is in tests/web/test_two_steps.py.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

from playwright.sync_api import Browser, sync_playwright

from tests.conftest import chromium
from web.crawl import YARD, crawled, place_hives, small_book
from web.for_everybody import (
    DRAWN_BY_SCRIPT,
    barred,
    barred_as_it_stands,
    out_of_reach,
    out_of_reach_as_it_stands,
    phone,
    phone_screens,
    shown_again,
)
from web.served import serving


def going(n: int, many: int, what: str) -> None:
    """How far it is: shown, not kept."""
    print(f"… {n} of {many} {what}", flush=True)


def of_pages(browser: Browser, pages: dict[str, str]) -> list[str]:
    """What keeps somebody out of the pages that the server wrote."""
    found: list[str] = []
    with shown_again(browser, pages) as page:
        for n, one in enumerate(pages, 1):
            going(n, len(pages), one)
            found += [*barred(page, one), *out_of_reach(page, one)]
    return found


def of_the_phone(browser: Browser, where: str) -> tuple[int, list[str]]:
    """How many screens the phone's page has on a visit, and what keeps somebody out of them."""
    found: list[str] = []
    seen = 0
    with phone(browser, where) as page:
        for name in phone_screens(page, YARD):
            seen += 1
            print(f"… {name}", flush=True)
            found += [*barred_as_it_stands(page, name), *out_of_reach_as_it_stands(page, name)]
    return seen, found


def main() -> int:
    """Look at each page; 1 where one keeps somebody out."""
    with tempfile.TemporaryDirectory() as folder, small_book(Path(folder) / "book.sqlite") as (app, client):
        place_hives(client)
        pages = {at: text for at, text in crawled(client).asked.items() if at not in DRAWN_BY_SCRIPT}
        with sync_playwright() as playwright, serving(app) as where:
            browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
            screens, of_phone = of_the_phone(browser, where)
            found = of_pages(browser, pages) + of_phone
            browser.close()
    print(f"{len(pages)} pages at 390 and 1280 px, zoomed to 320 and 640 px, and by keyboard;")
    print(f"{screens} screens of the phone's page in the same way.")
    print("\n".join(found) or "Nothing keeps anybody out.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
