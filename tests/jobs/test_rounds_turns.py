"""Where the answer turns its own money does: the same file, asked again at the printed price and fee.

Every yard is asked again at another price; at another fee, and at what is printed, two of them here and
the others by ``./scripts/soak tests``.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache

import pytest

from breadline.jobs import rounds_words as words
from breadline.jobs.rounds import Way, rounds_answer
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_told import rounds_document
from breadline.jobs.yard_file import read_yard
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = replace(read_yard(FOLDER / "yard.toml"), colonies=24)
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")
TEXT = TEXT[: TEXT.index("[[hive]]")].replace("box_lb = 40\n", "")
CLOSE = 1.0  # what a plan has to bring a colony, plan.close [US$]
BEETLES = replace(
    YARD,
    count=replace(YARD.count, frames_of_bees=9.0),
    health=replace(YARD.health, beetles_seen=True),
)
YARDS = {
    "small colonies get none": (YARD, TEXT.replace("grade = 8 ", "grade = 10 ")),
    "beetles allow small ones less": (BEETLES, TEXT),
    "a sample's average": (YARD, TEXT.replace("hive_by_hive", "sample_average")),
    "nothing pays": (YARD, TEXT.replace("fee = 190 ", "fee = 60 ")),
}


@cache
def weather():
    """All four stand at one place on one day."""
    file = tree.ROOT / "examples" / "first-yard" / "weather.csv"
    return read_weather(file, latitude=YARD.place.latitude, today=YARD.today)


def told_of(yard, text):
    assert (yard.place, yard.today) == (YARD.place, YARD.today)
    return rounds_answer(yard, weather(), plan_from_text(text, yard.today), way=Way(draws=40))


def some_here(*here):
    """The yards of a test: these, and by the long proof the others too."""
    each = [pytest.param(name, marks=[] if name in here else pytest.mark.soak) for name in sorted(YARDS)]
    return pytest.mark.parametrize("asked", each, indirect=True)


@pytest.fixture(scope="module", params=sorted(YARDS))
def asked(request):
    yard, text = YARDS[request.param]
    return yard, text, told_of(yard, text)


def with_price(text, price):
    assert "price = 1.45\n" in text
    return text.replace("price = 1.45\n", f"price = {price:.6f}\n", 1)


def with_fee(text, fee):
    changed = re.sub(r"(?m)^fee = \d+ ", f"fee = {fee:.6f} ", text, count=1)
    assert changed != text
    return changed


def fee_of(text):
    return float(re.search(r"(?m)^fee = (\d+) ", text)[1])


def best_of(told):
    """What the best of the plans that may be followed brings, as it is given. [US$/colony]"""
    return max(one.gain for one in told.answer.found.finalists if one.plan.pieces)


def test_the_whole_search_feeds_on_one_side_of_the_price_and_not_on_the_other(asked):
    yard, text, told = asked
    at = 1.45 * told.answer.found.flips.feed_price
    below, above = (told_of(yard, with_price(text, at * by)) for by in (0.99, 1.01))
    assert below.answer.found.best.plan.pieces
    assert not above.answer.found.best.plan.pieces
    assert best_of(below) > CLOSE > best_of(above)
    assert words.decision(above).startswith("Do nothing")
    rounds, fed = below.answer.found.best.plan.rounds, below.answer.found
    assert len(fed.missed) == (rounds if rounds > 1 else 0), "told of the plan that is fed, whichever pays"
    assert fed.beside
    assert not above.answer.found.missed
    assert below.plans[below.best_at].gain > CLOSE
    assert below.notes[: len(below.answer.notes)] == below.answer.notes
    assert above.notes[: len(above.answer.notes)] == above.answer.notes


@some_here("nothing pays", "small colonies get none")
def test_and_of_the_fee(asked):
    yard, text, told = asked
    at = fee_of(text) * told.answer.found.flips.pays
    below, above = (told_of(yard, with_fee(text, at * by)) for by in (0.99, 1.01))
    assert not below.answer.found.best.plan.pieces
    assert above.answer.found.best.plan.pieces
    assert best_of(above) > CLOSE > best_of(below)


@some_here("a sample's average", "beetles allow small ones less")
def test_at_what_is_printed_the_best_plan_is_told_about_as_doing_nothing(asked):
    """The last of the plans to turn then brings what every plan has to, to the digits printed."""
    yard, text, told = asked
    said = rounds_document([told])["yards"][0]["turns"]
    assert said == list(words.turn_words(told))
    price = re.search(r"(?:above|below) US\$([\d.]+) a lb of", said[0])[1]
    fee = float(re.search(r"(?:above|below) US\$([\d.]+) where", said[1])[1])
    half = 0.005 if "." in price else 0.5  # of the last digit that is printed [US$/lb]
    then = told_of(yard, with_price(text, float(price)))
    pounds = max(one.feed_g for one in then.answer.found.finalists) / 453.59237
    assert best_of(then) == pytest.approx(CLOSE, abs=half * pounds + 0.01)
    assert best_of(told_of(yard, with_fee(text, fee))) == pytest.approx(CLOSE, abs=0.5)


def test_feeding_now_is_told_of_the_money_that_stands_in_the_list(asked):
    _, _, told = asked
    assert told.answer.found.flips.feeding_now == (best_of(told) > CLOSE)
    assert bool(told.answer.found.best.plan.pieces) == told.answer.found.flips.feeding_now
    best = told.plans[told.best_at]
    if best.plan.pieces:
        assert best.gain > CLOSE
