"""Every page of a running Breadline as a person sees it, drawn at phone, laptop and print size.

    python scripts/look.py http://127.0.0.1:8000 FOLDER [--language es] [--quick]

Follows every link two steps from the yards. Beside the pictures it writes ``list.md``: a line for each page
with its weight, what its console said, other hosts it asked, what axe found, and where Tab does not reach.
Sheets are kept as PDF, and drawn page by page where poppler's ``pdftoppm`` is there. Needs Chromium.
"""

from __future__ import annotations

import argparse
import re
import shutil
import subprocess
import sys
import time
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import httpx2 as httpx
from playwright.sync_api import sync_playwright

ROOT = Path(__file__).resolve().parents[1]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

from tests.conftest import chromium  # noqa: E402
from web.crawl import LONGEST_S, crawled  # noqa: E402
from web.for_everybody import (  # noqa: E402
    DRAWN_BY_SCRIPT,
    barred_as_it_stands,
    out_of_reach_as_it_stands,
)

SIZES = {"phone": (390, 844), "laptop": (1280, 800)}  # [px]
PAPER = ("Letter", "A4")
DOTS = "60"  # of a printed page [1/in]
WEIGHT = """[...performance.getEntriesByType("navigation"), ...performance.getEntriesByType("resource")]
  .reduce((all, one) => all + one.transferSize, 0)"""  # as it came, its fonts too [bytes]


@dataclass
class Seen:
    """What a page said and asked for while it was looked at."""

    here: str
    console: list[str] = field(default_factory=list)
    elsewhere: list[str] = field(default_factory=list)

    def attach(self, page: Any) -> None:
        """Listen to a page."""
        page.on("console", lambda said: self.console.append(said.text[:200]))
        page.on("pageerror", lambda error: self.console.append(str(error)[:200]))
        page.on("response", self.came)

    def came(self, answer: Any) -> None:
        """Where something came from, if not from here."""
        if urlsplit(answer.url).netloc != self.here and not answer.url.startswith(("data:", "blob:")):
            self.elsewhere.append(answer.url)


def name_of(address: str) -> str:
    """A file name for an address; keys are cut."""
    return re.sub(r"[^\w.-]+", "_", address.strip("/") or "yards")[:80]


def look_at(
    browser: Any, where: str, address: str, folder: Path, language: str = "en", quick: bool = False
) -> str:
    """Draw one page at all sizes; its line of the list. ``quick`` asks neither axe nor the keyboard."""
    seen, found = Seen(urlsplit(where).netloc), []
    context = browser.new_context(viewport=dict(zip(("width", "height"), SIZES["phone"], strict=True)))
    context.add_cookies([{"name": "language", "value": language, "url": where}])
    page = context.new_page()
    page.set_default_timeout(1000 * LONGEST_S)
    seen.attach(page)
    came = page.goto(where + address)
    status = came.status if came else 0
    ready(page, address)
    weight, name = page.evaluate(WEIGHT), name_of(address)
    for size, (width, height) in SIZES.items():
        page.set_viewport_size({"width": width, "height": height})
        page.screenshot(path=folder / f"{name}.{size}.png", full_page=True)
        over = page.evaluate("document.documentElement.scrollWidth") - width
        if over > 0:
            found.append(f"{over} px wider than {size}")
    for paper in PAPER:
        page.pdf(path=folder / f"{name}.{paper}.pdf", format=paper, print_background=True)
        drawn(folder / f"{name}.{paper}.pdf")
    if not quick:
        found += [*barred_as_it_stands(page, address)]
        page.set_viewport_size({"width": 1280, "height": 844})
        found += [*out_of_reach_as_it_stands(page, address)]
    context.close()
    told = "; ".join([*found, *seen.console, *(f"asked {one}" for one in seen.elsewhere)]) or "nothing amiss"
    return f"| {address} | {status} | {weight / 1000:.0f} kB | {told} |"


def ready(page: Any, address: str) -> None:
    """Wait until a page that is drawn by script, or worked out first, is there."""
    if address in DRAWN_BY_SCRIPT:
        page.wait_for_selector("#field[data-ready=yes]")
    until = time.monotonic() + LONGEST_S
    while page.locator("meta[http-equiv=refresh]").count() and time.monotonic() < until:
        page.wait_for_timeout(500)
    page.evaluate("document.fonts.ready")


def drawn(sheet: Path) -> int:
    """The pages of a PDF beside it; how many, none where nothing here draws them."""
    if draws := shutil.which("pdftoppm"):
        subprocess.run([draws, "-r", DOTS, "-png", str(sheet), str(sheet.with_suffix(""))], check=True)
    return len(list(sheet.parent.glob(f"{sheet.stem}-*.png")))


def look_at_sheet(client: httpx.Client, address: str, folder: Path) -> str:
    """Draw a sheet that is sent as a file."""
    begun = time.monotonic()
    while 'http-equiv="refresh"' in (answer := client.get(address)).text[:2000]:
        time.sleep(0.2)
    took = time.monotonic() - begun
    kind = answer.headers.get("content-type", "")
    if not kind.startswith("application/pdf"):
        return f"| {address} | {answer.status_code} | {len(answer.content) / 1000:.0f} kB | {kind} |"
    sheet = folder / f"{name_of(address)}.pdf"
    sheet.write_bytes(answer.content)
    weight = f"{len(answer.content) / 1000:.0f} kB"
    return f"| {address} | {answer.status_code} | {weight} | {drawn(sheet)} pages in {took:.1f} s |"


def main() -> int:
    """Look at all of it."""
    asked = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    asked.add_argument("where")
    asked.add_argument("folder", type=Path)
    asked.add_argument("--language", default="en")
    asked.add_argument("--quick", action="store_true", help="pictures only, without axe and keyboard")
    how = asked.parse_args()
    how.folder.mkdir(parents=True, exist_ok=True)
    client = httpx.Client(base_url=how.where, follow_redirects=True, timeout=LONGEST_S)
    client.cookies.set("language", how.language)
    with client:
        found = crawled(client)
        sheets = [one for one in found.found if one not in found.asked and ".pdf" in one]
        lines = [look_at_sheet(client, one, how.folder) for one in sheets]
        lines += [f"| {address} | {status} | | broken link |" for address, status in found.broken]
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox"])
            for n, address in enumerate(found.asked, 1):
                print(f"{n} of {len(found.asked)} {address}", flush=True)
                lines.append(look_at(browser, how.where, address, how.folder, how.language, how.quick))
            browser.close()
    head = ["| Page | Status | Weight | Seen |", "|---|---|---|---|"]
    (how.folder / "list.md").write_text("\n".join([*head, *lines]) + "\n", encoding="utf-8")
    print(f"{how.folder / 'list.md'}: {len(lines)} lines")
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
