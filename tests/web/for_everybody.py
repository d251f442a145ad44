"""Whether a page is there for everybody: axe, a zoom of 200 %, the keyboard alone, no motion.

The pages are those that the crawler was given; a browser shows them again without a server.
axe-core 4.14.1 lies in ``vendor``, with its licence and checksums, for these tests only.
"""

from __future__ import annotations

import mimetypes
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from house import tree
from web.crawl import HERE

AXE = Path(__file__).parent / "vendor" / "axe-core"
WEB = tree.ROOT / "src" / "breadline" / "web"
WIDTHS = (390, 1280)  # a phone and a desk [px]
ZOOMED = (320, 640)  # a small phone; a desk of 1280 at 200 % [px]
HEIGHT = 844  # [px]
RULES = ("wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice")
ASK_AXE = f"axe.run({{runOnly: {list(RULES)}, resultTypes: ['violations']}})"
# What takes the focus, in the order of the page; radio buttons of one name are one stop.
STOPS = """() => { const names = new Set();
  return [...document.querySelectorAll('a[href], button, input, select, textarea, summary, [tabindex="0"]')]
  .filter(e => e.type !== 'hidden' && !e.disabled && e.tabIndex >= 0
    && e.checkVisibility({visibilityProperty: true})
    && !(e.closest('details:not([open])') && !e.matches('summary'))
    && !(e.type === 'radio' && (names.has(e.name) || !names.add(e.name)))).length; }"""
AT = """() => { const e = document.activeElement, all = [...document.querySelectorAll('*')];
  const rings = [e, e.nextElementSibling, e.parentElement].filter(Boolean).map(o => getComputedStyle(o));
  const box = e.getBoundingClientRect(), outside = box.bottom < 0 || box.top > innerHeight;
  return {at: all.indexOf(e), what: e.outerHTML.slice(0, 90), body: e === document.body, outside,
    ring: rings.some(s => s.outlineStyle !== 'none' && parseFloat(s.outlineWidth) >= 2)}; }"""
MOVES = """() => document.getAnimations().length + [...document.querySelectorAll('*')].filter(e => {
  const s = getComputedStyle(e); return parseFloat(s.transitionDuration) > 0 || s.scrollBehavior === 'smooth';
  }).length"""


@contextmanager
def shown_again(browser: Any, pages: Mapping[str, str]) -> Iterator[Any]:
    """A browser's page that is answered with the pages of a crawl, for a person who wants no motion."""

    def answer(route: Any) -> None:
        asked = route.request.url[len(HERE) :]
        static = WEB / asked.partition("?")[0].lstrip("/")
        if asked.startswith("/static/") and static.is_file():
            kind = mimetypes.guess_type(static.name)[0] or "font/woff2"
            route.fulfill(body=static.read_bytes(), content_type=kind)
        elif asked in pages:
            route.fulfill(body=pages[asked], content_type="text/html; charset=utf-8")
        else:
            route.fulfill(status=404, body="")

    context = browser.new_context(reduced_motion="reduce")
    context.route("**/*", answer)
    yield context.new_page()
    context.close()


def barred(page: Any, address: str) -> Iterator[str]:
    """What axe finds at both widths, and where the page is wider than a zoomed screen; one line each."""
    page.set_viewport_size({"width": WIDTHS[0], "height": HEIGHT})
    page.goto(HERE + address)
    page.evaluate((AXE / "axe.min.js").read_text("utf-8"))
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": HEIGHT})
        for one in page.evaluate(ASK_AXE)["violations"]:
            where = [node["html"][:120] for node in one["nodes"][:3]]
            yield f"{address} at {width}: {one['id']}, {one['help']}: {where}"
    for width in ZOOMED:
        page.set_viewport_size({"width": width, "height": HEIGHT})
        over = page.evaluate("document.documentElement.scrollWidth") - width
        if over > 0:
            yield f"{address} at {width}: {over} px wider than the screen"
    if moving := page.evaluate(MOVES):
        yield f"{address}: {moving} parts move for a person who wants no motion"


def out_of_reach(page: Any, address: str) -> Iterator[str]:
    """What the Tab key does not reach, reaches in another order, or reaches without a ring to see."""
    page.set_viewport_size({"width": WIDTHS[1], "height": HEIGHT})
    page.goto(HERE + address)
    stops, last = page.evaluate(STOPS), -1
    page.keyboard.press("Shift")  # the page knows of a keyboard, and shows rings
    page.evaluate("document.querySelector('a[href], button').focus()")  # it may begin at a field further down
    for n in range(stops):
        if n:
            page.keyboard.press("Tab")
        here = page.evaluate(AT)
        if here["body"]:
            yield f"{address}: {stops} stops, Tab ends after {n}"
            return
        if here["at"] <= last:
            yield f"{address}: out of order at {here['what']}"
        if not here["ring"]:
            yield f"{address}: no ring at {here['what']}"
        if here["outside"]:
            yield f"{address}: focus out of sight at {here['what']}"
        last = here["at"]
