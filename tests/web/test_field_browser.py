"""The phone pages in a real browser, with and without signal: what is entered is in the book, once."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path

import pytest
from sqlalchemy import select

from breadline.jobs.field_book import FieldBook
from breadline.jobs.yard_file import read_yard
from breadline.records.append_only import current
from breadline.records.engine import looking, open_book
from breadline.records.field_tables import FieldReading
from breadline.records.tables import FieldEntry, Reading
from breadline.web.app import create_app
from web.phone_life import lived
from web.served import serving

pytestmark = pytest.mark.browser
TODAY = datetime.now(UTC).date()
FIRST_YARD = Path(__file__).parents[2] / "examples" / "first-yard" / "yard.toml"


@pytest.fixture
def book(tmp_path):
    path = tmp_path / "book.sqlite"
    made = FieldBook(path, TODAY)
    key = made.add_yard(read_yard(FIRST_YARD))
    made.place_hives(key, [("A1", "pallet 1, left"), ("A2", "pallet 1, right"), ("A3", "pallet 2, left")])
    return path


@pytest.fixture
def phone(browser, book):
    """A phone with the page open and kept, over a server that is running."""
    with serving(create_app(book, today=lambda: TODAY)) as where:
        context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True)
        page = context.new_page()
        page.messages = []
        page.on("pageerror", lambda error: page.messages.append(str(error)))
        page.goto(f"{where}/field/")
        page.wait_for_selector("#can[data-ready=yes]")
        yield page
        assert page.messages == []
        context.close()


def begin(page, work="Feeding round"):
    page.get_by_role("button", name=re.compile("hives")).first.click()
    page.get_by_role("button", name=work).click()
    page.wait_for_selector(".tag")


def tap(page, of, *names):
    for name in names:
        page.locator(f"fieldset[data-of={of}]").get_by_role("button", name=name, exact=True).click()


def next_hive(page):
    tag = page.locator("h1").inner_text()
    page.locator(".next").click()
    page.get_by_text(f"{tag} is kept.").wait_for()
    for _ in range(400):
        there = page.locator("h1")
        if not there.count() or there.first.inner_text() != tag:
            return
        page.wait_for_timeout(25)
    raise AssertionError(f"the page stays at {tag}")


def sent(page):
    page.wait_for_selector("#waiting[data-waiting='0']")


def frames(book) -> dict[str, list[float]]:
    """Frames of bees that hold, by the tag of the entry that they came with."""
    engine = open_book(book)
    with looking(engine) as session:
        tags = {row.id: row.tag for row in session.scalars(select(FieldEntry))}
        links = {row.reading_id: tags[row.entry_id] for row in session.scalars(select(FieldReading))}
        found: dict[str, list[float]] = {}
        for row in session.scalars(current(Reading).where(Reading.kind == "frames_of_bees")):
            if row.id in links and row.value is not None:
                found.setdefault(links[row.id], []).append(row.value)
    return found


def test_a_hive_takes_at_most_six_taps_and_is_in_the_book(phone, book):
    begin(phone)
    assert phone.locator("h1").inner_text() == "A1"
    tap(phone, "frames", "7", "½")
    tap(phone, "left", "Some")
    tap(phone, "put", "1 lb")
    tap(phone, "maggots", "No")
    next_hive(phone)  # the sixth
    assert phone.locator("h1").inner_text() == "A2"
    sent(phone)
    assert frames(book) == {"A1": [7.5]}


def test_ten_steps_without_signal_end_with_just_what_was_entered(phone, book):
    context = phone.context
    begin(phone, "A look inside")
    context.set_offline(True)
    tap(phone, "frames", "6")
    next_hive(phone)  # 1 entered without signal
    tap(phone, "frames", "4", "½")
    phone.locator("fieldset[data-of=frames] .value", has_text="4½").wait_for()  # shown, so it is kept
    phone.reload()  # 2 reloaded in the middle of a hive
    phone.wait_for_selector("#field[data-ready=yes]")
    assert phone.locator("h1").inner_text() == "A2"
    assert "4½" in phone.locator("fieldset[data-of=frames] legend").inner_text()
    next_hive(phone)  # 3
    phone.get_by_role("button", name="Undo").click()  # 4 taken back
    tap(phone, "frames", "5")  # a digit begins a new number
    next_hive(phone)  # 5 with another number
    phone.wait_for_selector("#waiting[data-waiting='2']")
    assert "2 hives kept on this phone" in phone.locator("#waiting").inner_text()
    second = context.new_page()  # 6 a second tab
    second.goto(phone.url)
    second.wait_for_selector("#field[data-ready=yes]")
    phone.close()  # 7 the first one closed
    context.set_offline(False)
    sent(second)  # 8 sent when there is signal again
    lost = []
    second.route("**/field/send", lambda route: (route.fetch(), lost.append(1), route.abort()))
    tap(second, "frames", "8")
    next_hive(second)  # 9 the reply is lost: the book has it, the phone does not know
    second.wait_for_selector("#waiting[data-waiting='1']")
    while not lost:
        second.wait_for_timeout(50)
    second.unroute("**/field/send")
    second.get_by_role("button", name="Send").click()  # 10 sent again
    sent(second)
    assert frames(book) == {"A1": [6.0], "A2": [5.0], "A3": [8.0]}
    phone.messages = []


def test_what_was_sent_is_mended_and_a_dead_hive_leaves_the_row(phone, book):
    begin(phone, "Grading")
    tap(phone, "frames", "9")
    next_hive(phone)
    sent(phone)
    phone.get_by_role("button", name="Undo").click()
    phone.get_by_text("Entered at").wait_for()
    tap(phone, "frames", "3")
    phone.get_by_role("button", name="Keep the change").click()
    phone.get_by_text("A1 is kept.").wait_for()
    tap(phone, "frames", "Dead")
    next_hive(phone)
    sent(phone)
    assert frames(book) == {"A1": [3.0]}
    kept = FieldBook(book, TODAY)
    rows = kept.hives(kept.hive_counts()[0][0])[1]
    assert [one.standing for one in rows] == ["stands", "dead", "stands"]


def test_taps_that_come_before_the_page_is_drawn_anew_all_count(phone):
    begin(phone)
    script = """() => { const of = document.querySelector("fieldset[data-of=frames]");
        const all = [...of.querySelectorAll("button")];
        const press = (text) => all.find((one) => one.textContent === text).click();
        press("10+"); press("4"); press("½"); }"""
    phone.evaluate(script)
    phone.locator("fieldset[data-of=frames] .value", has_text="14½").wait_for()


@pytest.mark.parametrize("seed", [1, 4])
def test_a_day_at_random_ends_with_just_what_was_entered(browser, tmp_path, seed):
    """The short form of ``scripts/soak field_phone``: 300 days of twelve steps."""
    assert lived(browser, tmp_path / "book.sqlite", seed, 8) == []


@pytest.mark.parametrize(
    ("line", "means"),
    [
        (
            "twelve, six and a half, half left, ok",
            {"tag": "12", "frames": 6.5, "left": "some", "queen": "seen"},
        ),
        ("A1, 7, nothing left, eggs", {"tag": "A1", "frames": 7, "left": "none", "queen": "eggs"}),
        ("six, most left, maggots", {"frames": 6, "left": "most", "maggots": 1}),
        ("1,5, no maggots", {"frames": 1.5, "maggots": 0}),
        ("12 1/2 frames maybe", {}),
        ("twenty two", {"frames": 22}),
        ("dead", {"dead": True}),
        ("no eggs, no queen", {"queen": "neither"}),
        ("five, no eggs", {"frames": 5, "queen": "neither"}),
        ("not dead", {}),
    ],
)
def test_a_spoken_line_becomes_taps_and_nothing_is_guessed(phone, line, means):
    script = """async ([line, tags]) => (await import("/static/field/spoken.js")).spoken(line, tags).found"""
    assert phone.evaluate(script, [line, ["A1", "A2", "12"]]) == means


def test_keys_of_the_phone_are_version_7_and_rise(phone):
    keys = phone.evaluate(
        """async () => { const { newKey } = await import("/static/field/key.js");
        return Array.from({ length: 5000 }, () => newKey()); }"""
    )
    assert keys == sorted(set(keys))
    assert all(
        re.fullmatch(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}", one)
        for one in keys
    )
