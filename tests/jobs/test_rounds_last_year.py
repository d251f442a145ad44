"""A plan "as last year" against the beetles: struck out, not chosen, and nobody small is given its piece."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import PlanError
from breadline.jobs import rounds_words as words
from breadline.jobs.rounds import Way, rounds_answer, who_gets_it
from breadline.jobs.rounds_file import plan_from_text
from breadline.jobs.rounds_last_year import left_of_last_year, on_this_year
from breadline.jobs.rounds_told import rounds_document
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.jobs.yard_file import read_yard
from breadline.weather.read import read_weather
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")
SMALL = (2.5, 3.0, 3.5)


@pytest.fixture(scope="module")
def told():
    """Beetles in the hives, pieces of a quarter pound at most, last year whole pounds."""
    count = replace(YARD.count, frames_of_bees=6.0)
    yard = replace(YARD, colonies=12, count=count, health=replace(YARD.health, beetles_seen=True))
    frames = (*SMALL, 5.0, 5.5, 6.0, 6.5, 7.0, 7.5, 8.0, 9.0, 9.5)
    hives = "".join(f'[[hive]]\ntag = "B{n}"\nframes = {each}\n' for n, each in enumerate(frames, 1))
    text = TEXT[: TEXT.index("[[hive]]")].replace("fee = 190 ", "fee = 900 ")
    plan = plan_from_text(text + hives, yard.today)
    folder = tree.ROOT / "examples" / "first-yard" / "weather.csv"
    weather = read_weather(folder, latitude=yard.place.latitude, today=yard.today)
    return rounds_answer(yard, weather, plan, way=Way(draws=40))


def test_a_pound_that_beetles_do_not_allow_is_struck_out_and_cannot_be_chosen(told):
    last = told.plans[1]
    assert last.plan.kind == "last_year"
    assert max(told.allowed.of_feeds[0].grams) < last.plan.pieces[0].grams
    assert last.struck == "a piece so large is not cleared in 6 days"
    assert "struck out" in words.plan_line(told, last)
    with pytest.raises(PlanError, match=r"number 1 is struck out: a piece so large"):
        told.taken(1)


def test_the_kind_of_last_year_stands_once_in_the_document(told):
    of = rounds_document([told])["yards"][0]
    assert [one["kind"] for one in of["plans"]].count("last_year") == 1
    assert [one["kind"] for one in of["struck"]].count("last_year") == 1, "the same one, with its reason"
    most = max(told.allowed.of_feeds[0].grams)
    fed = [piece["grams"] for one in of["plans"] if not one["struck"] for piece in one["rounds"]]
    assert fed
    assert max(fed) <= most + 0.1


def test_small_hives_get_no_piece_of_any_plan_and_those_that_will_not_make_it_are_named(told):
    for at in (told.plans[1], told.plans[told.best_at]):
        who = who_gets_it(told, at)
        assert {"B1", "B2", "B3"} <= set(who.small)
    best = told.plans[told.best_at]
    assert best.plan.pieces
    for visit in yard_paper(told, best).visits:
        for step in visit.steps:
            assert not step.cut or step.from_frames >= 5.0


def test_where_the_search_would_feed_none_a_keeper_still_gives_small_hives_no_piece(told):
    best = told.plans[told.best_at]
    dear = replace(told.answer.question.prices.feeds[0].price, amount=5000.0)
    feeds = tuple(replace(feed, price=dear) for feed in told.answer.question.prices.feeds)
    question = replace(told.answer.question, prices=replace(told.answer.question.prices, feeds=feeds))
    other = replace(told.answer.found, best=told.answer.found.nothing)
    costly = replace(told, answer=replace(told.answer, question=question, found=other), who={})
    who = who_gets_it(costly, best)
    assert who.bands == who.at_most
    assert (who.bands[0].gets, who.bands[0].to_frames) == ("none", 5.0)
    visit = yard_paper(costly, best).visits[0]
    assert visit.fed
    assert all(not step.cut or step.from_frames >= 5.0 for step in visit.steps)


@pytest.mark.parametrize(
    ("today", "said"),
    [
        (date(2026, 1, 20), ()),
        (date(2026, 2, 12),
         ("As last year: of its 2 rounds only 1 between 12 February 2026 and 25 March 2026 can be tried.",)),
        (date(2026, 2, 25),
         ("As last year: none of its 2 rounds lies between 25 February 2026 and 25 March 2026, so it is no "
          "plan here.",)),
    ],
)  # fmt: skip
def test_rounds_of_last_year_that_cannot_be_tried_are_said(today, said):
    given = plan_from_text(TEXT, YARD.today).last_year  # 10 and 24 February
    assert left_of_last_year(given, today, date(2026, 3, 25)) == said
    assert left_of_last_year((), today, date(2026, 3, 25)) == ()


def _of(*rounds: str) -> str:
    """The plan file with these rounds of last year in place of its own."""
    start, end = TEXT.index("[[last_year]]"), TEXT.index("[drive]")
    return TEXT[:start] + "".join(f"[[last_year]]\n{one}\nlb = 1\n" for one in rounds) + TEXT[end:]


@pytest.mark.parametrize(
    ("rounds", "said"),
    [
        (("on = 2026-02-10",), "on: 2026-02-10 lies not before today, 2026-01-20"),
        (("on = 2025-02-10", "on = 2026-01-20"), r"last_year\]\] 2, on: 2026-01-20 lies not before today"),
        (("on = 2025-02-10", "on = 2025-02-10"), r"last_year\]\] 2, on: 2025-02-10 falls on the same day"),
        (("on = 2024-02-10", "on = 2025-02-10"), r"2025-02-10 falls on the same day .* as 2024-02-10"),
        (("on = 2024-02-28", "on = 2024-02-29"), r"2024-02-29 falls on the same day .* as 2024-02-28"),
    ],
)  # fmt: skip
def test_rounds_of_last_year_that_were_not_or_fall_on_one_day_are_asked_about(rounds, said):
    with pytest.raises(PlanError, match=said):
        plan_from_text(_of(*rounds), YARD.today)


def test_a_plan_that_a_book_keeps_is_read_with_rounds_that_would_be_refused_now():
    text = _of("on = 2025-02-10", "on = 2025-02-10")
    kept = plan_from_text(text, YARD.today, read_back=True)
    assert len(kept.last_year) == 2


def test_rounds_of_last_year_of_two_feeds_are_refused():
    other = '[[feed]]\nname = "Other"\nprice = 2\nper = "lb"\n\n[work]'
    text = _of("on = 2025-02-10", 'on = 2025-02-24\nfeed = "Other"').replace("[work]", other, 1)
    with pytest.raises(PlanError, match=r"last_year\]\] 2, feed: .* of Other, the first of Protein patty"):
        plan_from_text(text, YARD.today)
    of_one = _of(*(f'on = {on}\nfeed = "Other"' for on in ("2025-02-10", "2025-02-24")))
    assert plan_from_text(of_one.replace("[work]", other, 1), YARD.today).last_year_feed == 1


def test_rounds_across_the_year_lie_on_the_days_ahead():
    plan = plan_from_text(_of("on = 2025-12-30", "on = 2025-01-08"), YARD.today)
    ahead = on_this_year(plan.last_year, date(2026, 12, 1), date(2027, 2, 10))
    assert [one.on for one in ahead] == [date(2026, 12, 30), date(2027, 1, 8)]
