"""What a plan costs a colony, told part by part, and what a check group comes to. By hand; all invented."""

from __future__ import annotations

import re

import pytest

from breadline.jobs.rounds_cost import cost_words
from breadline.jobs.rounds_full import plan_lines
from breadline.jobs.rounds_needs import needs
from breadline.jobs.rounds_told import rounds_lines
from breadline.jobs.rounds_words import check_group
from jobs.first_rounds import TEXT, told_of

BELOW = TEXT.replace("fee = 190 ", "below = 60\nfee = 190 ")


@pytest.fixture(scope="module")
def told():
    return told_of(TEXT)


def test_the_parts_are_those_of_the_keeper_s_own_figures_and_stand_where_the_plan_does(told):
    last = told.plans[1]  # as last year: 1 lb twice, to 39 of 40, since a pair is joined first
    assert last.plan.kind == "last_year"
    assert last.fed == 0.975
    said = cost_words(told, last)
    parts = dict(re.findall(r"(feed|labour|the way there|bees eat) US\$(\d+\.\d\d)", said))
    assert float(parts["feed"]) == pytest.approx(0.975 * 2 * 1.45, abs=0.006)
    assert float(parts["labour"]) == pytest.approx(0.975 * 2 * 20 * 2 / 60, abs=0.006)
    assert float(parts["the way there"]) == pytest.approx(2 * (24 * 0.70 + 20 * 50 / 60) / 40, abs=0.006)
    assert sum(map(float, parts.values())) == pytest.approx(last.cost.total, abs=0.02)
    # 82 lb are 3 boxes of 40 lb: 174 of which 78 lb at 1.45 are in the cost
    assert "Not in it, for the whole yard: US$61 of the order" in said
    assert needs(told, last).cost == pytest.approx(174.0)
    best = told.plans[told.best_at]
    for lines, plan in ((plan_lines(told, last), last), (rounds_lines(told), best)):
        assert any(cost_words(told, plan) in text for _, text in lines)
    assert cost_words(told, told.plans[0]) == ""


def test_what_is_ordered_for_rounds_that_are_likely_left_out_is_said_to_be_in_no_cost(told):
    rule = next(one for one in told.answer.found.finalists if one.plan.by_rule)
    said, order = cost_words(told, rule), needs(told, rule)
    feed = float(re.search(r"feed US\$(\d+\.\d\d)", said)[1])
    assert order.cost % 58.0 == pytest.approx(0.0, abs=1e-6), "whole boxes of 40 lb at US$1.45 a lb"
    over = re.search(r"for the whole yard: US\$([\d,]+) of the order, on average", said)[1]
    assert float(over.replace(",", "")) == pytest.approx(order.cost - 40 * feed, abs=0.8)
    assert "rounds left out while pollen comes in" in said


def test_a_check_group_is_priced_by_what_a_colony_earns_over_one_below_the_line():
    told = told_of(BELOW)
    fed = next(one for one in told.plans if one.plan.pieces and not one.struck)
    points = round(100 * (fed.chance - told.answer.found.nothing.chance))
    net = 10 * (fed.cost.total - points / 100 * (190 - 60))
    said = check_group(told, fed)
    assert f"lifts {points} in a hundred" in said
    amount = float(re.search(r"(?:costs|you keep) US\$([\d.,]+);", said)[1].replace(",", ""))
    assert amount == pytest.approx(abs(net), abs=0.51)


def test_what_a_check_group_takes_from_a_sample_s_average_is_not_told_as_if_it_were_hive_by_hive(told):
    sample = told_of(TEXT.replace('paid = "hive_by_hive"', 'paid = "sample_average"'))
    fed = next(one for one in sample.plans if one.plan.pieces and not one.struck)
    said = check_group(sample, fed)
    assert "in a hundred over the line" not in said
    assert "what they take from the sample's average is not worked out" in said
