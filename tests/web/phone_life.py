"""A phone's day at random: hives entered while pages reload, signal goes, servers die, replies are lost."""

from __future__ import annotations

import atexit
import os
import shutil
import signal
import socket
import sqlite3
import subprocess
import sys
import tempfile
import time
import urllib.request
from collections.abc import Callable
from contextlib import closing, suppress
from dataclasses import dataclass, field
from datetime import date
from functools import cache
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
PATIENCE_S = 240.0  # a busy machine is no fault of the page [s]
TAGS = ("A1", "A2", "A3", "A4")
FORKS = """
import os, signal, sys
from datetime import date
from functools import cache
from pathlib import Path
import uvicorn
from breadline.web import app as pages
from breadline.web.pages import field
signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # nobody waits for those that are killed
pages.create_app(Path("none"), today=date.today)  # all is loaded before the first fork
field._shell()
for line in sys.stdin:
    book, port, version = line.rstrip("\\n").split("\\t")
    one = os.fork()
    if not one:
        field._digest = lambda: version
        uvicorn.run(pages.create_app(Path(book), today=date.today), port=int(port), log_level="error")
        os._exit(0)
    print(one, flush=True)
"""

# What the page waits for, told on its root: a day that breaks off shows what never came to an end.
UNENDED = """
(() => {
  const open = new Map(), root = () => document.documentElement;
  let n = 0;
  const tell = () => { root()?.setAttribute("data-unended", [...open.values()].join("; ")); };
  const keep = (what, coming) => {
    const id = n += 1;
    open.set(id, `${what} since ${Math.round(performance.now()) / 1000} s`); tell();
    Promise.resolve(coming).catch(() => {}).finally(() => { open.delete(id); tell(); });
    return coming;
  };
  const ends = (of, ...how) => new Promise((over) => how.forEach((end) => of.addEventListener(end, over)));
  const { fetch } = window, { request } = LockManager.prototype;
  const { transaction } = IDBDatabase.prototype, { open: opening } = IDBFactory.prototype;
  window.fetch = (...of) => keep(`fetch ${of[0]}`, fetch(...of));
  LockManager.prototype.request = function (name, how, work) {
    const held = (lock) => keep(`held ${Boolean(lock)}`, work(lock));
    return keep(`lock ${name}`, request.call(this, name, how, held));
  };
  IDBDatabase.prototype.transaction = function (...of) {
    const made = transaction.apply(this, of);
    keep(`${of[1]} of ${of[0]}`, ends(made, "complete", "abort", "error"));
    return made;
  };
  IDBFactory.prototype.open = function (...of) {
    const asked = opening.apply(this, of);
    keep(`opening ${of[0]}`, ends(asked, "success", "error"));
    return asked;
  };
})();
"""


@cache
def _forks() -> subprocess.Popen[str]:
    """A process that has loaded the program and forks a server for each line that it reads."""
    few = {**os.environ, "OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
    started = subprocess.Popen(
        [sys.executable, "-c", FORKS], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=few
    )
    atexit.register(started.kill)
    return started


class Server:
    """The pages in a process of their own, which can be killed and begun again as another version."""

    def __init__(self, book: Path) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.book, self.version, self.process = book, 1, 0
        self.start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}"

    def start(self) -> None:
        forks = _forks()
        assert forks.stdin is not None
        assert forks.stdout is not None
        forks.stdin.write(f"{self.book}\t{self.port}\tversion{self.version}\n")
        forks.stdin.flush()
        self.process = int(forks.stdout.readline())
        until = time.monotonic() + PATIENCE_S
        while time.monotonic() < until:
            try:
                urllib.request.urlopen(f"{self.address}/field/app.webmanifest", timeout=20).close()
                return
            except OSError:
                time.sleep(0.02)
        raise AssertionError("the server did not start")

    def kill(self) -> None:
        """``kill -9``, at whatever it was doing."""
        with suppress(ProcessLookupError):
            for _ in range(1500):
                os.kill(self.process, signal.SIGKILL)
                time.sleep(0.02)


