"""Units and money of whoever reads: chosen once, kept apart, never changed under a form that was shown."""

from __future__ import annotations

import pytest

from breadline.measures import Measures, measures, measuring, money_of, units_named, units_of
from breadline.web.their_language import read_money, written_money


def test_a_choice_comes_before_the_country_and_ends_with_its_context():
    assert (units_of("US"), units_of("NZ"), units_of(None)) == ("lb", "g", "lb")
    with measuring(Measures("g", "EUR")):
        assert (units_of("US"), money_of("US")) == ("g", "EUR")
    assert measures() == Measures()
    assert (money_of("NZ"), money_of("XX")) == ("NZ$", "")


@pytest.mark.parametrize(
    ("word", "meant"), [("lb", "lb"), (" KG ", "g"), ("g", "g"), ("stone", None), ("", None)]
)
def test_units_by_their_word(word, meant):
    assert units_named(word) == meant


@pytest.mark.parametrize("money", ["US$", "NZ$", "€", "kr; x", "EUR"])
def test_money_comes_out_of_its_cookie_as_it_went_in(money):
    kept = written_money(money)
    assert ";" not in kept
    assert kept.isascii()
    assert read_money(kept) == money


def test_what_no_form_of_ours_wrote_is_no_money():
    assert read_money("a%0Ab") == ""
    assert read_money("much too long a word") == ""


def test_a_page_is_told_in_what_this_browser_chose_and_a_form_in_what_it_was_shown_in(client):
    shown = "/language"
    assert "in the units of its country" in client.get(shown).text
    client.post(shown, data={"measures": "g", "back": "/"}, follow_redirects=False)
    client.post(shown, data={"money": "EUR", "back": "/"}, follow_redirects=False)
    page = client.get(shown).text
    assert "told kilograms, millimetres" in page
    assert 'name="money" value="EUR"' in page
    assert "told pounds" in client.get(f"{shown}?measures=lb").text  # this one answer only
    client.post(shown, data={"measures": "country", "back": "/"}, follow_redirects=False)
    assert "in the units of its country" in client.get(shown).text
    assert 'name="money" value="EUR"' in client.get(shown).text
