"""What a recipe was before and the batches made by it: listed, opened, and made the newest again."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from breadline.jobs.demo_feed import put_feed_in
from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_changes import changes
from breadline.jobs.recipe_written import Aim, Amount, Mixing, Quote, RecipeFile
from breadline.web.app import create_app
from web.conftest import HERE, Reading
from web.feed_forms import BATCH, RECIPE, RECIPE_PAGE, typed
from web.test_feed_pages import DAY

VERSIONS = RECIPE_PAGE.replace("recipe", "versions")
OLD = RECIPE_PAGE.replace("recipe", "version/1")


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: DAY)
    made = Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
    made.book = feed_book
    return made


def said(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_every_version_is_listed_with_what_changed_and_an_old_one_becomes_the_newest(client):
    client.post(f"{BATCH}?mixing-batch=150")
    page = client.get(RECIPE_PAGE)
    assert f'href="{VERSIONS}"' in page.text
    client.post(RECIPE_PAGE, data=typed(page.text, part_0_amount="40", price_0_price="44"))
    text = said(client.get(VERSIONS))
    assert "Soy flour, defatted: 40 lb instead of 60 lb" in text
    assert "Price of Soy flour, defatted: US$44.00 a bag of 50 lb, 2026 instead of US$38.00" in text
    assert re.search(r"Batches .*2026-001 22 August 2026 150 lb", text)
    assert "changed on its page" in text.casefold()
    old = client.get(OLD)
    assert "60 lb Soy flour, defatted" in said(old)
    assert "Make it the newest version" in old.text
    before = FeedDesk(client.book).versions(RECIPE)
    back = client.post(OLD)
    assert "newest version again" in back.text
    after = FeedDesk(client.book).versions(RECIPE)
    assert after[: len(before)] == before, "nothing is written over"
    assert after[-1].file == before[0].file
    assert "version 1 again" in after[-1].because
    assert FeedDesk(client.book).quotes()["soy_flour_defatted"].price == 44, "the book's prices stay"
    assert "Make it the newest" not in client.get(OLD.replace("/1/", f"/{len(after)}/")).text
    client.post(OLD.replace("/1/", f"/{len(after)}/"))
    assert len(FeedDesk(client.book).versions(RECIPE)) == len(after), "the same again is no version"


def test_a_recipe_off_the_list_is_found_below_it_and_any_of_its_versions_put_back(client):
    client.post(f"{BATCH}?mixing-batch=150")
    client.post(RECIPE_PAGE, data=typed(client.get(RECIPE_PAGE).text, part_0_amount="40"))
    client.post(RECIPE_PAGE.replace("recipe", "withdraw", 1))
    listed, _, below = client.get("/feed").text.partition('id="off"')
    assert f'href="{VERSIONS}"' not in listed
    assert f'href="{VERSIONS}"' in below
    page = client.get(VERSIONS)
    assert re.search(r"Taken off the list on \d+ \w+ \d{4}\. 3 versions", said(page))
    assert re.search(r"Batches .*2026-001 22 August 2026 150 lb", said(page))
    assert RECIPE_PAGE not in page.text, "a page that is not there is not led to"
    assert "holds now" not in page.text
    for number in "13":
        old = client.get(OLD.replace("/1/", f"/{number}/"))
        assert "Put it back on the list" in old.text
        assert RECIPE_PAGE not in old.text
    assert "It is back on the list" in client.post(OLD).text
    assert 'id="off"' not in client.get("/feed").text
    text = said(client.get(VERSIONS))
    assert "4 versions" in text
    assert "Back on the list: version 1 again" in text
    assert "Soy flour, defatted: 60 lb instead of 40 lb" in text
    assert "2026-001" in text
    client.post(RECIPE_PAGE.replace("recipe", "withdraw", 1))
    put_feed_in(client.book)
    assert RECIPE in client.get("/feed").text.partition('id="off"')[2], "the demo begun again leaves it off"


@pytest.mark.parametrize("number", ["0", "99"])
def test_a_version_that_is_not_there_is_told(client, number):
    answer = client.get(OLD.replace("/1/", f"/{number}/"))
    assert answer.status_code == 422
    assert "there is none" in answer.text


def test_what_changed_is_told_in_words_line_by_line():
    soy, sugar = Amount("soy_flour_defatted", 2.0, "kg"), Amount("sugar_granulated", 1.5, "kg")
    before = RecipeFile("x", (soy, sugar), quotes=(Quote("sugar_granulated", 1.0, "kg", "€", 2025),))
    now = replace(
        before, amounts=(replace(soy, amount=2.5), Amount("water", 1.0, "buckets")), country="NZ",
        quotes=(), aims=(Aim("protein", 15.0, None, "%", "as fed", "N x 6.25"),), mixing=Mixing("kg", 20.0),
    )  # fmt: skip
    told = [text.replace("\u00a0", " ") for text in changes(before, now)]
    assert told == [
        "Soy flour, defatted: 2.5 kg instead of 2 kg",
        "Water: 1 bucket, new",
        "Sugar, granulated is left out (was 1.5 kg)",
        "price of Sugar, granulated is left out (was €1.00 a kg, 2025)",
        "target protein (as fed, N × 6.25): at least 15 %, new",
        "the country: NZ instead of none",
        "the batch and its pieces were changed",
    ]
    assert changes(now, now) == ()