@dataclass
class Life:
    """One phone with up to two tabs, and what was entered on it."""

    browser: Any
    server: Server
    random: Random
    entered: dict[str, float | None] = field(default_factory=dict)
    told: list[str] = field(default_factory=list)
    taken: tuple[str, float | None] | None = None  # taken back as the last thing

    def __post_init__(self) -> None:
        self.context = self.browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        self.context.set_default_timeout(1000 * PATIENCE_S)
        self.context.add_init_script(UNENDED)
        self.page = self._tab()
        self.alive = True
        self.page.wait_for_selector("#can[data-ready=yes]")
        self.page.get_by_role("button", name="4 hives").click()
        self.page.get_by_role("button", name="Grading").click()
        self.page.wait_for_selector(".tag")

    def _tab(self) -> Any:
        page = self.context.new_page()
        page.goto(f"{self.server.address}/field/")
        page.wait_for_selector("#field[data-ready=yes]")
        return page

    def step(self) -> None:
        """One thing that happens, at random."""
        happens = self.random.choices(
            (self.enter, self.undo, self.take_back, self.wander, self.back, self.reload, self.offline,
             self.online, self.kill, self.lose, self.second, self.upgrade),
            (10, 2, 2, 1, 2, 3, 2, 3, 1, 2, 1, 0.5),
        )[0]  # fmt: skip
        self.told.append(happens.__name__)
        happens()

    def enter(self) -> None:
        """The next hive, or one that was entered before, with another number."""
        tag = self.random.choice(TAGS)
        value = self.tapped(tag)
        self.page.locator(".next").click()
        self.entered[tag], self.taken = value, None
        self.until(lambda: self.heading() != tag)

    def tapped(self, tag: str) -> float:
        """Go to a hive and tap a number."""
        value = float(self.random.randrange(0, 10))
        self.go_to(tag)
        if self.shown() != f"{value:g}":
            pad = self.page.locator("fieldset[data-of=frames]")
            pad.get_by_role("button", name=f"{value:g}", exact=True).click()
            self.until(lambda: self.shown() == f"{value:g}")
        return value

    def go_to(self, tag: str) -> None:
        if self.heading() != tag:
            if self.page.locator(".tag").count():
                self.page.get_by_role("button", name="Another hive").click()
            self.page.locator(".tags").get_by_role("button", name=tag).first.click()
            self.until(lambda: self.heading() == tag)

    def wander(self) -> None:
        """Tap a number and leave the hive: nothing is entered."""
        tag, other = self.random.sample(TAGS, 2)
        self.tapped(tag)
        self.go_to(other)

    def back(self) -> None:
        """The phone's own Back, after taps that are not entered: the screen before, and on from there."""
        self.tapped(self.random.choice(TAGS))
        step = self.step_shown()
        self.page.go_back()
        self.until(lambda: self.step_shown() != step)
        work = self.page.get_by_role("button", name="Grading")
        if work.count():
            work.click()
            self.until(lambda: not work.count())

    def step_shown(self) -> str | None:
        """Which step of its history the page shows."""
        told: str | None = self.page.locator("html").get_attribute("data-step")
        return told

    def take_back(self) -> None:
        """What was entered of a hive is wrong altogether."""
        tag = self.random.choice(TAGS)
        if tag in self.entered:
            self.go_to(tag)
            button = self.page.get_by_role("button", name="Take it back")
            button.click()
            self.until(lambda: not button.count())
            self.taken = (tag, self.entered.pop(tag))

    def heading(self) -> str:
        """The hive that is open; empty where none is."""
        return "".join(self.page.locator("h1").all_inner_texts()[:1])

    def shown(self) -> str:
        """Its frames of bees as the page has them."""
        return "".join(self.page.locator("fieldset[data-of=frames] .value").all_inner_texts())

    def until(self, so: Callable[[], bool]) -> None:
        """Wait for something to be so; the page allows no script of others that could."""
        end = time.monotonic() + PATIENCE_S
        while not so():
            assert time.monotonic() < end, (self.told, self.seen())
            self.page.wait_for_timeout(20)

    def seen(self) -> str:
        """What the page shows, and where one could tap: for whoever has to find out why a day broke off."""
        script = "[document.readyState, document.documentElement?.dataset.unended].join(', not ended: ')"
        try:
            shown = " | ".join(self.page.locator("#main, #waiting").all_inner_texts()).replace("\n", " / ")
            return f"{shown} | {self.page.evaluate(script)}"
        except Error as gone:  # the page itself did not come in
            return str(gone)

    def undo(self) -> None:
        """Look at the last one again and leave it as it is; or bring back what was taken back."""
        again = self.page.get_by_role("button", name="Undo")
        if not again.count():
            return
        tag = (again.first.get_attribute("aria-label") or "").removeprefix("Undo ")
        taken, self.taken = self.taken, None
        if taken is not None and taken[0] == tag:
            self.brought_back(tag, taken[1])
            return
        value = self.entered[tag]
        again.first.click()
        self.until(lambda: self.heading() == tag and self.shown() == f"{value:g}")
        self.page.locator(".next").click()
        self.until(lambda: self.heading() != tag)

    def brought_back(self, tag: str, value: float | None) -> None:
        """What was taken back holds again, unless the book was told so already."""
        self.page.get_by_role("button", name="Undo").first.click()
        late = self.page.get_by_text("was taken back in the book already")
        here = self.page.get_by_text("Entered at")
        self.until(lambda: late.count() > 0 or (self.heading() == tag and here.count() > 0))
        if not late.count():
            self.entered[tag] = value

    def reload(self) -> None:
        self.page.reload()
        self.page.wait_for_selector("#field[data-ready=yes]")

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

    def through(self, steps: int) -> None:
        """A whole day; where the page does not come in, what it shows."""
        try:
            for _ in range(steps):
                self.step()
            self.end()
        except Error as broken:
            raise AssertionError(f"{broken}: {self.told}, {self.seen()}") from broken

    def end(self) -> None:
        """Signal again, everything sent."""
        self.online()
        self.page.unroute("**/field/send")
        self.page.reload()
        self.page.wait_for_selector("#field[data-ready=yes]")
        end = time.monotonic() + PATIENCE_S
        while self.page.get_attribute("#waiting", "data-waiting") != "0" and time.monotonic() < end:
            with suppress(Error):  # it goes away as soon as all is sent
                self.page.get_by_role("button", name="Send").click(timeout=200)
            self.page.wait_for_timeout(300)
        assert self.page.get_attribute("#waiting", "data-waiting") == "0", (self.told, self.seen())
        assert "not taken" not in self.page.locator("#waiting").inner_text(), (self.told, self.seen())
        self.context.close()


@cache
def _new_book() -> Path:
    """A book of one yard with four hives, to be copied."""
    path = Path(tempfile.mkdtemp()) / "book.sqlite"
    atexit.register(shutil.rmtree, path.parent)
    made = FieldBook(path, date.today())
    made.place_hives(made.add_yard(read_yard(FIRST_YARD)), [(tag, "") for tag in TAGS])
    return path


def book_with_hives(path: Path) -> Path:
    """A copy of it."""
    with closing(sqlite3.connect(_new_book())) as new, closing(sqlite3.connect(path)) as copy:
        new.backup(copy)
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
        life.through(steps)
    finally:
        server.kill()
    found, waits = held(path)
    entered = {tag: [value] for tag, value in life.entered.items()}
    wrong = [] if found == entered else [f"seed {seed}: {life.told}: entered {entered}, in the book {found}"]
    return wrong + ([f"seed {seed}: {waits} questions"] if waits else [])
