"""Where doing nothing is best, or another plan stands above the best: said, and why."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from math import ceil

import pytest

from breadline.jobs import rounds_words as words
from breadline.jobs.check_hives import left_out
from breadline.jobs.kept_back import CheckHive, Kept
from breadline.jobs.rounds import Way, day_of, rounds_answer, rounds_from_files
from breadline.jobs.rounds_answered import worth_a_look
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_near import near_words
from breadline.jobs.rounds_needs import needs_words, order_words
from breadline.jobs.rounds_paper import Printing, papers
from breadline.jobs.rounds_told import rounds_document, rounds_lines
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.jobs.yard_file import read_yard
from breadline.language import speaking
from breadline.plan.rounds import retold
from breadline.plan.why import best_fed, why_best
from breadline.trial.design import CheckArm
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
WEATHER = tree.ROOT / "examples" / "first-yard" / "weather.csv"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")


@pytest.fixture(scope="module")
def weather():
    return read_weather(WEATHER, latitude=YARD.place.latitude, today=YARD.today)


def answer(weather, old, new):
    assert old in TEXT
    return rounds_answer(
        YARD, weather, plan_from_text(TEXT.replace(old, new, 1), YARD.today), way=Way(draws=20)
    )


def test_a_dear_feed_turns_the_answer_to_doing_nothing(weather):
    dear = answer(weather, "price = 1.45", "price = 40")
    assert dear.plans[dear.best_at].plan.kind == "nothing"
    assert words.decision(dear).startswith("Do nothing")
    assert best_fed(dear.answer.found) in dear.plans, "the plan that the sentences speak of can be chosen"
    assert "here only what feeding brings for this goal counts" in "\n".join(
        line for _, line in rounds_lines(dear)
    )
    assert "get there by that day" not in "\n".join(line for _, line in rounds_lines(dear)), "some do"
    fed = next(one for one in dear.plans if one.plan.pieces)
    assert words.mark_words(dear, fed) == ""
    found, bred = dear.answer.found, dear.answer.breeding
    late = [one for one in found.struck if day_of(dear, one.plan.pieces[0].day) > bred.adults_from]
    assert late, "no plan that begins in the last three weeks is left to be chosen"
    assert {one.struck for one in late} == {"too late for 25 March 2026: no bee raised on it is out by then"}
    assert all(day_of(dear, one.plan.pieces[0].day) <= bred.adults_from for one in found.finalists[1:])
    assert words.struck_line(dear, late[-1]).startswith("Every plan that begins after 4 March 2026: too late")
    alone = replace(found, finalists=(found.nothing,), struck=tuple(late))
    said = words.best_words(replace(dear, answer=replace(dear.answer, found=alone)))
    assert said.startswith("Do nothing: feeding comes too late by itself, no bee raised on it is out by 25")
    before = day_of(dear, fed.plan.pieces[0].day - 1)
    splits = replace(bred, adults_from=before, last_start=None, also="its brood")
    partly = words.plan_line(replace(dear, answer=replace(dear.answer, breeding=splits)), fed)
    assert "no bee raised on it is out by 25 March 2026: only its brood counts" in partly


def test_a_plan_that_brings_about_what_it_costs_is_not_said_to_bring_less(weather):
    dear = answer(weather, "price = 1.45", "price = 40")
    found, question = dear.answer.found, dear.answer.question
    fed = best_fed(found)
    for gain, headline, why in (
        (0.8, "the best plan of feeding is expected to bring about what it costs, no more.", "about what it"),
        (-0.8, "no plan of feeding is expected to bring back what it costs.", f"and costs {said_of(fed)}."),
    ):
        near = replace(fed, gain=gain, money=found.nothing.money + gain)
        alone = replace(found, finalists=(found.nothing, near), struck=())
        told = replace(dear, answer=replace(dear.answer, found=alone))
        assert words.against_nothing(told, near) == "about the same as doing nothing"
        assert words.best_words(told) == f"Do nothing: {headline}"
        assert why in why_best(alone, question, dear.reader)[0]


def test_a_plan_of_the_list_is_left_to_compare_with_though_pollen_leaves_most_of_its_rounds_out(weather):
    dear = answer(weather, "price = 1.45", "price = 40")
    found = dear.answer.found
    few = replace(best_fed(found), rounds=0.6)
    left = replace(found, finalists=(found.nothing, few), frontier=(found.nothing,), best=found.nothing)
    assert few in worth_a_look(replace(dear.answer, found=left))
    assert best_fed(left) is few, "the sentences speak of a plan of the list"
    again = retold(dear.answer, left, None, dear.reader, "lb")
    assert "left to compare" not in again.why[0]
    assert said_of(few) in again.why[0]
    assert again.break_even.startswith(f"Feeding at {said_of(few)} a colony")
    rare = replace(found, finalists=(found.nothing, replace(few, rounds=0.4)))
    assert best_fed(rare) is None


def test_what_a_missed_round_loses_is_told_apart_from_its_number(weather):
    """Money whose name stands behind its number: "round 1 1 EUR" would read as 11."""
    euro = answer(weather, 'money = "US$"', 'money = "EUR"')
    found, less = euro.answer.found, replace(euro.plans[euro.best_at], gain=-1.2)
    two = replace(found, missed=(less, replace(less, gain=-2.4)))
    said = words.missed_words(replace(euro, answer=replace(euro.answer, found=two)))
    assert said == ["Missed, a colony: round 1: 1 EUR less; round 2: 2 EUR less."]


def said_of(fed):
    return words.money_told(fed.cost.total, "US$")


def test_a_goal_out_of_reach_is_said_to_be_so_and_not_that_feed_is_worth_nothing(weather):
    far = answer(weather, "grade = 8 ", "grade = 19 ")
    assert far.plans[far.best_at].plan.kind == "nothing"
    assert max(one.chance for one in far.plans) < 0.05
    said = "\n".join(line for _, line in rounds_lines(far))
    assert "Fed or not, 5 in 100 or fewer get there by that day" in said


def test_a_plan_for_winter_bees_says_what_trials_found_though_the_yard_s_own_goal_is_another(weather):
    october = date(2026, 10, 1)
    yard = replace(YARD, today=october, goal=None,
                   count=replace(YARD.count, on=date(2026, 9, 30), bread=2.0, bread_unit="frames"),
                   health=replace(YARD.health, mites_on=date(2026, 9, 20)),
                   forage=replace(YARD.forage, coming_in="plenty", seen_on=october))  # fmt: skip
    wanted = '[target]\nkind = "winter_bees"\non = 2026-11-15\ngrade = 8\nvalue = 150\n'
    text = TEXT[: TEXT.index("[target]")] + wanted + TEXT[TEXT.index("[[feed]]") :]
    told = rounds_answer(yard, weather, plan_from_text(text, october), way=Way(draws=20))
    assert words.decision(told).startswith(
        "No round now. No: in trials fed colonies raised no more winter bees"
    )


def test_where_pollen_is_plenty_in_fresh_arcs_no_round_is_begun_as_the_entrance_would_say_stop(weather):
    forage = replace(YARD.forage, coming_in="plenty", fresh_arcs=True)
    plan = plan_from_text(TEXT, YARD.today)
    told = rounds_answer(replace(YARD, forage=forage), weather, plan, way=Way(draws=20))
    said = words.decision(told)
    assert said.startswith("No round now. No need: pollen is plenty and lies in fresh arcs round the brood.")
    little = replace(YARD, forage=replace(forage, coming_in="little"))
    assert rounds_answer(little, weather, plan, way=Way(draws=20)).before is None


@pytest.fixture(scope="module")
def told():
    return rounds_from_files(FOLDER / "yard.toml", WEATHER, way=Way(draws=20))


def test_to_order_is_what_the_order_list_has_with_check_hives_told_apart(told):
    """The whole boxes of it too, at US$1.45 a lb and 40 lb a box."""
    best = told.plans[told.best_at]
    check = tuple(CheckHive(f"{n}", f"{n}", f"{n}") for n in range(1, 5))
    many = []
    for arm, says in (
        (None, " at the 2026 quote."),
        (CheckArm.HALF, "; 4 check hives of the running check group counted with half a piece."),
        (CheckArm.SAME_CARE, "; 4 check hives of the running check group left out."),
    ):
        kept = () if arm is None else (Kept(arm, 0.0, told.plan.target.on, check, whole=False),)
        of = replace(told, kept=kept)
        ordered = papers([left_out(yard_paper(of, best), kept)], Printing(YARD.today)).order
        said = order_words(of, best)
        many.append(int(re.search(r"([\d,]+) patt", said)[1].replace(",", "")))
        assert many[-1] == ordered.patties
        assert f"about US${ceil(many[-1] / 40) * 40 * 1.45:,.0f} at the 2026 quote" in said
        assert said.startswith("To order, spare included: ")
        assert says in said
        assert needs_words(of, best) in words.plan_line(of, best)
    assert many[0] > many[1] > many[2]


@pytest.mark.parametrize(
    ("piece", "why"),
    [(1.0, "nearer than these seasons can tell apart"), (0.8, "chose with a full piece for every colony")],
)
def test_a_plan_that_stands_above_the_best_is_explained_beside_the_list(told, piece, why):
    best = replace(told.answer.found.best, piece=piece)
    assert best.plan.pieces
    over = next(one for one in told.plans if one.plan.pieces and one.plan != best.plan)
    level = [replace(one, money=best.money - 1.0, gain=best.gain - 1.0) for one in told.answer.found.frontier]
    found = replace(
        told.answer.found, best=best, frontier=tuple(level), last_year=replace(over, money=best.money - 1.0)
    )
    fine = replace(told, answer=replace(told.answer, found=found))
    assert near_words(fine) == ""
    above = replace(over, money=best.money + 3.0, gain=best.gain + 3.0, chance=1.0, piece=1.0)
    turned = replace(fine, answer=replace(fine.answer, found=replace(found, last_year=above)))
    assert "stands above the best by about US$3 a colony" in near_words(turned)
    said = [line for _, line in rounds_lines(turned)]
    at = next(n for n, line in enumerate(said) if why in line)
    assert re.match(r" \d+\. ", said[at - 1]), "right under the list"


def test_a_plan_of_the_same_money_and_the_higher_chance_is_explained_beside_the_list(told):
    best = replace(told.answer.found.best, gain=12.88, chance=0.5)
    other = next(one for one in told.plans if one.plan.pieces and one.plan != best.plan)

    def list_with(more: float, chance: float):
        """The list as it is, with another plan of so much more money and this chance."""
        beside = replace(other, money=best.money + more, gain=best.gain + more, chance=chance)
        found = replace(told.answer.found, best=best, frontier=(best, beside), last_year=beside)
        return replace(told, answer=replace(told.answer, found=found))

    for more in (0.12, -0.12):  # above the best or below it, both read US$13
        seen = list_with(more, 0.6)
        assert "US$13 more" in words.gain_words(seen, beside_of(seen, best))
        said = near_words(seen)
        assert "reads the same money as the best and the higher chance" in said
        lines = [line for _, line in rounds_lines(seen)]
        at = next(n for n, line in enumerate(lines) if said in line)
        assert re.match(r" \d+\. ", lines[at - 1]), "right under the list"
        assert rounds_document([seen])["yards"][0]["near"] == said
    assert near_words(list_with(0.12, 0.5)) == near_words(list_with(0.12, 0.4)) == ""
    assert near_words(list_with(-2.0, 0.6)) == "", "less money for the higher chance reads so in the list"
    with speaking("es"):
        assert "la probabilidad más alta" in near_words(list_with(0.12, 0.6))


def beside_of(told, best):
    """The other plan of such a list."""
    return next(one for one in told.plans if one.plan.pieces and one.plan != best.plan)
