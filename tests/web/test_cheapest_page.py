"""The page of the cheapest mix over a real book: prices, targets, words, searches."""

from __future__ import annotations

import re
import time
from dataclasses import replace

import pytest
from starlette.testclient import TestClient

from breadline.jobs.feed_desk import FeedDesk
from breadline.jobs.recipe_written import Aim
from breadline.web.app import create_app
from web.conftest import HERE
from web.feed_forms import CHEAPEST, RECIPE, form_of, typed
from web.test_feed_pages import DAY

PIECE = {"hx-request": "true"}


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: DAY)
    made = TestClient(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)
    made.book = feed_book
    return made


def said(answer) -> str:
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


def test_the_mix_comes_with_what_holds_it_up_where_it_stands_and_the_next_best(client):
    text = said(client.get(CHEAPEST))
    assert re.search(r"US\$0\.\d\d a pound: ", text)
    assert "Crude protein (N × 6.25, as fed), at least 15 %" in text
    assert "Would save" in text
    assert "comes in below" in text
    assert "Next best Without" in text


def test_a_dearer_soy_makes_a_dearer_mix_and_a_cheap_one_another_mix(client):
    page = client.get(CHEAPEST).text
    costs = []
    for price in ("38", "60", "90"):
        piece = client.post(CHEAPEST, data=typed(page, price_0_price=price), headers=PIECE)
        assert "<html" not in piece.text
        costs.append(float(re.search(r"US\$(\d+\.\d\d) a pound", piece.text)[1]))
    assert costs[0] < costs[1] <= costs[2]
    cheap = said(client.post(CHEAPEST, data=typed(page, price_1_price="20"), headers=PIECE))
    assert re.search(r"% Yeast of the Sorrel Bend mill", cheap.partition("Next best")[0])


def test_without_script_the_whole_page_comes_back_with_what_was_typed(client):
    page = client.get(CHEAPEST).text
    answer = client.post(CHEAPEST, data=typed(page, price_0_price="44.5"))
    assert "<html" in answer.text
    assert form_of(answer.text)["price-0-price"] == ["44.5"]


def test_targets_at_odds_are_told_in_words_with_the_nearest_mix(client):
    page = client.get(CHEAPEST).text
    answer = client.post(CHEAPEST, data=typed(page, target_0_at_least="60"), headers=PIECE)
    text = said(answer)
    assert answer.status_code == 200
    assert "crude protein (N × 6.25, as fed), at least 60 %".lower() in text.lower()
    assert "instead of 60 %" in text
    assert "The nearest mix" in text


SPOILT = {
    "a price of nought": ({"price_0_price": "0"}, "price-0-price", "cannot be"),
    "a negative price": ({"price_0_price": "-1"}, "price-0-price", "cannot be"),
    "no price at all": ({"price_0_price": ""}, "price-0-price", "not known"),
    "a unit left out": ({"price_0_per": ""}, "price-0-per", "is left out"),
    "a target over a hundred": ({"target_0_at_least": "115"}, "target-0-at_least", "more than the whole"),
    "protein on no basis": ({"target_0_on": ""}, "target-0-on", "is left out"),
    "least above most": ({"target_1_at_least": "9"}, "target-1-at_least", "above"),
    "a ratio to nought": ({"target_2_at_most": "5:0"}, "target-2-at_most", "denominator"),
    "no money": ({"money": ""}, "", "left out"),
    "half an ingredient": (
        {"solve-at_most_ingredients": "2.5"}, "solve-at_most_ingredients", "not a whole number",
    ),
    "bags of no weight": ({"solve-whole_bags": "canola_oil"}, "", "bag"),
}  # fmt: skip


@pytest.mark.parametrize("case", SPOILT)
def test_what_is_wrong_stands_beside_its_field_and_nothing_typed_is_lost(client, case):
    changed, field, told = SPOILT[case]
    sent = typed(client.get(CHEAPEST).text, **changed)
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert told in answer.text
    assert not field or f'id="wrong-{field}"' in answer.text
    back = form_of(answer.text)
    lost = {
        k: v for k, v in sent.items() if back.get(k) != v and k not in ("as", "price-6-of", "target-5-of")
    }
    assert not lost
    piece = client.post(CHEAPEST, data=sent, headers=PIECE)
    assert piece.status_code == 422
    assert 'role="alert"' in piece.text


