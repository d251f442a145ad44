"""The forms about feed: commas, the names of their fields, numbers held to their units."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from starlette.testclient import TestClient

from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_written import Aim
from breadline.web.app import create_app
from breadline.web.words import held_per_cent
from web.conftest import HERE, Reading
from web.feed_forms import BATCH, CHEAPEST, RECIPE, RECIPE_PAGE, shown_in, typed
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


def test_omega_stays_a_small_letter_at_the_head_of_a_line(client):
    page = client.get(RECIPE_PAGE).text
    assert "ω6:ω3, at most" in page
    assert "Ω" not in page


def test_money_typed_before_there_is_a_price_is_not_lost(client, feed_book):
    sent = {"name": "Small dough", "part-0-ingredient": "soy_flour_defatted", "part-0-amount": "300",
            "part-0-unit": "g", "money": "€", "country": "DE"}  # fmt: skip
    page = client.post("/feed/new", data=sent)
    assert shown_in(page.text, "money") == ["€"]
    sent |= {"price-0-of": "soy_flour_defatted", "price-0-price": "2,80", "price-0-per": "kg", "money": ""}
    wrong = client.post("/feed/recipe/Small%20dough", data=sent)
    assert 'id="wrong-money"' in wrong.text
    assert "such as € or US$" in said(wrong).replace("&#34;", '"')


def test_an_empty_recipe_is_begun_without_a_word_of_blame(client):
    page = client.get("/feed/new")
    assert "Choose an ingredient" in page.text
    assert 'role="alert"' not in page.text
    assert "Choose an ingredient" in client.post("/feed/look", data=typed(page.text, name="x")).text


def test_a_recipe_without_targets_is_asked_for_one_and_nothing_is_wrong(client, feed_book):
    desk = FeedDesk(feed_book)
    desk.keep(replace(desk.version(RECIPE).file, aims=()))
    page = client.get(CHEAPEST)
    assert page.status_code == 200
    assert "what the mix must have" in page.text
    assert 'role="alert"' not in page.text


def test_a_bucket_that_is_not_said_is_asked_for_where_the_form_has_it(client):
    sent = typed(client.get(RECIPE_PAGE).text, **{"mixing-bucket_l": ""})
    wrong = client.post(RECIPE_PAGE, data=sent)
    assert '<a href="#mixing-bucket_l">Go to it' in wrong.text
    told = said(wrong)
    assert "Your bucket, filled, gallons: is left out" in told
    assert "[mixing]" not in told
    level = client.post(RECIPE_PAGE, data=typed(client.get(RECIPE_PAGE).text, **{"mixing-bucket_level": ""}))
    assert level.status_code == 200
    sheet = client.get(BATCH)
    assert "made out yet" in sheet.text
    assert f'<a href="{RECIPE_PAGE}#batch">Say it with the recipe' in sheet.text
    assert 'id="batch"' in client.get(RECIPE_PAGE).text


def test_a_version_tells_a_target_on_an_ingredient_by_its_name(client, feed_book):
    desk = FeedDesk(feed_book)
    file = desk.version(RECIPE).file
    more = Aim("soy_flour_defatted", 5.0, None, "%", "as fed")
    desk.keep(replace(file, aims=(*file.aims, more)), "one more")
    told = said(client.get(RECIPE_PAGE.replace("recipe", "versions")))
    assert "Target share of Soy flour, defatted: at least 5\u00a0%, new" in told.replace("5 %", "5\u00a0%")


def test_on_every_page_a_number_is_held_to_its_per_cent_and_what_is_typed_stays():
    typed = '<textarea name="t">20 % of 5</textarea><input value="20 %"><style>a { width: 20 %; }</style>'
    shown = "<p>20 %</p><p><b>2.5</b> % and 10 % more, per %</p>"
    assert held_per_cent(shown + typed) == (
        "<p>20\u00a0%</p><p><b>2.5</b>\u00a0% and 10\u00a0% more, per %</p>" + typed
    )


def test_a_page_outside_feed_breaks_no_number_from_its_per_cent(feed_book):
    text = TestClient(create_app(feed_book), base_url=HERE).get("/evidence").text
    assert re.search(r"\d\u00a0%", text)
    assert not re.search(
        r">[^<]*\d %", re.sub(r"<(textarea|script|style)\b.*?</\1>", "", text, flags=re.DOTALL)
    )


def test_what_a_recipe_page_of_another_version_did_not_ask_stays_as_it_is(client, feed_book):
    desk = FeedDesk(feed_book)
    before, sent = desk.version(RECIPE).file, typed(client.get(RECIPE_PAGE).text)
    hidden = ("name", "measured_in", "was-")
    for gone in sorted({key.rstrip("0123456789") for key in sent}):
        if gone.startswith(hidden) or (gone.startswith("part-") and not gone.endswith("kg_per_l")):
            continue
        older = {key: text for key, text in sent.items() if key != gone}
        client.post(RECIPE_PAGE, data=older)
        assert desk.version(RECIPE).file == before, gone
    for section in ("price-", "mixing-", "pollen-", "known-"):
        client.post(RECIPE_PAGE, data={k: v for k, v in sent.items() if not k.startswith(section)})
        assert desk.version(RECIPE).file == before, section
    client.post(RECIPE_PAGE, data=sent | {"note": "", "price-0-price": ""})
    after = desk.version(RECIPE).file
    assert not after.note, "what is sent empty is taken out"
    assert len(after.quotes) == len(before.quotes) - 1
