"""The pages about feed in a real browser: on a phone, on a desk, on paper, with and without script."""

from __future__ import annotations

import re
import sqlite3
import time
from contextlib import closing
from dataclasses import replace
from datetime import date

import pytest

from breadline.jobs import cheapest_search
from breadline.jobs.demo_feed import put_feed_in
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_written import Amount
from breadline.ration.model import Progress
from breadline.ration.solver import Conflict
from breadline.web.app import create_app
from web.feed_forms import BATCH, CHEAPEST, RECIPE, RECIPE_PAGE
from web.served import serving

pytestmark = pytest.mark.browser
DAY = date(2026, 8, 22)
LABEL = "/feed/bought/Sorrel%20Bend%20ready%20patty"
REFUSED = "An invented patty with bought pollen"
VIEWS = ["/feed", f"/feed/recipe/{REFUSED}", RECIPE_PAGE, CHEAPEST, BATCH, LABEL, "/feed/bought",
         "/feed/ingredients", "/feed/new",
         *(RECIPE_PAGE.replace("recipe", at) for at in ("versions", "version/1")),
         *(at.replace("spring", "autumn") for at in (RECIPE_PAGE, CHEAPEST, BATCH))]  # fmt: skip


@pytest.fixture
def address(feed_book):
    put_feed_in(feed_book)
    with serving(create_app(feed_book, today=lambda: DAY)) as where:
        yield where


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
def looked_at(first_feed_book, tmp_path_factory):
    """A server that is only looked at, for all tests that write nothing."""
    path = tmp_path_factory.mktemp("looked") / "book.sqlite"
    with closing(sqlite3.connect(first_feed_book)) as made, closing(sqlite3.connect(path)) as copy:
        made.backup(copy)
    put_feed_in(path)
    desk = FeedDesk(path)
    file = desk.version(RECIPE).file
    unknown = Amount("bee_pollen", 5, "lb")
    desk.keep(replace(file, name=REFUSED, amounts=(*file.amounts, unknown)), "pollen from nobody knows where")
    with serving(create_app(path, today=lambda: DAY)) as where:
        yield where


@pytest.mark.parametrize("page", [320, 390, 1280], indirect=True)
def test_every_view_fits_its_width_is_silent_and_asks_no_other_host(page, looked_at):
    address = looked_at
    for path in VIEWS:
        page.goto(address + path)
        page.evaluate("document.fonts.ready.then(() => true)")
        assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0, path
        assert page.messages == [], path
    assert all(url.startswith(address) for url in page.asked)


@pytest.mark.parametrize("page", [390, 1280], indirect=True)
def test_from_feed_to_another_price_and_the_mix_that_follows_at_once(page, address):
    page.goto(address)
    page.get_by_role("link", name="Feed", exact=True).click()
    page.get_by_role("link", name=RECIPE, exact=True).click()
    page.get_by_role("link", name="Cheapest mix").click()
    said = page.locator("#answer .say")
    before = said.inner_text()
    cost = float(re.search(r"US\$(\d+\.\d+) a pound", before)[1])
    page.get_by_label("You pay of Soy flour, defatted").fill("76")
    page.wait_for_function("was => document.querySelector('#answer .say').innerText !== was", arg=before)
    assert float(re.search(r"US\$(\d+\.\d+) a pound", said.inner_text())[1]) > cost
    assert page.url.endswith(CHEAPEST), "the page stays where it is"
    assert page.get_by_label("You pay of Soy flour, defatted").input_value() == "76"
    if page.viewport_size["width"] < 700:
        assert "a pound" in page.locator("#now").inner_text()
        assert page.locator("#now").is_visible()
    assert page.messages == []


def test_targets_that_cannot_be_had_are_told_in_words_and_mended_again(page, address):
    page.goto(address + CHEAPEST)
    least = page.locator("[name=target-0-at_least]")
    least.fill("70")
    page.get_by_role("heading", name="The nearest mix").wait_for()
    assert "instead of 70\u00a0%" in page.locator("#answer").inner_text()
    least.fill("1,500")
    page.locator("#answer [role=alert]").wait_for()
    assert "At least, target 1: " in page.locator("#answer").inner_text()
    assert "Write 1.5." in page.locator("#answer").inner_text()
    least.fill("15,5")
    page.get_by_role("heading", name="What holds the cost up").wait_for()
    assert page.messages == [], "half a number is no failure for the console"


def test_whole_bags_show_a_mix_at_once_and_how_the_search_goes_on(page, address, monkeypatch):
    monkeypatch.setattr(cheapest_search, "STANDING_S", 0.2)
    page.goto(address + CHEAPEST)
    page.locator("[name=solve-seconds]").fill("1")
    page.locator("[name=solve-fill_least_pct]").fill("85")
    page.get_by_label("Whole bags only of Soy flour, defatted").check()
    page.locator(".mixed").get_by_text(re.compile(r"\d\sbags?")).first.wait_for()
    page.locator(".going").wait_for(state="detached")
    page.get_by_role("heading", name="Next best").wait_for()
    assert "?search=" in page.url
    page.reload()
    assert page.locator("[name=solve-fill_least_pct]").input_value() == "85", "nothing typed is lost"
    assert page.locator(".going").count() == 0, "the same question is not searched for again"
    assert page.messages == []


