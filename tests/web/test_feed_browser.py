"""The pages about feed in a real browser: on a phone, on a desk, on paper, with and without script."""

from __future__ import annotations

import re
from datetime import date

import pytest

from breadline.jobs.demo_feed import put_feed_in
from breadline.web.app import create_app
from web.feed_forms import BATCH, CHEAPEST, RECIPE, RECIPE_PAGE
from web.served import serving

pytestmark = pytest.mark.browser
DAY = date(2026, 8, 22)
VIEWS = ["/feed", RECIPE_PAGE, CHEAPEST, BATCH, "/feed/bought/Sorrel%20Bend%20ready%20patty", "/feed/bought",
         "/feed/ingredients", "/feed/new",
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


@pytest.mark.parametrize("page", [320, 390, 1280], indirect=True)
def test_every_view_fits_its_width_is_silent_and_asks_no_other_host(page, address):
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
    page.get_by_role("link", name=RECIPE).click()
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
    assert "instead of 70 %" in page.locator("#answer").inner_text()
    least.fill("15,5")
    page.locator("#answer [role=alert]").wait_for()
    assert "Write 15.5" in page.locator("#answer").inner_text()
    least.fill("15.5")
    page.get_by_role("heading", name="What holds the cost up").wait_for()


def test_whole_bags_show_a_mix_at_once_and_how_the_search_goes_on(page, address):
    page.goto(address + CHEAPEST)
    page.locator("[name=solve-seconds]").fill("3")
    page.locator("[name=solve-fill_least_pct]").fill("85")
    page.get_by_label("Whole bags only of Soy flour, defatted").check()
    page.locator(".mixed").get_by_text(re.compile(r"\d bags?")).first.wait_for()
    page.locator(".going").wait_for(state="detached")
    page.get_by_role("heading", name="Next best").wait_for()
    assert page.messages == []


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


@pytest.mark.parametrize("paper", ["Letter", "A4"])
@pytest.mark.parametrize("path", ["/feed", RECIPE_PAGE, CHEAPEST, BATCH, VIEWS[4]])
def test_what_a_person_wants_on_paper_is_one_page(page, address, path, paper):
    page.goto(address + path)
    page.evaluate("document.fonts.ready.then(() => true)")
    printed = page.pdf(format=paper)
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) == 1


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
