"""The page of the record over the demo's book, asked directly and in a real browser."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from breadline.jobs.book import Book
from breadline.jobs.demo import OPERATION, TODAY, make_demo
from breadline.web.app import create_app
from web.conftest import HERE


@pytest.fixture(scope="module")
def pages(tmp_path_factory):
    path = tmp_path_factory.mktemp("record") / "demo.sqlite"
    make_demo(path)
    app = create_app(path, lambda book: Book(book, TODAY))
    return TestClient(app, base_url=HERE, headers={"origin": HERE})


@pytest.fixture(scope="module")
def empty(tmp_path_factory):
    path = tmp_path_factory.mktemp("empty") / "book.sqlite"
    Book(path, TODAY).open_operation("Nobody's Bees (invented)")
    return TestClient(create_app(path, lambda book: Book(book, TODAY)), base_url=HERE)


@pytest.fixture
def opened(pages, browser, request):
    """The page in a browser of the asked width, without a server."""
    width = getattr(request, "param", 1280)
    shown = browser.new_page(viewport={"width": width, "height": 844})

    def answered(route):
        asked = pages.get(route.request.url.removeprefix(HERE))
        route.fulfill(status=asked.status_code, body=asked.content, headers=dict(asked.headers))

    shown.messages = []
    shown.on("console", lambda message: shown.messages.append(message.text))
    shown.on("pageerror", lambda error: shown.messages.append(str(error)))
    shown.route("**/*", answered)
    shown.goto(f"{HERE}/foretelling")
    shown.evaluate("document.fonts.ready.then(() => true)")
    yield shown
    shown.close()


def test_the_page_says_how_many_fell_inside_and_that_the_demo_is_invented(pages):
    answer = pages.get("/foretelling")
    assert answer.status_code == 200
    assert OPERATION in answer.text
    said = r"Of \d+ counts of (bees|brood) \d+ fell inside the band that should hold the average "
    assert len(re.findall(said, answer.text)) == 2
    assert "too few to tell" in answer.text
    assert "Not compared" in answer.text
    assert not re.search(r"validated|reliable|accurate|\bgood\b", re.sub(r"<[^>]+>", "", answer.text))


def test_every_yard_of_the_record_leads_to_its_season_and_back(pages):
    text = pages.get("/foretelling").text
    key = re.search(r'href="/yards/([0-9a-f-]{36})"', text).group(1)
    assert 'href="/foretelling"' in pages.get(f"/yards/{key}").text
    assert 'href="/foretelling"' in pages.get("/").text


def test_an_empty_book_says_that_nothing_was_held_against_anything(empty):
    answer = empty.get("/foretelling")
    assert answer.status_code == 200
    assert "No count of bees has come after an outlook yet." in answer.text
    assert "0 outlooks kept in 0 yards" in answer.text


@pytest.mark.browser
@pytest.mark.parametrize("opened", [320, 390, 1280], indirect=True)
def test_the_record_fits_its_width(opened):
    assert opened.evaluate("document.documentElement.scrollWidth - window.innerWidth") <= 0
    assert opened.messages == []
    assert opened.locator("svg.foretold").first.is_visible()
    opened.get_by_text("Not compared").first.click()
    assert opened.get_by_text("no outlook was shown before it").first.is_visible()


@pytest.mark.browser
@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_the_record_prints(opened, paper):
    printed = opened.pdf(format=paper)
    assert 1 <= len(re.findall(rb"/Type\s*/Page\b(?!s)", printed)) <= 2
