"""The pages in a real browser: on a phone, on a desk, on paper, without script, by keyboard."""

from __future__ import annotations

import re

import pytest

from web.pretend_book import WINTER_DAY, PretendBook
from web.served import served

pytestmark = pytest.mark.browser
ANSWERED = (
    "/straight-answer?where=US&brood=not_seen&mites=not_tested&honey=light&bees=4&bread=not_seen"
    "&flying=cold&first_pollen=3"
)
PAGES = ["/", "/yards/tarweed", "/straight-answer", ANSWERED, "/figures", "/figures/bread.g_per_cell"]
MOST_TAPS = 12


@pytest.fixture
def page(browser, request):
    """A page of the asked width that notes messages of the console and addresses asked for."""
    width = getattr(request, "param", 1280)
    context = browser.new_context(viewport={"width": width, "height": 844}, has_touch=width < 700)
    opened = context.new_page()
    opened.messages, opened.asked = [], []
    opened.on("console", lambda message: opened.messages.append(message.text))
    opened.on("pageerror", lambda error: opened.messages.append(str(error)))
    opened.on("request", lambda asked: opened.asked.append(asked.url))
    yield opened
    context.close()


@pytest.fixture(scope="module")
def looked_at():
    """A server that is only looked at, for all tests that write nothing."""
    with served(PretendBook(), WINTER_DAY) as where:
        yield where


@pytest.mark.parametrize("path", PAGES)
@pytest.mark.parametrize("page", [320, 390, 1280], indirect=True)
def test_a_page_fits_its_width_is_silent_and_asks_no_other_host(page, looked_at, path):
    page.goto(looked_at + path)
    page.evaluate("document.fonts.ready.then(() => true)")
    assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
    assert page.messages == []
    assert page.asked
    assert all(url.startswith(looked_at) for url in page.asked)
    loaded = page.evaluate("[...document.fonts].filter(f => f.status === 'loaded').map(f => f.family)")
    assert any("Breadline Text" in family for family in loaded)


def test_two_hives_get_a_straight_no_in_twelve_taps_without_script_or_account(browser, looked_at):
    context = browser.new_context(
        viewport={"width": 390, "height": 844}, has_touch=True, java_script_enabled=False
    )
    page = context.new_page()
    page.goto(looked_at)
    taps = 0

    def tap(what):
        nonlocal taps
        what.tap()
        taps += 1

    tap(page.get_by_role("link", name="Straight answer"))
    page.wait_for_url("**/straight-answer")
    asked = page.locator("fieldset").count()
    for words in (
        "United States", "Have not looked, or too cold to open", "Not tested", "One or more is light",
        "About 4", "Have not looked", "Too cold to fly", "March",
    ):  # fmt: skip
        field = page.locator("fieldset").nth(taps - 1)
        tap(field.get_by_text(words, exact=True))
    tap(page.get_by_role("button", name="Tell me"))
    page.wait_for_url("**first_pollen=3**")
    said = page.locator(".advice .say").inner_text()
    advice = page.locator(".advice").inner_text()
    context.close()
    assert asked == 8
    assert taps <= MOST_TAPS
    assert said.startswith("No protein feed now")
    assert "sugar on top" in said
    assert not re.search(r"\d\s*lb|patty", advice)


@pytest.mark.parametrize("page", [390], indirect=True)
def test_on_a_phone_the_picture_follows_the_first_sentence_and_the_reasons_come_below(page, looked_at):
    page.goto(looked_at + "/yards/tarweed")
    tops = [
        page.locator(part).bounding_box()["y"] for part in (".advice .head", ".on-phone svg", ".advice .why")
    ]
    assert tops == sorted(tops)
    assert page.locator(".on-phone").is_visible()
    assert not page.locator(".on-desk").is_visible()
    assert not page.locator(".on-paper").is_visible()


def test_the_advice_stands_beside_the_wide_picture_and_paper_gets_the_grey_one(page, looked_at):
    page.goto(looked_at + "/yards/tarweed")
    chart, advice = (page.locator(part).bounding_box() for part in (".on-desk svg", ".advice"))
    assert advice["x"] >= chart["x"] + chart["width"]
    assert abs(advice["y"] - chart["y"]) < 40
    page.emulate_media(media="print")
    assert page.locator(".on-paper").is_visible()
    assert not page.locator(".on-desk").is_visible()


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize(
    "path", ["/", "/yards/tarweed", "/straight-answer", ANSWERED, "/figures/bread.g_per_cell"]
)
def test_what_a_person_wants_on_paper_is_one_page(page, looked_at, path, paper):
    page.goto(looked_at + path)
    page.evaluate("document.fonts.ready.then(() => true)")
    printed = page.pdf(format=paper)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1


