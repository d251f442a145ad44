"""Three people from a cold start in a real browser, each on a fresh book. All of it is invented."""

from __future__ import annotations

import random
import re
from dataclasses import replace
from datetime import date
from functools import partial

import pytest
from playwright.sync_api import Page

from breadline.jobs.book import Book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds import Way
from breadline.jobs.yard_file import read_yard
from breadline.trial.design import Allocation
from breadline.web.app import create_app
from breadline.web.pages import rounds as pages
from jobs.few_seasons import run_few_seasons
from jobs.travelled import finished, text
from web.served import serving

pytestmark = pytest.mark.browser
AUGUST, FEBRUARY, WINTER = date(2026, 8, 5), date(2026, 2, 20), date(2026, 1, 20)
MOST_QUESTIONS, MOST_TAPS = 8, 12
DRIVEN = 3  # yards of one drive
YARDS = (
    "Alder Flat", "Bitter Creek", "Cold Spring", "Dry Fork", "Elk Bench", "Fiddler Hill", "Grange Road",
    "Hollow Oak", "Iron Gate", "Juniper Rise", "Kettle Pond", "Long Draw", "Mill Race", "North Slough",
    "Oat Field", "Poplar Bend", "Quarry", "Rim Road", "Sawmill", "Tarweed", "Upper Bar", "Vetch Lane",
    "Willow Sink", "Yarrow",
)  # fmt: skip
CONTRACT = {
    "target.on": "2027-02-10", "target.grade": "8", "target.fee": "190", "target.fee_year": "2026",
    "feed.name": "Patty", "feed.price": "1.45", "work.minutes_colony": "2", "work.wage": "20",
}  # fmt: skip
DRAWN = {
    "Left unfed": "48", "It pays from": "0.9", "Less would not matter": "0.5",
    "Rescue a check colony below": "3", "Day of grading": "2026-11-10",
}  # fmt: skip


