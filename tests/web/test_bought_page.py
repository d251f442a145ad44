"""The page of a bought feed: what its label says and cannot, its pollen's papers, and what is wrong in it."""

from __future__ import annotations

import pytest

from breadline.jobs.feed_desk import FeedDesk
from breadline.web.app import create_app
from web.conftest import HERE, Reading
from web.feed_forms import form_of, shown_in
from web.test_feed_pages import DAY

LABEL = {
    "feed-0-name": "Invented cake", "feed-0-basis": "as fed", "feed-0-protein_min_pct": "14",
    "feed-0-water_max_pct": "20", "price-0-price": "3.20", "price-0-per": "kg", "money": "US$",
    "year": "2026",
}  # fmt: skip


@pytest.fixture
def client(feed_book):
    app = create_app(feed_book, today=lambda: DAY)
    return Reading(app, base_url=HERE, headers={"origin": HERE}, raise_server_exceptions=False)


def test_a_bought_feed_says_what_its_label_says_and_cannot(client):
    answer = client.post("/feed/bought", data=LABEL)
    assert "At least 14 % crude protein as fed" in answer.text
    assert "whether there is real pollen in it is not said" in answer.text
    assert "cannot tell" in answer.text
    assert "Invented cake" in client.get("/feed").text


def test_what_a_label_guarantees_at_least_is_not_rounded_up(client):
    answer = client.post("/feed/bought", data=LABEL | {"feed-0-protein_min_pct": "17,5"})
    assert "At least 17.5 % crude protein as fed" in answer.text
    assert "Its label guarantees at least 17.5 % crude protein" in answer.text
    assert "at least 17.5 %" in client.get("/feed").text
    wrong = client.post("/feed/bought", data=LABEL | {"price-0-per": ""}).text
    assert "<b>For how much you pay:</b>" in wrong


def test_a_bought_feed_that_lists_pollen_meets_the_gate_and_keeps_its_papers(client, feed_book):
    answer = client.post("/feed/bought", data=LABEL | {"feed-0-ingredients": "soy flour, bee pollen"})
    assert "how much real pollen is in it is not said" in answer.text
    assert answer.text.index("may carry foulbrood") < answer.text.index("At least 14 %")
    assert "United States: " in answer.text
    assert answer.text.count("may carry foulbrood") == 1
    assert "Refused as it stands: Invented cake" in client.get("/feed").text
    papers = {"feed-0-rays": "gamma", "feed-0-dose_kgy": "20", "feed-0-certificate": "no. 1"}
    sent = form_of(answer.text) | {key: [value] for key, value in papers.items()}
    answer = client.post("/feed/bought/Invented%20cake", data=sent)
    assert "may carry foulbrood" not in answer.text
    again = form_of(client.get("/feed/bought/Invented%20cake").text)
    assert {key: again[key] for key in papers} == {key: [value] for key, value in papers.items()}
    assert FeedDesk(feed_book).feeds()[0].certificate == "no. 1"


@pytest.mark.parametrize("path", ["/feed/bought", "/feed/ingredients"])
def test_a_price_of_a_label_has_no_unit_until_one_is_chosen(client, path):
    assert shown_in(client.get(path).text, "price-0-per") == [""]


LABELS_SPOILT = {
    "no basis": ({"feed-0-basis": ""}, "feed-0-basis", "is left out"),
    "over a hundred": ({"feed-0-protein_min_pct": "114"}, "feed-0-protein_min_pct", "more than the whole"),
    "a fraction": ({"feed-0-protein_min_pct": "0.14"}, "feed-0-protein_min_pct", "enter per cent"),
    "no protein": ({"feed-0-protein_min_pct": ""}, "feed-0-protein_min_pct", "is left out"),
    "no price": ({"price-0-price": "0"}, "price-0-price", "cannot be"),
    "a unit left out": ({"price-0-per": ""}, "price-0-per", "is left out"),
    "no name": ({"feed-0-name": ""}, "feed-0-name", "no name"),
    "more than the feed": ({"feed-0-fat_min_pct": "95"}, "", "100 %"),
}  # fmt: skip


@pytest.mark.parametrize("case", LABELS_SPOILT)
def test_what_is_wrong_in_a_label_is_told_and_nothing_typed_is_lost(client, case):
    changed, field, said = LABELS_SPOILT[case]
    sent = LABEL | {"feed-0-note": "from the shop"} | changed
    answer = client.post("/feed/bought", data=sent)
    assert answer.status_code == 422
    assert said in answer.text
    assert not field or f'id="wrong-{field}"' in answer.text
    back = form_of(answer.text)
    assert {key: back[key][0] for key in sent} == sent
    assert "Invented cake" not in client.get("/feed").text