def test_nothing_ticked_is_told(client):
    sent = form_of(client.get(CHEAPEST).text)
    sent.pop("solve-ingredients")
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert "nothing is ticked" in answer.text


def test_no_target_is_told(client):
    sent = {k: v for k, v in form_of(client.get(CHEAPEST).text).items() if not k.startswith("target-")}
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert "cheapest ingredient" in answer.text


def test_pollen_without_papers_may_not_be_offered(client):
    sent = typed(client.get(CHEAPEST).text, price_6_of="bee_pollen", price_6_price="9", price_6_per="lb")
    answer = client.post(CHEAPEST, data=sent, headers=PIECE)
    assert answer.status_code == 422
    assert "foulbrood" in answer.text


def test_another_ingredient_with_a_price_comes_into_the_question(client):
    sent = typed(
        client.get(CHEAPEST).text, price_6_of="corn_gluten_meal", price_6_price="0.2", price_6_per="lb"
    )
    text = said(client.post(CHEAPEST, data=sent, headers=PIECE))
    assert "Corn gluten meal" in text.partition("Next best")[0]


def test_prices_and_targets_are_kept_and_a_mix_becomes_a_recipe(client):
    sent = typed(client.get(CHEAPEST).text, price_0_price="41.5", do="keep")
    kept = client.post(CHEAPEST, data=sent)
    assert "kept with the recipe" in kept.text
    file = FeedDesk(client.book).version(RECIPE).file
    assert next(q.price for q in file.quotes if q.of == "soy_flour_defatted") == 41.5
    assert len(file.amounts) == 6, "the recipe itself is not touched"
    assert any(q.of == "Sorrel Bend ready patty" for q in file.quotes)
    sent = form_of(kept.text) | {"do": ["recipe"], "as": ["The cheap one"]}
    made = client.post(CHEAPEST, data=sent)
    assert "The cheap one" in made.text
    assert "15 %" in made.text
    again = client.post(CHEAPEST, data=sent)
    assert again.status_code == 422
    assert "there is a recipe called" in again.text


def test_a_mix_kept_under_the_name_of_a_drug_is_refused(client):
    sent = form_of(client.get(CHEAPEST).text) | {"do": ["recipe"], "as": ["Terramycin patty"]}
    answer = client.post(CHEAPEST, data=sent)
    assert answer.status_code == 422
    assert "veterinarian" in answer.text
    assert FeedDesk(client.book).names() == (RECIPE,)


def test_whole_bags_show_a_mix_at_once_and_the_search_ends_with_its_gap(client):
    page = client.get(CHEAPEST).text
    sent = form_of(page) | {
        "solve-whole_bags": ["soy_flour_defatted", "sorrel_yeast", "sugar_granulated"],
        "solve-at_most_ingredients": ["5"], "solve-seconds": ["4"], "solve-fill_least_pct": ["85"],
    }  # fmt: skip
    piece = client.post(CHEAPEST, data=sent, headers=PIECE)
    assert re.search(r"\d bags?", piece.text)
    while key := re.search(r"/feed/search/(\w+)", piece.text):
        time.sleep(0.2)
        piece = client.get(f"/feed/search/{key[1]}", headers=PIECE)
    text = said(piece)
    assert "None is cheaper" in text or re.search(r"gap of \d+\.\d %", text)
    assert "Next best" in text


def test_a_search_can_be_stopped_and_a_forgotten_one_says_so(client):
    answer = client.get("/feed/search/nothing", headers=PIECE)
    assert answer.status_code == 422
    assert "forgotten" in answer.text


def test_targets_of_any_kind_come_through_the_form_unchanged(client):
    desk = FeedDesk(client.book)
    file = desk.version(RECIPE).file
    aims = (
        Aim("protein", 14.0, 30.0, "%", "dry matter", "own factor"),
        Aim("met", 1.0, None, "g/100 g of protein", None, "N x 6.25", "protein"),
        Aim("sodium", None, 400.0, "mg/100 g", "as fed"),
        Aim("sodium", None, 9.0, "to 1", to="potassium"),
        Aim("honey", None, 20.0, "%", "as fed"),
        Aim("pollen", None, 10.0, "%", "as fed"),
    )
    desk.keep(replace(file, aims=aims))
    client.post(CHEAPEST, data=typed(client.get(CHEAPEST).text, do="keep"))
    assert FeedDesk(client.book).version(RECIPE).file.aims == aims
