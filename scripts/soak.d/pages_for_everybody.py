"""Every page two steps from the yards before axe, at 200 %, by keyboard alone, and with no motion wanted.

The short form, of seven pages, is in tests/web/test_two_steps.py.
"""

from __future__ import annotations

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))
sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

from playwright.sync_api import sync_playwright

from tests.conftest import chromium
from web.crawl import crawled, small_book
from web.for_everybody import barred, out_of_reach, shown_again


def main() -> int:
    """Look at each page; 1 where one keeps somebody out."""
    with tempfile.TemporaryDirectory() as folder, small_book(Path(folder) / "book.sqlite") as (_, client):
        pages = crawled(client).asked
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
        with shown_again(browser, pages) as page:
            found = [line for one in pages for line in (*barred(page, one), *out_of_reach(page, one))]
        browser.close()
    print(f"{len(pages)} pages at 390 and 1280 px, zoomed to 320 and 640 px, and by keyboard.")
    print("\n".join(found) or "Nothing keeps anybody out.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