def test_the_questions_print_as_a_sheet_to_tick_and_an_answer_without_them(page, looked_at):
    page.emulate_media(media="print")
    page.goto(looked_at + "/straight-answer")
    assert page.locator("fieldset").last.is_visible()
    page.goto(looked_at + ANSWERED)
    assert not page.locator("fieldset").first.is_visible()
    assert "figures used" in page.locator(".foot").inner_text()


@pytest.mark.parametrize("page", [390, 1280], indirect=True)
def test_the_slices_of_all_yards_begin_under_each_other(page, looked_at):
    page.goto(looked_at)
    lefts = page.locator(".yards svg.slices").evaluate_all("all => all.map(e => e.getBoundingClientRect().x)")
    assert len(lefts) > 3
    assert max(lefts) - min(lefts) < 1


def test_the_picture_opens_as_a_table(page, looked_at):
    page.goto(looked_at + "/yards/tarweed")
    assert not page.locator(".wide-table").is_visible()
    page.get_by_text("As a table").click()
    assert page.locator(".wide-table tbody tr").count() == 30, "210 days are 30 weeks"
    assert page.locator(".wide-table th", has_text="Seasons short on the worst day").is_visible()


def test_a_figure_is_changed_marked_on_the_season_and_undone(page, address, book):
    key = book.season("tarweed").figures[0].key
    page.goto(address + "/yards/tarweed")
    assert page.locator(".edited").count() == 0
    page.get_by_text("Every figure behind this answer").click()
    page.locator(f'a[href="/figures/{key}"]').click()
    typed = page.get_by_label("Typical").input_value()
    for name in ("Low", "High"):
        page.get_by_label(name).fill(typed)
    page.get_by_label("Why").fill("our own yard")
    page.get_by_role("button", name="Use my value").click()
    page.wait_for_url(re.compile("told=changed"))
    assert "Changed." in page.get_by_role("status").inner_text()
    page.wait_for_load_state()
    assert page.locator(".edited").count() == 1
    page.goto(address + "/yards/tarweed")
    assert page.locator(".edited").is_visible()
    assert "1 edited" in page.locator("#figures").inner_text()
    page.locator(f'a[href="/figures/{key}"]').click()
    page.get_by_role("button", name="Undo").click()
    page.wait_for_url(re.compile("told=undone"))
    page.goto(address + "/yards/tarweed")
    assert page.locator(".edited").count() == 0
    assert page.messages == []


def test_a_refused_form_keeps_what_was_typed(page, address):
    page.goto(address + "/figures/bread.g_per_cell")
    page.get_by_label("Typical").fill("0,2")
    page.get_by_label("Why").fill("forty cells")
    page.get_by_role("button", name="Use my value").click()
    assert "decimal point" in page.get_by_role("alert").inner_text()
    assert page.get_by_label("Typical").input_value() == "0,2"
    assert page.get_by_label("Why").input_value() == "forty cells"
    assert page.get_by_label("Typical").get_attribute("aria-invalid") == "true"


def test_the_keyboard_reaches_the_answer_and_every_choice_with_a_ring_of_focus(page, looked_at):
    page.goto(looked_at + "/straight-answer")
    page.keyboard.press("Tab")
    skip = page.locator(".skip")
    assert skip.evaluate("e => e === document.activeElement")
    assert skip.bounding_box()["y"] >= 0
    page.keyboard.press("Enter")
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.name") == "where"
    ring = page.evaluate("getComputedStyle(document.activeElement.nextElementSibling).outlineWidth")
    assert ring == "3px"
    page.keyboard.press("ArrowRight")
    assert page.evaluate("document.querySelector('[name=where]:checked').value") == "CA"


@pytest.mark.parametrize("path", PAGES)
def test_a_page_names_its_language_parts_and_fields(page, looked_at, path):
    page.goto(looked_at + path)
    assert page.locator("html").get_attribute("lang") == "en"
    assert page.locator("h1").count() == 1
    assert page.locator("main").count() == 1
    assert "Breadline" in page.title()
    nameless = page.evaluate(
        "[...document.querySelectorAll('input:not([type=hidden]), button, a, summary')]"
        ".filter(e => !(e.labels && e.labels.length) && !e.textContent.trim() && !e.ariaLabel).length"
    )
    assert nameless == 0
