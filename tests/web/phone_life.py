"""A phone's day at random: hives entered while pages reload, signal goes, servers die, replies are lost."""

from __future__ import annotations

import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import date
from pathlib import Path
from random import Random
from typing import Any

from playwright.sync_api import Error
from sqlalchemy import select

from breadline.jobs.field_book import FieldBook
from breadline.jobs.yard_file import read_yard
from breadline.records.append_only import current
from breadline.records.engine import looking, open_book
from breadline.records.field_tables import FieldAnswer, FieldEntry, FieldReading
from breadline.records.tables import Reading

FIRST_YARD = Path(__file__).parents[2] / "examples" / "first-yard" / "yard.toml"
TAGS = ("A1", "A2", "A3", "A4")
SERVE = """
import sys
from datetime import date
from pathlib import Path
import uvicorn
from breadline.web import app as pages
from breadline.web.pages import field
field._digest = lambda: sys.argv[3]
uvicorn.run(pages.create_app(Path(sys.argv[1]), today=date.today), port=int(sys.argv[2]), log_level="error")
"""


class Server:
    """The pages in a process of their own, which can be killed and begun again as another version."""

    def __init__(self, book: Path) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.book, self.version, self.process = book, 1, None
        self.start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        told = [sys.executable, "-c", SERVE, str(self.book), str(self.port), f"version{self.version}"]
        self.process = subprocess.Popen(told, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
        until = time.monotonic() + 60
        while time.monotonic() < until:
            try:
                urllib.request.urlopen(f"{self.address}/field/app.webmanifest", timeout=2).close()
                return
            except OSError:
                time.sleep(0.05)
        raise AssertionError("the server did not start")

    def kill(self) -> None:
        """``kill -9``, at whatever it was doing."""
        assert self.process is not None
        self.process.kill()
        self.process.wait(30)


@dataclass
class Life:
    """One phone with up to two tabs, and what was entered on it."""

    browser: Any
    server: Server
    random: Random
    entered: dict[str, float | None] = field(default_factory=dict)
    told: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.context = self.browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        self.page = self._tab()
        self.alive = True
        self.page.wait_for_selector("#can[data-ready=yes]", timeout=60_000)
        self.page.get_by_role("button", name="4 hives").click()
        self.page.get_by_role("button", name="Grading").click()
        self.page.wait_for_selector(".tag")

    def _tab(self) -> Any:
        page = self.context.new_page()
        page.goto(f"{self.server.address}/field/")
        page.wait_for_selector("#field[data-ready=yes]", timeout=60_000)
        return page

    def step(self) -> None:
        """One thing that happens, at random."""
        happens = self.random.choices(
            (self.enter, self.undo, self.reload, self.offline, self.online, self.kill, self.lose, self.second,
             self.upgrade),
            (10, 2, 3, 2, 3, 1, 2, 1, 0.5),
        )[0]  # fmt: skip
        self.told.append(happens.__name__)
        happens()

    def enter(self) -> None:
        """The next hive, or one that was entered before, with another number."""
        tag, value = self.random.choice(TAGS), float(self.random.randrange(0, 10))
        if self.heading() != tag:
            if self.page.locator(".tag").count():
                self.page.get_by_role("button", name="Another hive").click()
            self.page.locator(".tags").get_by_role("button", name=tag).first.click()
            self.until(lambda: self.heading() == tag)
        if self.shown() != f"{value:g}":
            pad = self.page.locator("fieldset[data-of=frames]")
            pad.get_by_role("button", name=f"{value:g}", exact=True).click()
            self.until(lambda: self.shown() == f"{value:g}")
        self.page.locator(".next").click()
        self.entered[tag] = value
        self.until(lambda: self.heading() != tag)

    def heading(self) -> str:
        """The hive that is open; empty where none is."""
        there = self.page.locator("h1")
        return there.first.inner_text() if there.count() else ""

    def shown(self) -> str:
        """Its frames of bees as the page has them."""
        return self.page.locator("fieldset[data-of=frames] .value").inner_text()

    def until(self, so: Callable[[], bool]) -> None:
        """Wait for something to be so; the page allows no script of others that could."""
        end = time.monotonic() + 30
        while not so():
            assert time.monotonic() < end, self.told
            self.page.wait_for_timeout(20)

    def undo(self) -> None:
        """Look at the last one again and leave it as it is."""
        again = self.page.get_by_role("button", name="Undo")
        if again.count() and again.is_visible():
            tag, value = self.last()
            again.click()
            self.until(lambda: self.heading() == tag)
            self.until(lambda: self.shown() == f"{value:g}")
            self.page.locator(".next").click()
            self.until(lambda: self.heading() != tag)

    def last(self) -> tuple[str, float]:
        tag = self.page.locator("#said").inner_text().split(" is kept")[0]
        value = self.entered[tag]
        assert value is not None
        return tag, value

    def reload(self) -> None:
        self.page.reload()
        self.page.wait_for_selector("#field[data-ready=yes]", timeout=60_000)

    def offline(self) -> None:
        self.context.set_offline(True)

    def online(self) -> None:
        self.context.set_offline(False)
        if not self.alive:
            self.server.start()
            self.alive = True

    def kill(self) -> None:
        if self.alive:
            self.server.kill()
            self.alive = False

    def upgrade(self) -> None:
        """Another version of the program, while records may wait."""
        if self.alive:
            self.server.kill()
        self.server.version += 1
        self.server.start()
        self.alive = True

    def lose(self) -> None:
        """The next send arrives, and its reply does not."""

        def lost(route: Any) -> None:
            with suppress(Error):  # the server may be dead: then nothing arrives either
                route.fetch()
            with suppress(Error):  # the page may be gone by now
                route.abort()

        self.page.route("**/field/send", lost, times=1)

    def second(self) -> None:
        """A second tab; the first is closed."""
        old, self.page = self.page, self._tab()
        old.close()

    def end(self) -> None:
        """Signal again, everything sent."""
        self.online()
        self.page.unroute("**/field/send")
        self.page.reload()
        self.page.wait_for_selector("#field[data-ready=yes]", timeout=60_000)
        for _ in range(40):
            if self.page.get_attribute("#waiting", "data-waiting") == "0":
                break
            with suppress(Error):  # it goes away as soon as all is sent
                self.page.get_by_role("button", name="Send").click(timeout=200)
            self.page.wait_for_timeout(300)
        assert self.page.get_attribute("#waiting", "data-waiting") == "0", self.told
        assert "not taken" not in self.page.locator("#waiting").inner_text(), self.told
        self.context.close()


def book_with_hives(path: Path) -> Path:
    """A book of one yard with four hives."""
    made = FieldBook(path, date.today())
    made.place_hives(made.add_yard(read_yard(FIRST_YARD)), [(tag, "") for tag in TAGS])
    return path


def held(path: Path) -> tuple[dict[str, list[float]], int]:
    """Frames of bees that hold, by tag, and how many questions wait."""
    engine = open_book(path)
    with looking(engine) as session:
        tags = {row.id: row.tag for row in session.scalars(select(FieldEntry))}
        links = {row.reading_id: tags[row.entry_id] for row in session.scalars(select(FieldReading))}
        found: dict[str, list[float]] = {}
        for row in session.scalars(current(Reading).where(Reading.kind == "frames_of_bees")):
            if row.id in links and row.value is not None:
                found.setdefault(links[row.id], []).append(row.value)
        open_now = session.scalars(current(FieldAnswer).where(FieldAnswer.answer == "conflict")).all()
    return found, len(open_now)


def lived(browser: Any, path: Path, seed: int, steps: int) -> list[str]:
    """One day of a phone; what differs at its end from what was entered."""
    random = Random(seed)
    server = Server(book_with_hives(path))
    try:
        life = Life(browser, server, random)
        for _ in range(steps):
            life.step()
        life.end()
    finally:
        server.kill()
    found, waits = held(path)
    entered = {tag: [value] for tag, value in life.entered.items()}
    wrong = [] if found == entered else [f"seed {seed}: {life.told}: entered {entered}, in the book {found}"]
    return wrong + ([f"seed {seed}: {waits} questions"] if waits else [])
