"""A chosen plan held against what was given since, in a real book. All invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import PlanError, RecordError
from breadline.jobs.check_group_book import asked_of_book, planned_prices, planned_situation
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.yard_file import read_yard
from breadline.need.yard import Given
from breadline.records.stocks import Stood
from breadline.trial.design import Outcome
from house import tree

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")


@pytest.fixture
def book(tmp_path):
    made = RoundsBook(tmp_path / "book.sqlite", YARD.today)
    made.open_operation("Sorrel Bend Bees (invented)")
    made.add_yard(YARD, FIRST_YARD / "weather.csv")
    return made


def test_what_was_given_is_held_against_the_rounds_and_what_is_more_stands_beside(book):
    key = book.first_yard()
    told = book.rounds(key, TEXT, Way(draws=20))
    kept = book.keep_plan(key, told, told.taken(1))  # as last year: 10 and 24 February
    assert kept.done(YARD.today) == "Its first round is on 10 February 2026."
    later = date(2026, 2, 26)
    given = (Given(date(2026, 2, 12), 450.0), Given(date(2026, 2, 18), 200.0))
    fed = replace(YARD, today=later, count=replace(YARD.count, on=date(2026, 2, 18)), given=given)
    then = RoundsBook(book.path, later)
    then.add_yard(fed)
    now = then.plan(key)
    assert now is not None
    assert [(one.given, one.given_on) for one in now.rounds] == [(450.0, date(2026, 2, 12)), (None, None)]
    assert now.beside == ((date(2026, 2, 18), 200.0),)
    assert now.done(later).startswith("1 of 2 rounds due by now written down as given. 1 other feeding")
    assert now.belief == kept.belief
    assert now.prices == kept.prices


def test_another_plan_takes_the_place_and_the_first_is_counted(book):
    key = book.first_yard()
    told = book.rounds(key, TEXT, Way(draws=20))
    book.keep_plan(key, told, told.taken(1))
    asked = asked_of_book(book.path, (), YARD.today)  # how many to leave unfed goes by the kept plan
    assert asked.yards == ((YARD.name, 40),)
    assert asked.cost == pytest.approx(told.taken(1).cost.total, abs=0.01)
    assert asked.situation == told.situation
    assert asked.gain is not None
    assert asked.gain[0] < asked.gain[1] < asked.gain[2]
    assert not asked.counted, "the book has no count of each hive"
    prices = planned_prices(book.path, (YARD.name,), Outcome.MAKING_GRADE, YARD.today)
    assert prices == {"cost": f"{asked.cost:.2f}", "money": "US$", "price": "190"}  # the fee of the plan file
    assert "price" not in planned_prices(book.path, (YARD.name,), Outcome.HONEY, YARD.today)
    assert planned_situation(book.path, ("Nowhere", YARD.name), YARD.today) == told.situation
    nothing = book.keep_plan(key, told, told.taken(0), "maple came early")
    assert nothing.changes == 1
    with pytest.raises(RecordError, match="no plan was chosen"):
        asked_of_book(book.path, (YARD.name,), YARD.today)
    assert planned_prices(book.path, (YARD.name,), Outcome.FRAMES, YARD.today) == {}
    assert planned_situation(book.path, (YARD.name,), YARD.today) is None
    assert nothing.sentence == "Do nothing"
    assert nothing.done(YARD.today) == "The plan is to do nothing."


def test_what_is_asked_of_a_book_is_checked_as_a_file_is(book):
    feed = TEXT[TEXT.index("[[feed]]") : TEXT.index("[work]")]
    with pytest.raises(PlanError, match="no feed is chosen"):
        book.rounds(book.first_yard(), TEXT.replace(feed, ""))


def test_dry_feed_that_never_stood_is_taken_back_and_bars_no_check_group(book):
    key = book.yard_ids()[0][0]
    book.keep_dry_feed(key, Stood(book.today, 33.9, -83.4, 3.2, 8.0, None, 24))
    assert book.barred()
    book.no_dry_feed(key, "never put out")
    assert book.barred() == ()
    with pytest.raises(RecordError, match="none is written down"):
        book.no_dry_feed(key, "again")


def test_which_parts_changed_since_a_plan_was_chosen_is_said(book):
    key = book.first_yard()
    told = book.rounds(key, TEXT, Way(draws=20))
    kept = book.keep_plan(key, told, told.taken(1))
    assert book.changed(key, kept) == ""
    later = date(2026, 1, 22)
    then = RoundsBook(book.path, later)
    assert then.changed(key, kept) == "", "a day that passes is no change"
    assert then.stand(key) != book.stand(key), "but another search"
    then.add_yard(
        replace(YARD, today=later, count=replace(YARD.count, on=date(2026, 1, 21), frames_of_bees=6.0))
    )
    said = then.changed(key, kept)
    assert said == "Since it was chosen on 20 January 2026 this changed: the counts."
    RecipeBook(book.path).keep(read_recipe(tree.ROOT / "examples" / "first-recipe" / "recipe.toml"))
    assert then.changed(key, kept).endswith(": the counts and a recipe, a bought feed or a price.")
    old = replace(kept, belief={k: v for k, v in kept.belief.items() if k != "parts"})
    assert "is not known" in then.changed(key, old)
