"""What a row of the list costs is what is ordered: its classes are in the money, its words and its sheets."""

from __future__ import annotations

from dataclasses import replace
from math import fsum

import pytest

from breadline.jobs import rounds_words as words
from breadline.jobs.rounds import Way, rounds_answer, who_gets_it
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_full import plan_lines
from breadline.jobs.rounds_needs import needs
from breadline.jobs.rounds_paper import Printing, papers
from breadline.jobs.rounds_told import plan_document
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.jobs.yard_file import read_yard
from breadline.plan.plans import Piece, Plan
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = replace(read_yard(FOLDER / "yard.toml"), colonies=24)
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")
TEXT = TEXT[: TEXT.index("[[hive]]")].replace("box_lb = 40\n", "")
A_POUND = 1.45  # of the plan file [US$/lb]
LB = 453.59237


def told_of(yard, old="", new=""):
    weather = read_weather(
        tree.ROOT / "examples" / "first-yard" / "weather.csv", latitude=yard.place.latitude, today=yard.today
    )
    return rounds_answer(yard, weather, plan_from_text(TEXT.replace(old, new), yard.today), way=Way(draws=40))


@pytest.fixture(scope="module")
def some():
    """Small colonies of 24 get none of the best plan."""
    return told_of(YARD, "grade = 8 ", "grade = 10 ")


@pytest.fixture(scope="module")
def none():
    """So low a fee that the best is to do nothing."""
    return told_of(YARD, "fee = 190 ", "fee = 60 ")


@pytest.fixture(scope="module")
def beetles():
    """Beetles seen, and graded hives too small for the pieces; last year pieces that the average clears."""
    count = replace(YARD.count, frames_of_bees=9.0)
    health = replace(YARD.health, beetles_seen=True)
    text = "lb = 1\n", "lb = 0.25\n"
    return told_of(replace(YARD, count=count, health=health), *text)


@pytest.fixture(params=["some", "none", "beetles"])
def told(request):
    return request.getfixturevalue(request.param)


def test_every_row_costs_what_is_ordered_of_it(told):
    """Feed a colony times colonies: the price times what is ordered, less the spare, of the rounds given."""
    fed = [one for one in told.plans if one.plan.pieces]
    assert fed
    for one in fed:
        order, paper = papers([yard_paper(told, one)], Printing(YARD.today)).order, yard_paper(told, one)
        loaded = order.feed_g / (1.0 + paper.spare)
        given = one.rounds / one.plan.rounds  # a round by rule is left out in some seasons
        assert one.cost.feed * told.yard.colonies == pytest.approx(
            loaded / LB * A_POUND * given, abs=one.plan.rounds * A_POUND
        ), words.plan_line(told, one)
        assert plan_document(told, one)["cost"]["feed"] == pytest.approx(one.cost.feed, abs=0.006)
        assert needs(told, one).patties == order.patties


def test_labour_is_that_of_the_colonies_on_the_sheet(told):
    work = told.plan.work
    for one in told.plans:
        if one.plan.pieces and not one.plan.by_rule:
            hands = sum(visit.fed for visit in yard_paper(told, one).visits) / told.yard.colonies
            assert one.cost.labour == pytest.approx(hands * work.minutes_colony / 60 * work.wage.amount)


def test_a_class_that_gets_none_stands_beside_the_name_and_in_each_round(some):
    best = some.plans[some.best_at]
    assert {band.gets for band in who_gets_it(some, best).bands} == {"none", "full"}
    assert best.piece < 1.0
    assert "; by size, under" in words.plan_line(some, best)
    lines = [text for _, text in plan_lines(some, best)]
    (first,) = (text for text in lines if text.startswith(" 1. "))
    assert "frames of bees: none; " in first
    assert "a colony" not in first


def test_last_year_is_what_was_done_where_no_beetles_are(some, none):
    for told in (some, none):
        last = next(one for one in told.plans if one.plan.kind == "last_year")
        assert [band.gets for band in who_gets_it(told, last).bands] == ["full"]
        for visit in yard_paper(told, last).visits:
            assert [step.cut for step in visit.steps] == [1.0]
        assert any("1 patty (1 lb) a colony" in text for _, text in plan_lines(told, last))


def test_where_beetles_take_from_last_year_its_line_says_so(beetles):
    last = next(one for one in beetles.plans if one.plan.kind == "last_year")
    visit = yard_paper(beetles, last).visits[0]
    assert any(not step.cut and count for step, count in zip(visit.steps, visit.counts, strict=True))
    assert last.piece < 1.0
    assert "by size, under 5 frames of bees: none" in words.plan_line(beetles, last)


def test_half_for_everybody_is_another_plan(some):
    """A plan of many large pieces for so little: by money all would get half of it or none."""
    start = some.answer.question.ensemble.today
    heavy = Plan("search", tuple(Piece(start + 7 * k, 2 * LB) for k in range(8)), interval=7)
    at = replace(some.plans[some.best_at], plan=heavy)
    who = who_gets_it(some, at)
    assert any(band.gets == "full" for band in who.bands)
    grams = [step.cut * visit.patty.mass_g for visit in yard_paper(some, at).visits for step in visit.steps]
    assert max(grams) == pytest.approx(2 * LB, rel=0.01)


def test_the_break_even_and_the_reasons_are_of_the_same_cost(told):
    best = told.plans[told.best_at]
    if best.plan.pieces:
        assert told.answer.costs == best.cost.total
        assert words.money(told, best.cost.total) in told.answer.why[0]
    assert told.answer.break_even == words.break_even_of(told, best)


def test_the_parts_of_the_money_add_up(some):
    """What classes change is value and cost; the gain is over doing nothing, which they leave alone."""
    nothing = some.plans[0]
    for one in some.plans:
        assert one.money - nothing.money == pytest.approx(one.gain, abs=1e-6)
        assert one.gain_low <= one.gain_high
        assert fsum((one.cost.feed, one.cost.labour, one.cost.travel, one.cost.syrup)) == one.cost.total
