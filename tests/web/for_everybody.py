"""Whether a page is there for everybody: axe, a zoom of 200 %, the keyboard alone, no motion.

The pages are those that the crawler was given; a browser shows them again without a server. The
phone's page is drawn by its script from what the server tells it: that one is really loaded, and
gone through screen by screen.
axe-core 4.14.1 lies in ``vendor``, with its licence and checksums, for these tests only.
"""

from __future__ import annotations

import mimetypes
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from house import tree
from web.crawl import HERE
from web.phone_here import until

AXE = Path(__file__).parent / "vendor" / "axe-core"
WEB = tree.ROOT / "src" / "breadline" / "web"
WIDTHS = (390, 1280)  # a phone and a desk [px]
ZOOMED = (320, 640)  # a small phone; a desk of 1280 at 200 % [px]
HEIGHT = 844  # [px]
LONGEST_MS = 300_000  # of one page on a machine that is busy otherwise [ms]
DRAWN_BY_SCRIPT = ("/field/",)  # nothing to see before the server has told it its yards
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
  const on = box.width && document.elementFromPoint((box.left + box.right) / 2, (box.top + box.bottom) / 2);
  const over = on && !e.contains(on) && !on.contains(e) && ![...(e.labels || [])].some(l => l.contains(on));
  return {at: all.indexOf(e), what: e.outerHTML.slice(0, 90), body: e === document.body, outside,
    over: over ? on.outerHTML.slice(0, 90) : "",
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
    context.set_default_timeout(LONGEST_MS)
    context.route("**/*", answer)
    yield context.new_page()
    context.close()


@contextmanager
def phone(browser: Any, where: str) -> Iterator[Any]:
    """The phone's page of a running server, drawn, for a person who wants no motion."""
    context = browser.new_context(
        reduced_motion="reduce", has_touch=True, viewport={"width": WIDTHS[0], "height": HEIGHT}
    )
    context.set_default_timeout(LONGEST_MS)
    page = context.new_page()
    page.goto(f"{where}{DRAWN_BY_SCRIPT[0]}")
    page.wait_for_selector("#field[data-ready=yes]")
    yield page
    context.close()


def phone_screens(page: Any, yard: str) -> Iterator[str]:
    """Go from screen to screen of the phone's page as a visit does; the name of each once it is there."""

    def at(name: str) -> str:
        until(page, lambda: page.locator("#field h1, #field .say").count() > 0)
        return f"/field/, {name}"

    yield at("which yard")
    for work in ("Feeding round", "A look inside", "Grading"):
        page.locator("#field").get_by_role("button", name=yard).click()
        page.get_by_text("What is this visit?").wait_for()
        if work == "Feeding round":
            page.get_by_text("Before you open hives").click()
            page.get_by_text("Mind fire-ban days").wait_for()
            yield at("which visit")
        page.get_by_role("button", name=work).click()
        page.locator(".tag").wait_for()
        yield at(f"{work}, a hive")
        page.locator("summary").click()
        yield at(f"{work}, all that is asked")
        page.get_by_role("button", name="Another hive").click()
        page.get_by_role("heading", name="Which hive?").wait_for()
        if work == "Feeding round":
            yield at("which hive")
            page.get_by_label("Another tag").fill("ZZ-9")
            page.get_by_role("button", name="Go", exact=True).click()
            page.get_by_text("No hive ZZ-9 is listed").wait_for()
            yield at("a hive that is not listed")
            page.get_by_role("button", name="I misread it").click()
        yield from _entered(page, at, work)
        page.get_by_role("button", name="Yards").click()
        page.get_by_role("heading", name="Which yard?").wait_for()


def _entered(page: Any, at: Callable[[str], str], work: str) -> Iterator[str]:
    """Every hive of the yard entered, and the screen that says so."""
    page.locator(".tags button").first.wait_for()
    tags = page.locator(".tags button").all_inner_texts()
    page.locator(".tags button").first.click()
    for n, tag in enumerate(tags):
        page.locator(".tag h1", has_text=tag).wait_for()
        page.locator("fieldset[data-of=frames]").get_by_role("button", name="6", exact=True).click()
        page.locator("fieldset[data-of=frames] output", has_text="6").wait_for()
        if n == 0:
            yield at(f"{work}, a hive with taps")
        page.locator(".next").click()
        page.get_by_text(f"{tag} is kept.").wait_for()
        if n == 0 and work == "Feeding round":
            yield at("the hive after one that is kept")
    page.get_by_text("are entered.").wait_for()
    yield at(f"{work}, all hives entered")


def barred(page: Any, address: str) -> Iterator[str]:
    """What axe finds at both widths, and where the page is wider than a zoomed screen; one line each."""
    page.set_viewport_size({"width": WIDTHS[0], "height": HEIGHT})
    page.goto(HERE + address)
    yield from barred_as_it_stands(page, address)


def barred_as_it_stands(page: Any, address: str) -> Iterator[str]:
    """The same of what the page shows now."""
    page.evaluate((AXE / "axe.min.js").read_text("utf-8"))
    for width in WIDTHS:
        page.set_viewport_size({"width": width, "height": HEIGHT})
        if address.startswith(DRAWN_BY_SCRIPT):  # all of it, or axe measures what the bar below lies over
            whole = page.evaluate("document.documentElement.scrollHeight")
            page.set_viewport_size({"width": width, "height": max(HEIGHT, whole)})
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
    yield from out_of_reach_as_it_stands(page, address)


def out_of_reach_as_it_stands(page: Any, address: str) -> Iterator[str]:
    """The same of what the page shows now."""
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
        if here["over"]:
            yield f"{address}: {here['over']} lies over the focus at {here['what']}"
        last = here["at"]