@pytest.fixture
def long_search(monkeypatch):
    """A search that finds a mix with more syrup, then the answer, and goes on until it is stopped."""
    real = cheapest_search.cheapest

    def searching(problem, *, start=None, watch=None, stop=None):
        found = real(replace(problem, making=replace(problem.making, time_limit_s=1.0)), start=start)
        if watch is None:
            return found
        mixes = ({**found.shares_of_mixer, "syrup_67_brix": 0.9}, found.shares_of_mixer)
        begun = time.monotonic()
        while not stop() and (gone := time.monotonic() - begun) < 20:
            n = int(gone > 0.6)
            watch(Progress(gone, found.cost_per_kg * (1.2 - 0.2 * n), 0.3, mixes[n]))
            time.sleep(0.05)
        return replace(found, gap=0.3, stopped=True)

    def nothing_yet(problem, *_):
        return Conflict(problem, False, (), False, (), None)

    monkeypatch.setattr(cheapest_search, "cheapest", searching)
    monkeypatch.setattr(cheapest_search, "first_look", nothing_yet)
    monkeypatch.setattr(cheapest_search, "STANDING_S", 0.1)


@pytest.mark.parametrize("script", [True, False])
def test_a_long_search_shows_each_better_mix_and_is_stopped_by_its_button(
    browser, address, long_search, script
):
    context = browser.new_context(java_script_enabled=script)
    page = context.new_page()
    page.goto(address + CHEAPEST)
    page.locator("[name=solve-at_least_if_used_pct]").fill("2")
    if not script:
        page.get_by_role("button", name="Work it out").click()
    page.get_by_text("Mix 2 costs").wait_for() if script else page.wait_for_timeout(1200)
    if script:
        assert page.locator(".mixed .changed .was").count() >= 2
    else:
        page.get_by_role("link", name="Look again").click()
        assert "Mix 2 costs" in page.locator(".going").inner_text()
    page.get_by_role("button", name="Stop here").click()
    page.get_by_text("The search ended with a gap of").wait_for()
    assert page.locator(".mixed").count() == 1
    context.close()


@pytest.mark.parametrize("page", [390, 1280], indirect=True)
def test_every_bucket_of_the_batch_sheet_is_ticked_by_a_finger(page, address):
    page.goto(address + BATCH)
    boxes = page.locator(".boxes input")
    assert boxes.count() >= 8
    for n in range(boxes.count()):
        size = boxes.nth(n).bounding_box()
        assert min(size["width"], size["height"]) >= 44
        boxes.nth(n).check()
    steps = page.locator(".step-line")
    for n in range(steps.count()):
        steps.nth(n).click()
    assert page.locator(".batch input[type=checkbox]:not(:checked)").count() == 0
    page.locator(".yours input").first.fill("33.2")
    page.reload()
    assert page.locator(".batch input[type=checkbox]:not(:checked)").count() == 0, "they are kept"
    assert page.locator(".yours input").first.input_value() == "33.2"
    page.goto(address + BATCH + "?mixing-batch=150")
    assert page.locator(".batch input:checked").count() == 0, "another sheet has its own"
    assert page.messages == []


def test_pollen_without_papers_is_refused_on_the_page_as_it_is_typed(page, address):
    page.goto(address + RECIPE_PAGE)
    page.locator("[name=part-6-ingredient]").select_option("bee_pollen")
    page.locator("[name=part-6-amount]").fill("10")
    page.locator("[name=part-6-unit]").select_option("lb")
    page.locator("#answer").get_by_text("foulbrood").first.wait_for()
    page.locator("[name=pollen-origin]").select_option("own")
    page.locator("[name=pollen-free_of_foulbrood]").select_option("yes")
    page.locator("#answer .say").get_by_text("Real pollen makes up").wait_for()


@pytest.mark.parametrize("page", [390], indirect=True)
def test_a_drug_in_the_note_is_refused_and_the_note_is_still_there(page, address):
    page.goto(address + RECIPE_PAGE)
    page.locator("[name=note]").fill("add terramycin")
    page.get_by_role("button", name="Save as a new version").click()
    assert "veterinarian" in page.locator(".wrong").first.inner_text()
    assert page.locator("[name=note]").input_value() == "add terramycin"


def test_it_all_works_without_script(browser, address):
    context = browser.new_context(viewport={"width": 390, "height": 844}, java_script_enabled=False)
    page = context.new_page()
    page.goto(address + CHEAPEST)
    page.locator("[name=price-0-price]").fill("76")
    page.get_by_role("button", name="Work it out").click()
    assert page.locator("[name=price-0-price]").input_value() == "76"
    page.locator("[name=as]").fill("Without script")
    page.get_by_role("button", name="Keep the mix").click()
    assert page.locator("h1").inner_text() == "Without script"
    page.get_by_role("link", name="Batch sheet").click()
    page.locator(".boxes input").first.check()
    context.close()


def test_what_a_person_wants_on_paper_is_one_page(page, looked_at):
    for path in ("/feed", RECIPE_PAGE, CHEAPEST, BATCH, LABEL, f"{BATCH}?language=es"):
        page.goto(looked_at + path)
        page.evaluate("document.fonts.ready.then(() => true)")
        for paper in ("Letter", "A4"):
            printed = page.pdf(format=paper)
            assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1, (path, paper)


def test_the_keyboard_reaches_the_first_price_and_an_error_is_one_step_away(page, address):
    page.goto(address + CHEAPEST)
    page.get_by_label("You pay of Soy flour, defatted").focus()
    page.keyboard.press("ControlOrMeta+a")
    page.keyboard.type("0")
    page.keyboard.press("Enter")
    page.wait_for_selector("#wrong")
    page.get_by_role("link", name="Go to it").click()
    page.wait_for_function("location.hash === '#price-0-price'")
    assert page.locator("#price-0-price").get_attribute("aria-invalid") == "true"
