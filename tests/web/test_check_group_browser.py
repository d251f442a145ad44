"""The pages of a check group in a real browser: from the draw to the lock, at three widths. All invented."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.yard_file import read_yard
from breadline.web.app import create_app
from web.served import serving

pytestmark = pytest.mark.browser
DAY = date(2026, 8, 20)
TYPED = {"Left unfed": "8", "It pays from": "0.9", "Less would not matter": "0.5",
         "Rescue a check colony below": "3"}  # fmt: skip


@pytest.fixture
def address(tmp_path):
    book = Book(tmp_path / "book.sqlite", DAY)
    book.open_operation("Sorrel Bend Bees (invented)")
    book.add_yard(read_yard(FIRST_YARD / "yard.toml"), FIRST_YARD / "weather.csv")
    with serving(create_app(book.path, lambda path: Book(path, DAY), lambda: DAY)) as where:
        yield where


def test_from_nothing_to_a_locked_draw_at_every_width_and_without_a_sound(browser, address):
    context = browser.new_context(viewport={"width": 1280, "height": 844})
    page = context.new_page()
    noise: list[str] = []
    page.on("console", lambda message: noise.append(message.text))
    page.on("pageerror", lambda error: noise.append(str(error)))

    def fits():
        for width in (1280, 390, 320):
            page.set_viewport_size({"width": width, "height": 844})
            assert page.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0, page.url
        page.set_viewport_size({"width": 1280, "height": 844})

    page.goto(f"{address}/check-group")
    fits()
    with page.expect_navigation():  # measured before the answer is there, it would be half a page
        page.get_by_role("link", name="Draw a check group").click()
    fits()
    assert page.locator("input:not([type=hidden]), select, textarea").evaluate_all(
        "all => all.every(one => one.labels.length === 1)"
    )
    for label, value in TYPED.items():
        page.get_by_label(label).fill(value)
    page.get_by_label("Day of grading").fill("2026-08-01")
    page.get_by_role("button", name="Draw").click()
    assert "is not ahead" in page.get_by_role("alert").inner_text()
    assert page.get_by_label("It pays from").input_value() == "0.9"
    assert page.get_by_label("Day of grading").get_attribute("aria-invalid") == "true"
    noise.clear()  # the browser notes the refusal itself
    page.get_by_label("Day of grading").fill("2026-11-20")
    page.get_by_role("button", name="Draw").click()
    assert page.locator(".say").inner_text().startswith("Leave 8 of 24 colonies unfed")
    fits()
    with page.expect_navigation():
        page.get_by_role("button", name="Lock this draw").click()
    assert "no answer before" in page.locator(".under").inner_text()
    fits()
    page.emulate_media(media="print")
    torn = page.locator(".two table").evaluate_all("all => all.map(t => getComputedStyle(t).breakInside)")
    assert set(torn) == {"avoid"}, "the groups of many yards are one table in one column of the paper"
    page.emulate_media(media="screen")
    assert page.get_by_role("link", name="Who gets feed").is_visible()
    page.goto(f"{address}/check-group/size")
    fits()
    assert noise == []
    context.close()
