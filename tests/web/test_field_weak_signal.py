"""Signal so weak that a connection comes about and no answer does: a server that is held."""

from __future__ import annotations

import os
import signal
from contextlib import contextmanager
from datetime import date

import pytest

from breadline.jobs.field_book import FieldBook
from web.phone_life import TAGS, Server, book_with_hives, held

pytestmark = pytest.mark.browser
READY = "#field[data-ready=yes]"
SOON = (
    15_000  # ms; the phone gives an answer 2.5 s before it shows what lies on it, the rest is a busy machine
)


@contextmanager
def silent(server):
    """No answer comes while this lasts; connections do."""
    os.kill(server.process, signal.SIGSTOP)
    try:
        yield
    finally:
        os.kill(server.process, signal.SIGCONT)


@pytest.fixture
def server(tmp_path):
    started = Server(book_with_hives(tmp_path / "book.sqlite"))
    yield started
    started.kill()


@pytest.fixture
def phone(browser, server):
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
    page = context.new_page()
    page.goto(f"{server.address}/field/")
    page.wait_for_selector("#can[data-ready=yes]", timeout=120_000)
    yield page
    context.close()


def one_hive_more(book):
    fields = FieldBook(book, date.today())
    ((yard, _, _),) = fields.hive_counts()
    fields.place_hives(yard, [(tag, "") for tag in (*TAGS, "A5")])


def graded(page, number):
    page.locator("fieldset[data-of=frames]").get_by_role("button", name=number, exact=True).click()
    page.locator(f"fieldset[data-of=frames] .value >> text='{number}'").wait_for()
    page.locator(".next").click()


def test_the_page_opens_and_enters_where_nothing_answers_and_all_is_sent_later(phone, server):
    with silent(server):
        phone.reload()
        phone.wait_for_selector(READY, timeout=SOON)
        phone.get_by_role("button", name="4 hives").click()
        phone.get_by_role("button", name="Grading").click()
        phone.wait_for_selector(".tag")
        graded(phone, "7")
        phone.get_by_text("A1 is kept.").wait_for()
        phone.locator("h1", has_text="A2").wait_for()
        phone.reload()
        phone.wait_for_selector(READY, timeout=SOON)
        assert phone.locator("h1").inner_text() == "A2"
        assert phone.get_attribute("#waiting", "data-waiting") == "1"
    phone.wait_for_selector("#waiting[data-waiting='0']", timeout=120_000)
    assert held(server.book) == ({"A1": [7.0]}, 0)


def test_hives_that_come_late_take_the_place_of_those_that_were_shown(phone, server):
    with silent(server):
        phone.reload()
        phone.wait_for_selector(READY, timeout=SOON)
        assert phone.get_by_role("button", name="4 hives").count() == 1
        one_hive_more(server.book)
    phone.get_by_role("button", name="5 hives").wait_for(timeout=120_000)


def test_hives_that_come_late_take_nobody_off_the_screen_in_hand(phone, server):
    with silent(server):
        phone.reload()
        phone.wait_for_selector(READY, timeout=SOON)
        phone.get_by_role("button", name="4 hives").click()
        phone.get_by_text("What is this visit?").wait_for()
        one_hive_more(server.book)
    phone.wait_for_selector("#can[data-ready=yes]", timeout=120_000)
    phone.get_by_role("button", name="Yards").click()
    phone.get_by_role("button", name="5 hives").wait_for(timeout=120_000)


NEVER = """const asked = window.fetch; let first = true;
window.fetch = (...given) => {
  const never = first && String(given[0]).endsWith("/field/send");
  if (never) first = false;
  return never ? new Promise(() => {}) : asked(...given);
};"""


def test_what_never_comes_to_an_end_holds_back_no_later_sending(phone, server):
    phone.add_init_script(NEVER)
    phone.clock.install()
    phone.reload()
    phone.wait_for_selector(READY)
    phone.get_by_role("button", name="4 hives").click()
    phone.get_by_role("button", name="Grading").click()
    phone.wait_for_selector(".tag")
    graded(phone, "7")
    phone.locator("h1", has_text="A2").wait_for()
    phone.clock.fast_forward(25_000)
    phone.wait_for_selector("#waiting >> text=no signal", timeout=120_000)
    phone.clock.fast_forward(25_000)
    phone.wait_for_selector("#waiting[data-waiting='0']", timeout=120_000)
    assert held(server.book) == ({"A1": [7.0]}, 0)
