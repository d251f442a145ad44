"""Another version of the phone pages: brought in beside the one that is shown, whole, no page left blank."""

from __future__ import annotations

from contextlib import contextmanager
from datetime import date
from random import Random

import pytest

from breadline.jobs.field_book import FieldBook
from breadline.jobs.phones import PhonesBook
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from breadline.web.pages import field
from tests.conftest import chromium
from web.phone_here import FIRST_YARD
from web.phone_upgrades import GC, Upgraded, clears_up_often, opened, upgrades
from web.served import serving

pytestmark = pytest.mark.browser


@pytest.fixture
def program(tmp_path, monkeypatch):
    book = tmp_path / "book.sqlite"
    FieldBook(book, date.today()).add_yard(read_yard(FIRST_YARD))
    with serving(create_app(book, today=date.today)) as where:
        yield Upgraded(where, monkeypatch)


@pytest.fixture
def phone(browser, program):
    with phone_of(browser, program) as page:
        yield page


@contextmanager
def phone_of(browser, program):
    context = browser.new_context(viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(f"{program.where}/field/")
    page.wait_for_selector("#can[data-ready=yes]", timeout=120_000)
    yield page
    context.close()


def opened_again(page):
    page.reload()
    return opened(page)


def until_kept(page, version):
    """Wait until the phone has this version whole."""
    asks = "caches.match('/field/breadline-field-which').then((kept) => kept?.text())"
    for _ in range(2400):
        if page.evaluate(asks) == version:
            return
        page.wait_for_timeout(50)
    raise AssertionError(f"version {version} never came")


def test_a_newer_version_is_there_at_the_opening_after_it_came_with_and_without_signal(phone, program):
    assert opened_again(phone) == "1"
    until_kept(phone, "1")
    program.upgrade()
    assert opened_again(phone) == "1"  # what lies on the phone opens at once; the newer one comes meanwhile
    until_kept(phone, "2")
    phone.context.set_offline(True)
    assert opened_again(phone) == "2"
    phone.context.set_offline(False)
    assert opened_again(phone) == "2"


def test_versions_that_no_page_was_opened_with_are_gone_and_those_that_were_stay_for_it(phone, program):
    assert opened_again(phone) == "1"
    for version in ("2", "3"):
        program.upgrade()
        phone.evaluate("import('/static/field/newer.js').then(({ newer }) => newer())")
        until_kept(phone, version)
        assert opened(phone) == "1"  # its parts too
    names = set(phone.evaluate("caches.keys()"))
    assert names == {"breadline-field-which", "breadline-field-1", "breadline-field-3"}


def test_a_version_that_does_not_come_whole_is_not_shown(phone, program, monkeypatch):
    until_kept(phone, "1")
    monkeypatch.setattr(field, "SHELL", (*field.SHELL, "/static/none.css"))
    program.upgrade()
    assert opened_again(phone) == "1"
    phone.wait_for_selector("#can[data-ready=yes]")
    for _ in range(40):  # it is tried, and given up
        phone.wait_for_timeout(50)
        assert opened_again(phone) == "1"
    monkeypatch.setattr(field, "SHELL", field.SHELL[:-1])
    assert opened_again(phone) == "1"
    until_kept(phone, "2")


def test_the_language_stays_where_a_laptop_answers_and_its_pages_do_not_come(phone, program, monkeypatch):
    until_kept(phone, "1")
    monkeypatch.setattr(field, "SHELL", (*field.SHELL, "/static/none.css"))
    program.upgrade()
    phone.get_by_role("button", name="Español").click()
    phone.get_by_text("The language stays: the page did not come whole.").wait_for(timeout=120_000)
    assert opened_again(phone) == "1"
    assert phone.locator("html").get_attribute("lang") == "en"


def test_the_language_changes_though_a_version_was_just_coming(phone, program):
    until_kept(phone, "1")
    program.slow_s = 1.0
    phone.reload()
    phone.get_by_role("button", name="Español").click()
    phone.get_by_role("heading", name="¿Qué apiario?").wait_for(timeout=120_000)
    assert phone.locator("html").get_attribute("lang") == "es"


def test_parts_that_do_not_come_the_first_time_are_told(browser, program, monkeypatch):
    monkeypatch.setattr(field, "SHELL", (*field.SHELL, "/static/none.css"))
    page = browser.new_page()
    page.goto(f"{program.where}/field/")
    page.get_by_text("The phone did not let this page work without signal").wait_for(timeout=120_000)
    assert page.evaluate("caches.keys()") == []
    page.context.close()


def test_a_worker_that_lost_its_parts_does_not_say_that_it_works_without_signal(phone, program, monkeypatch):
    until_kept(phone, "1")
    phone.evaluate("caches.keys().then((names) => Promise.all(names.map((name) => caches.delete(name))))")
    monkeypatch.setattr(field, "SHELL", (*field.SHELL, "/static/none.css"))
    phone.reload()
    phone.get_by_text("The phone did not let this page work without signal").wait_for(timeout=120_000)
    monkeypatch.setattr(field, "SHELL", field.SHELL[:-1])
    assert opened_again(phone) == "1"
    phone.wait_for_selector("#can[data-ready=yes]", timeout=120_000)
    phone.context.set_offline(True)
    assert opened_again(phone) == "1"


def test_a_version_that_an_open_page_has_is_not_taken_from_it_where_it_comes_again(
    phone, program, monkeypatch
):
    assert opened_again(phone) == "1"
    program.upgrade()
    newer = "import('/static/field/newer.js').then(({ newer }) => newer())"
    assert phone.evaluate(newer)
    until_kept(phone, "2")
    program.version = 1  # the former program again, of which a part does not come
    monkeypatch.setattr(field, "SHELL", (*field.SHELL, "/static/none.css"))
    assert phone.evaluate(newer)  # it lies here whole: nothing has to come
    until_kept(phone, "1")
    phone.context.set_offline(True)
    assert phone.evaluate("fetch('/static/field/tags.js').then((came) => came.ok)")
    assert phone.locator("html").get_attribute("data-version") == "1"


def test_a_page_keeps_its_version_though_the_worker_was_stopped_and_a_newer_one_came(phone, program):
    assert opened_again(phone) == "1"
    stop = phone.context.new_cdp_session(phone)
    stop.send("ServiceWorker.enable")
    for version in ("2", "3"):
        program.upgrade()
        stop.send("ServiceWorker.stopAllWorkers")
        phone.evaluate("import('/static/field/newer.js').then(({ newer }) => newer())")
        until_kept(phone, version)
        stop.send("ServiceWorker.stopAllWorkers")
        assert opened(phone) == "1"  # its parts too


def test_a_worker_that_waits_takes_no_parts_from_the_one_in_charge(phone, program):
    assert opened_again(phone) == "1"
    second = phone.context.new_page()
    second.goto(phone.url)
    assert opened(second) == "1"
    program.other_worker()
    program.upgrade()
    assert opened_again(phone) == "1"
    waits = "navigator.serviceWorker.getRegistration('/field/').then((at) => Boolean(at.waiting))"
    for _ in range(2400):
        if phone.evaluate(waits):
            break
        phone.wait_for_timeout(50)
    phone.context.set_offline(True)
    for page in (phone, second, phone):
        assert opened_again(page) in ("1", "2")
    phone.context.set_offline(False)
    second.close()
    phone.goto("about:blank")  # no page of it is open: the one that waits takes over
    phone.goto(f"{program.where}/field/")
    assert opened(phone) == "2"
    phone.context.set_offline(True)
    assert opened_again(phone) == "2"


def test_a_phone_that_was_let_in_has_its_pages_without_signal(browser, tmp_path):
    book = tmp_path / "book.sqlite"
    FieldBook(book, date.today()).add_yard(read_yard(FIRST_YARD))
    app = create_app(book, today=date.today, hosts=("127.0.0.1",))

    async def from_the_network(scope, receive, send):
        await app(scope | {"client": ("192.168.1.77", 50000)}, receive, send)

    with serving(from_the_network) as where:
        context = browser.new_context(viewport={"width": 390, "height": 844})
        page = context.new_page()
        page.goto(f"{where}/pair")
        page.locator("input[name=code]").fill(PhonesBook(book).offer("Crew 1"))
        page.locator("input[name=code]").press("Enter")
        page.get_by_role("heading", name="Which yard?").wait_for(timeout=120_000)
        page.wait_for_selector("#can[data-ready=yes]", timeout=120_000)
        context.set_offline(True)
        page.reload()
        page.get_by_role("heading", name="Which yard?").wait_for()
        context.close()


def test_pages_that_the_laptop_writes_have_its_own_looks_after_an_upgrade(phone, program):
    until_kept(phone, "1")
    came = []
    phone.context.on("response", lambda answer: came.append((answer.url, answer.from_service_worker)))
    phone.goto(f"{program.where}/field/questions")
    kept = {url for url, by_worker in came if by_worker and url.endswith("/breadline.css")}
    fetched = {url for url, by_worker in came if not by_worker and url.endswith("/breadline.css")}
    assert (len(kept), len(fetched)) in {(0, 1), (1, 1)}  # through the worker, and from the laptop


def test_no_page_stays_blank_while_versions_change_and_a_worker_s_memory_is_cleared(browser, program):
    """The short form of ``scripts/soak.d/field_upgrades.py``."""
    small = browser.browser_type.launch(executable_path=chromium(), args=["--no-sandbox", GC])
    with phone_of(small, program) as page:
        clears_up_often(page.context)
        assert upgrades(page, program, Random(7), 12) == []
    small.close()
