"""The forms about feed: commas, the names of their fields, numbers held to their units."""

from __future__ import annotations

import re

import pytest
from starlette.testclient import TestClient

from breadline.jobs.feed_desk import FeedDesk
from breadline.web.app import create_app
from web.conftest import HERE, Reading
from web.feed_forms import BATCH, CHEAPEST, RECIPE, RECIPE_PAGE, typed
from web.test_feed_pages import DAY


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: DAY)
    return Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def said(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", "", answer.text).split())


def test_a_decimal_comma_is_read_where_it_can_mean_one_thing_only(client, feed_book):
    page = client.get(RECIPE_PAGE).text
    client.post(
        RECIPE_PAGE, data=typed(page, part_0_amount="60,5", part_4_amount="0,125", price_0_price="38,50")
    )
    file = FeedDesk(feed_book).version(RECIPE).file
    assert [one.amount for one in file.amounts[:5:4]] == [60.5, 0.125]
    assert file.quotes[0].price == 38.5


def test_an_error_names_its_field_and_ingredient_as_the_page_does_and_no_line_of_a_file(client):
    page = client.get(RECIPE_PAGE).text
    for changed, told in (
        ({"part_1_amount": "5 lb"}, "Amount, Yeast of the Sorrel Bend mill, dried, inactive: "),
        ({"part_1_ingredient": "soy_flour_defatted"}, "Ingredient, Soy flour, defatted: "),
        ({"part_0_unit": ""}, "The unit of the amount, Soy flour, defatted: "),
        ({"mixing-batch": "-3"}, "Finished feed wanted: "),
    ):
        wrong = said(client.post(RECIPE_PAGE, data=typed(page, **changed)))
        assert told in wrong
        assert not re.search(r"\bline \d|quotes|the line", wrong.partition("What goes in")[0])


def test_no_line_ends_between_a_number_and_its_unit(feed_book):
    client = TestClient(create_app(feed_book, today=lambda: DAY), base_url=HERE)
    for path in ("/feed", RECIPE_PAGE, CHEAPEST, BATCH, "/feed/ingredients"):
        shown = re.sub(r"<[^>]+>", "|", client.get(path).text)
        assert not re.search(r"\d (%|kg|g|lb|oz)\b|\d %", shown), path
        assert re.search(r"\d\u00a0(%|lb|kg)", shown), path
