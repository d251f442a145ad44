"""A chosen plan held against what was given since, in a real book. All invented."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from datetime import date, timedelta
from functools import partialmethod
from pathlib import Path

import pytest

from breadline.cli import rounds as command
from breadline.errors import PlanError, RecordError
from breadline.jobs.check_group_book import asked_of_book, planned_prices, planned_situation
from breadline.jobs.plan_kept import PlanKept
from breadline.jobs.recipe_book import RecipeBook
from breadline.jobs.recipe_file import read_recipe
from breadline.jobs.recipe_written import Quote
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_as_kept import kept_paper
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.rounds_paper_kept import paper_document, paper_from
from breadline.jobs.rounds_yard_paper import FeedPaper, YardPaper, yard_paper
from breadline.jobs.yard_text import yard_to_toml
from breadline.knowledge.ingredient import Price
from breadline.language import speaking
from breadline.need.words import day_and_year
from breadline.need.yard import Given, Place
from breadline.plan.combining import Pair
from breadline.plan.cuts import Patty
from breadline.plan.money import Amount
from breadline.plan.order import SyrupToOrder
from breadline.plan.paper import RoundVisit
from breadline.plan.portions import Step
from breadline.plan.truck_days import Drive
from breadline.records.engine import shut_all_books
from breadline.records.stocks import Stood
from breadline.trial.classes import Lines
from breadline.trial.colonies import Started
from breadline.trial.design import Allocation, CheckArm, Design, Outcome, Unit
from breadline.web.pages.rounds_stop import stop_shown
from house import tree
from jobs.first_rounds import TEXT, YARD, book_with_the_yard


@pytest.fixture(scope="module")
def searched(tmp_path_factory):
    """A book with the yard, and what the search of its rounds found: made once."""
    book = book_with_the_yard(tmp_path_factory.mktemp("searched"))
    told = book.rounds(book.first_yard(), TEXT, Way(draws=20))
    shut_all_books()
    return book.path, told


@pytest.fixture
def book(searched, tmp_path):
    """A copy of it to write in."""
    return RoundsBook(Path(shutil.copy(searched[0], tmp_path)), YARD.today)


@pytest.fixture
def told(searched):
    return searched[1]


def test_what_was_given_is_held_against_the_rounds_and_what_is_more_stands_beside(book, told):
    key = book.first_yard()
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
    assert now.done(later).endswith("24 February 2026 is overdue: give it, or write down what was given.")
    day = kept.meant_for
    assert day == date(2026, 3, 25)
    assert (now.past(day), now.past(day + timedelta(1))) == (False, True)
    assert now.done(day + timedelta(1)) == (
        "A plan for 25 March 2026, which is over. 1 of 2 rounds written down as given."
    )
    assert now.belief == kept.belief
    assert now.prices == kept.prices


def _trial_here(outcome=Outcome.MAKING_GRADE, arm=CheckArm.SAME_CARE, graded=YARD.today + timedelta(90)):
    """Two colonies of the yard, and two of one that is not in the book."""
    started = tuple(Started(f"T{n}", ("Nowhere", YARD.name)[n // 2], "", n % 2) for n in range(4))
    grade = 8.0 if outcome is Outcome.MAKING_GRADE else None
    return Design(outcome, arm, Unit.COLONY, Allocation.DRAWN, ("check", "fed"), 1, Lines(0.9, 0.5), graded,
                  started, grade)  # fmt: skip


def _filled_in_from_the_plan_of_the_trials_season(book, told, asked):
    def filled(design, drawn_on=YARD.today):
        return planned_prices(book.path, design, drawn_on, YARD.today)

    prices = filled(_trial_here())
    fee = {"money": "US$", "year": f"{asked.year}", "price": "190"}  # of the plan file
    assert prices.typed == fee | {"cost": f"{asked.cost:.2f}"}
    assert f"chosen on {day_and_year(YARD.today)}, at prices of {asked.year}" in prices.said
    assert "price" not in filled(_trial_here(Outcome.HONEY)).typed
    of = {arm: filled(_trial_here(Outcome.FRAMES, arm)).typed for arm in CheckArm}
    assert float(of[CheckArm.HALF]["cost"]) == pytest.approx(float(prices.typed["cost"]) / 2, abs=0.01)
    assert not {"cost"} & (of[CheckArm.SUGAR].keys() | of[CheckArm.USUAL].keys())
    assert planned_situation(book.path, _trial_here(), YARD.today, YARD.today) == told.situation
    last_year = _trial_here(graded=YARD.today - timedelta(200))
    drawn_on = YARD.today - timedelta(300)
    assert filled(last_year, drawn_on).typed == {"year": f"{last_year.grading.year}"}
    assert "another season than this trial" in filled(last_year, drawn_on).said
    assert planned_situation(book.path, last_year, drawn_on, YARD.today) is None


def test_another_plan_takes_the_place_and_the_first_is_counted(book, told):
    key = book.first_yard()
    book.keep_plan(key, told, told.taken(1))
    asked = asked_of_book(book.path, (), YARD.today)  # how many to leave unfed goes by the kept plan
    assert asked.yards == ((YARD.name, 40),)
    assert asked.cost == pytest.approx(told.taken(1).cost.total, abs=0.01)
    assert asked.situation == told.situation
    assert asked.gain is not None
    assert asked.gain[0] < asked.gain[1] < asked.gain[2]
    assert not asked.counted, "the book has no count of each hive"
    _filled_in_from_the_plan_of_the_trials_season(book, told, asked)
    nothing = book.keep_plan(key, told, told.taken(0), "maple came early")
    assert nothing.changes == 1
    with pytest.raises(RecordError, match="none was chosen for Copper Ford"):
        asked_of_book(book.path, (YARD.name,), YARD.today)
    assert nothing.sentence == "Do nothing"
    with speaking("es"):  # kept in English, with what other languages say beside
        assert book.plan(key).sentence == "No hacer nada"
        assert book.plan(key).break_even.startswith("Alimentar a ")
    assert nothing.done(YARD.today) == "The plan is to do nothing."


def test_a_kept_plan_is_read_back_though_its_feed_would_be_refused_today(book, told):
    """Four parts of a hundred beside the sugar: less than the 5 % of ``feed.least_protein_pct``."""
    key = book.first_yard()
    candy = TEXT.replace("sugar_pct = 45", "sugar_pct = 96")
    with pytest.raises(PlanError, match="no protein feed"):
        book.asked(candy)
    kept = book.keep_plan(key, replace(told, plan=replace(told.plan, text=candy)), told.taken(1))
    assert book.read_back(kept).feeds[0].sugar == pytest.approx(0.96)
    asked = asked_of_book(book.path, (), YARD.today)
    assert asked.cost == pytest.approx(told.taken(1).cost.total, abs=0.01)
    assert planned_prices(book.path, _trial_here(), YARD.today, YARD.today).typed["price"] == "190"
    shown = stop_shown(book, key, kept, {"bees_in": "200", "with_pollen": "150", "minutes": "5"})
    assert shown["error"] is None
    assert shown["told"] is not None


def test_its_sheets_are_had_where_an_older_book_kept_none_and_say_that_it_would_not_be_proposed(
    book, told, tmp_path, monkeypatch, capsys
):
    key, out = book.first_yard(), tmp_path / "sheets"
    candy = TEXT.replace("sugar_pct = 45", "sugar_pct = 96")
    kept = book.keep_plan(key, replace(told, plan=replace(told.plan, text=candy)), told.taken(1))
    line = "It would not be proposed today: Protein patty is no protein feed: 4 % of it is protein at most"
    assert line in book.changed(key, kept)
    monkeypatch.setattr(PlanKept, "sheets", None)
    with pytest.raises(PlanError, match="no protein feed"):
        book.rounds(key, kept.asked, Way(draws=20))
    paper = kept_paper(book, key, kept, "", lambda: book.rounds(key, kept.asked, Way(draws=20), again=True))
    assert [visit.on for visit in paper.visits] == [one.on for one in kept.rounds]
    monkeypatch.setattr(
        RoundsBook, "rounds", partialmethod(RoundsBook.rounds, way=Way(draws=20))
    )  # quicker than all of them
    asking = command.Asking((), None, None, None, None, False, book.path, YARD.today.isoformat())
    command.sheet(asking, None, out, command.Printed("truck", "a4", True))
    assert line in " ".join(capsys.readouterr().out.split())
    assert len(list(out.iterdir())) == len(kept.rounds)
    fine = book.keep_plan(key, told, told.taken(1))
    assert book.changed(key, fine) == ""


def test_one_s_own_figure_for_the_least_protein_is_that_of_the_book(book):
    candy = TEXT.replace("sugar_pct = 45", "sugar_pct = 96")
    book.edit_figure("feed.least_protein_pct", 2, 3, 4, "ours")
    assert book.asked(candy).feeds[0].sugar == pytest.approx(0.96)


def test_of_several_yards_no_plan_is_kept_where_one_has_none_of_that_number(book, tmp_path, monkeypatch):
    """The list of the second yard is cut to "do nothing"; number 1 is there for the first alone."""
    told = book.rounds(book.first_yard(), TEXT, Way(draws=20))
    second = replace(told.answer.found, last_year=None, frontier=(), finalists=())
    short = replace(told, yard=replace(YARD, name="Elder Slough"), answer=replace(told.answer, found=second))
    monkeypatch.setattr(command, "searched", lambda asking: [told, short])
    asking = command.Asking((), None, None, None, None, False, book.path)
    number = len(told.plans) - 1
    assert len(short.plans) <= number
    with pytest.raises(PlanError, match="plan of Elder Slough: there is no number"):
        command.plan(asking, command.Choice(number, threshold=25.0))
    monkeypatch.setattr(command, "searched", lambda asking: [told, replace(told, yard=short.yard)])
    with pytest.raises(RecordError, match=r"Elder Slough.*not in the book"):
        command.plan(asking, command.Choice(1, threshold=25.0))
    assert book.plan(book.first_yard()) is None, "the first yard's was not kept before the second failed"


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
    last_year = Stood(date(2025, 10, 3), 33.9, -83.4, 3.2, 8.0, None, 24)
    book.keep_dry_feed(key, last_year)
    book.keep_dry_feed(key, replace(last_year, since=book.today))
    book.no_dry_feed(key, "the wrong yard")
    assert [one.since for one in book.barred()] == [last_year.since], "what stood last season stood"


def test_the_sheets_of_a_chosen_plan_are_had_as_it_was_chosen(book, tmp_path, capsys):
    key, out = book.first_yard(), tmp_path / "sheets"
    told = replace(book.rounds(key, TEXT, Way(draws=20)), threshold=0.3)
    kept = book.keep_plan(key, told, told.taken(1))
    assert kept.sheets == yard_paper(told, told.taken(1))
    later = date(2026, 2, 16)
    moved = replace(YARD, today=later, colonies=12, count=replace(YARD.count, on=date(2026, 2, 15)))
    then = RoundsBook(book.path, later)
    then.add_yard(moved)
    now = then.plan(key)
    assert now.sheets == kept.sheets, "neither day nor colonies of today are in it"
    yard = tmp_path / "yard.toml"
    yard.write_text(yard_to_toml(moved), encoding="utf-8")
    asking = command.Asking((yard,), None, None, None, None, False, book.path)
    command.sheet(asking, None, out, command.Printed("truck", "a4", True))
    said = " ".join(capsys.readouterr().out.split())
    assert "Copper Ford: As last year: 2 rounds" in said
    assert "chosen on 20 January 2026 these changed: the counts and the facts of the yard" in said
    assert sorted(path.name for path in out.iterdir()) == [
        "truck-01-round-1-2026-02-10.pdf", "truck-02-round-2-2026-02-24.pdf"
    ]  # fmt: skip
    asking_all = replace(asking, yards=(), as_of="2026-02-16")
    command.sheet(asking_all, None, tmp_path / "all", command.Printed("order", "a4", True))
    said = " ".join(capsys.readouterr().out.split())
    assert "chosen on 20 January 2026 these changed: the counts and the facts of the yard" in said
    command.sheet(replace(asking, as_of="2026-02-18"), None, out, command.Printed("order", "a4", True))
    assert "the counts and the facts of the yard" in " ".join(capsys.readouterr().out.split())
    for yards in (asking.yards, ()):
        typed = replace(asking, yards=yards, as_of="16 Feb")
        with pytest.raises(PlanError, match="is no date"):
            command.sheet(typed, None, out, command.Printed(None, "a4", True))
    with pytest.raises(PlanError, match="goes with a search"):
        command.sheet(asking, 1, out, command.Printed(as_chosen=True))
    with pytest.raises(PlanError, match="is left out"):
        command.sheet(asking, 1, out, command.Printed())
    seen = command.Seen(200, 50, None, 4, None, None, None)
    command.stop(yard, seen, command.Rest(None, None, 0, 1.0, book.path), False)
    said = " ".join(capsys.readouterr().out.split())
    assert "the threshold is 30, kept with the plan of 20 January 2026" in said
    command.stop(yard, replace(seen, threshold=20), command.Rest(None, None, 0, 1.0, book.path), False)
    assert "the threshold is 20." in " ".join(capsys.readouterr().out.split())
    arcs = replace(seen, with_pollen=150, arcs="6/6")
    command.stop(yard, arcs, command.Rest(None, None, 0, 1.0, book.path), False)
    # by hand: of 40 a pair is joined, so 39 get it, 11.7 of the 12 of now: each 1 lb at 1.45 and 2 min at 20
    # an hour, 24.77; 24 miles at 0.70 and 50 min of road, 33.47
    said = " ".join(capsys.readouterr().out.split())
    # Up to: by the weather of the book most seasons run short again.
    assert "Up to US$58 is saved: 1 round for 12 colonies. The round of 10 February 2026 is not " in said


def test_a_recipe_is_kept_with_the_sheets_as_it_was():
    recipe = read_recipe(tree.ROOT / "examples" / "first-recipe" / "recipe.toml")
    quotes = {"sugar": Quote("sugar", 0.6, "lb", "US$", 2025)}
    feed = FeedPaper("Spring patty", Amount(3.2, "US$", 2026), None, "recipe", "version 1", recipe, quotes)
    steps, patty = (Step(0.0, 0.0), Step(3.5, 0.5)), Patty(680.4, "lb", sold_g=907.2)
    visit = RoundVisit(
        "Copper Ford", 1, date(2026, 2, 10), steps, (10, 30), patty, 14, "your own rule", ("fresh arcs",),
        40, 1.7, 0.0, True, (Pair(4.5, ("CF-03", "CF-11")),), ("CF-05",), "too small",
        place=Place(33.9, -83.4), feed=feed.name,
    )  # fmt: skip
    syrup = SyrupToOrder("syrup", Amount(1.1, "US$", 2026), 0.8, Price(0.9, "US$", 2026, 25.0))
    paper = YardPaper(
        "Copper Ford", "US", (visit,), feed, syrup, 0.05, Drive(("Copper Ford",), Place(34.0)), 2,
        (("CF-07", 7.5),), date(2026, 2, 20), None, 1.5, 30.0,
    )  # fmt: skip
    written = json.loads(json.dumps(paper_document(paper)))
    assert paper_from(written) == paper
    assert paper_from(None) is None
    assert paper_from({**written, "shape": "of a newer version"}) is None
    sold = paper_document(replace(paper, syrup=replace(syrup, name="syrup, 67 % sugar")))
    with speaking("es"):  # kept in English, printed for a Spanish crew
        assert paper_from(sold).syrup.name == "jarabe, 67 % de azúcar"


def test_which_parts_changed_since_a_plan_was_chosen_is_said(book, told):
    key = book.first_yard()
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
    parts = {k: v for k, v in book.parts(key).items() if k != "program"}  # of a book before that was kept
    unmarked = replace(kept, belief={**kept.belief, "parts": parts})
    assert book.changed(key, unmarked) == ""
    of_another = replace(unmarked, program="0.0.9")
    for other in (of_another, replace(kept, belief={**kept.belief, "parts": {**parts, "program": "0"}})):
        assert book.changed(key, other).endswith("this changed: the program, or figures it brings.")