@pytest.fixture(scope="module", autouse=True)
def few_draws():
    """What the paths show does not hang on how many seasons were run."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(pages, "Way", partial(Way, draws=2))
        run_few_seasons(patch)
        yield


@pytest.fixture
def fresh(tmp_path, browser):
    """Opens a fresh book on a day; a page that counts its taps and notes the console."""
    opened, ended = [], []

    def start(today: date, width: int = 1280) -> Page:
        app = create_app(tmp_path / "book.sqlite", lambda path: Book(path, today), lambda: today)
        running = serving(app)
        where = running.__enter__()
        ended.append(running)
        context = browser.new_context(viewport={"width": width, "height": 844}, has_touch=width < 700)
        opened.append(context)
        page = context.new_page()
        page.noise, page.asked = [], []
        page.on("console", lambda message: page.noise.append(message.text))
        page.on("request", lambda asked: page.asked.append(asked.url))
        page.where = where
        page.set_default_timeout(90_000)
        page.goto(where)
        return page

    yield start
    for context in opened:
        context.close()
    for running in ended:
        running.__exit__(None, None, None)


def said(page: Page) -> str:
    """The sentence of the page."""
    return re.sub(r"\s+", " ", page.locator(".say").first.inner_text())


def one_page(pdf: bytes) -> bool:
    """Whether a PDF is a single page."""
    return pdf.startswith(b"%PDF") and len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == 1


def fetched(page: Page, address: str) -> bytes:
    """What a link of the page brings."""
    return page.request.get(f"{page.where}{address}").body()


def test_the_hobbyist_gets_a_no_and_what_to_look_at_instead(fresh):
    page, taps = fresh(FEBRUARY, 390), 0
    page.get_by_role("link", name="Get a straight answer").tap()
    taps += 1
    fields = page.locator("fieldset")
    asked = fields.count()
    answers = ("United States", "Have not looked, or too cold to open", "Not tested", "One or more is light",
               "About 4", "Have not looked", "Too cold to fly", "March")  # fmt: skip
    for n, words in enumerate(answers):
        fields.nth(n).get_by_text(words, exact=True).tap()
        taps += 1
    page.get_by_role("button", name="Tell me").tap()
    taps += 1
    page.wait_for_url("**first_pollen=3**")
    advice = page.locator(".advice").inner_text()
    assert asked <= MOST_QUESTIONS
    assert taps <= MOST_TAPS
    assert said(page).startswith("No protein feed now")
    assert "sugar on top" in said(page), "what to look at instead"
    assert "Look again" in advice
    assert not re.search(r"\d\s*lb|patty", advice)
    assert page.locator("input[type=password], input[type=email]").count() == 0
    assert page.noise == []
    assert all(url.startswith(page.where) for url in page.asked)


def sheets(folder):
    """A spreadsheet of 24 yards, and one of what was counted there."""
    lot = random.Random(8)
    yards = ["Yard,Latitude,Longitude,Colonies,Country,State"]
    counts = ["Yard,Date,Frames of bees,Frames of brood,Frames of pollen,Mites per 100,Honey"]
    for n, name in enumerate(YARDS):
        yards.append(
            f"{name},{38.5 + 0.02 * n:.2f},{-121 + 0.02 * (n % 5):.2f},{lot.choice((48, 60))},US,California"
        )
        counts.append(f"{name},2026-08-01,{lot.choice((6.5, 7, 7.5))},{lot.choice((3, 4))},0.25,1.1,enough")
    (folder / "yards.csv").write_text("\n".join(yards), "utf-8")
    (folder / "counts.csv").write_text("\n".join(counts), "utf-8")
    return folder


def bring_in(page: Page, path, answers=None) -> str:
    """Bring a sheet in, answering what only the keeper can say."""
    page.locator("input[type=file]").set_input_files(path)
    page.get_by_role("button", name="Look at it").click()
    if answers:
        for key, value in answers.items():
            page.locator(f'select[name="{key}"]').select_option(value)
        page.get_by_role("button", name="Look again").click()
    page.get_by_role("button", name="Write it down").click()
    return page.locator("[role=status]").inner_text()


def test_the_owner_goes_from_a_spreadsheet_to_rounds_an_order_and_a_drawn_check_group(fresh, tmp_path):
    page, folder = fresh(AUGUST), sheets(tmp_path)
    page.get_by_role("link", name="Bring it in").click()
    assert "24 yards" in bring_in(page, folder / "yards.csv")
    units = {"unit:frames_of_bees": "one_layer", "unit:bread": "frames", "unit:mites_per_100": "per 100 bees"}
    assert "24 visits" in bring_in(page, folder / "counts.csv", units)
    page.get_by_role("link", name="Yards", exact=True).click()
    page.get_by_role("link", name="Give the yards what they lack").click()
    assert said(page) == "24 of 24 yards lack weather or bloom."
    page.get_by_label("Calendar").select_option("california-foothills")
    page.get_by_role("button", name="Set the calendar").click()
    page.locator("input[type=file]").set_input_files(FIRST_YARD / "weather.csv")
    page.get_by_role("button", name="Keep this weather").click()
    assert said(page) == "Every yard has a count, weather and bloom: each can be answered for."

    page.get_by_role("link", name="Yards", exact=True).first.click()
    page.get_by_text(
        "How well earlier outlooks foretold"
    ).wait_for()  # the page turns until all are worked out
    assert page.locator(".yards .name").count() == 24
    assert re.search(r"short of bread|run short", said(page))
    page.locator(".yards .name", has_text="Alder Flat").click()
    page.locator(".advice .say").wait_for()

    page.get_by_role("link", name="Rounds", exact=True).first.click()
    page.locator(".yards .name", has_text="Alder Flat").click()
    for key, value in CONTRACT.items():
        page.locator(f'input[name="{key}"]').fill(value)
    page.locator('select[name="target.paid"]').select_option("hive_by_hive")
    page.get_by_role("button", name="Show plans").click()
    page.locator("table.plans tbody tr").last.get_by_role("button").click()
    assert "rounds of" in said(page)
    page.get_by_role("link", name="Ask the same for other yards").click()
    for name in YARDS[DRIVEN:]:  # one drive will do here; by hand all 24 were asked
        page.get_by_label(name, exact=True).uncheck()
    page.get_by_role("button", name="Ask them all").click()
    page.get_by_role("button", name="Choose the ticked").click()
    page.get_by_role("button", name="Sheets for one truck").wait_for()  # it stands below the list of yards
    assert page.locator("table.yards tbody tr", has_text="rounds of").count() == DRIVEN
    page.get_by_role("button", name="Sheets for one truck").click()
    order = page.get_by_role("link", name="Order list", exact=True).get_attribute("href")
    assert one_page(fetched(page, order))

    page.get_by_role("link", name="Check group", exact=True).first.click()
    page.get_by_role("link", name="Draw a check group").click()
    page.get_by_role("link", name="Tick all 24").click()
    page.get_by_text("all 24 ticked").wait_for()
    for label, value in DRAWN.items():
        page.get_by_label(label).fill(value)
    page.get_by_role("button", name="Draw").click()
    assert said(page).startswith("Leave 48 of ")
    page.get_by_role("button", name="Lock this draw").click()
    page.get_by_role("link", name="Who gets feed").wait_for()
    assert page.noise == []


def cooperators(folder):
    """Files of twelve invented trials: eleven fair ones, and one whose unfed colonies were picked by hand."""
    paths = []
    for n in range(1, 13):
        trial = finished(n, yards=2, sets=4)
        if n == 12:
            trial = replace(trial, design=replace(trial.design, allocation=Allocation.CHOSEN))
        paths.append(folder / f"cooperator-{n}.json")
        paths[-1].write_text(text(trial, name=f"Cooperator {n}"), "utf-8")
    return paths


def test_the_adviser_prints_a_page_for_each_of_twelve_trials_one_for_the_county_and_an_outlook(
    fresh, tmp_path
):
    book = Book(tmp_path / "book.sqlite", WINTER)
    for n, frames in enumerate((4.0, 5.5, 7.0)):
        yard = read_yard(FIRST_YARD / "yard.toml")
        name, count = f"Cooperator {n + 1}'s yard", replace(yard.count, frames_of_bees=frames, bread=0.25 + n)
        book.add_yard(replace(yard, name=name, count=count), FIRST_YARD / "weather.csv")
    page = fresh(WINTER)
    page.get_by_role("link", name="Evidence", exact=True).click()
    page.get_by_role("link", name="own check groups").first.click()
    page.locator("input[type=file]").set_input_files(cooperators(tmp_path))
    page.get_by_label("County or group").fill("Fern County (invented)")
    page.get_by_role("button", name="Read them").click()
    assert said(page) == "11 fair trials of 12; 1 trial left out, with the reason."
    county = page.get_by_role("link", name="One page for the county", exact=True).get_attribute("href")
    assert one_page(fetched(page, county))
    each = page.get_by_role("link", name=re.compile(r"^Cooperator \d+$")).all()
    assert len(each) == 12
    assert one_page(fetched(page, each[0].get_attribute("href")))
    assert one_page(fetched(page, each[-1].get_attribute("href") + "?paper=a4")), (
        "the one left out has a page too"
    )

    page.get_by_role("link", name="Yards", exact=True).click()
    page.get_by_role("link", name="County outlook").click()
    assert re.match(r"\d of 3 yards", said(page))
    assert "Left out of the model" in page.locator("main").inner_text()
    for paper in ("Letter", "A4"):
        assert one_page(fetched(page, page.get_by_role("link", name=paper, exact=True).get_attribute("href")))
    assert page.noise == []
