"""A trial's own yards are asked what a gram of the feed was worth. A real book; all invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from breadline.jobs.belief_book import BeliefBook
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.trial_model import shown_by_yards
from breadline.jobs.trial_shape import Feed
from breadline.jobs.yard_file import read_yard
from breadline.need.yard import Given, Health
from jobs.travelled import finished, text

YARD = read_yard(FIRST_YARD / "yard.toml")
ON, GRADED = date(2025, 8, 4), date(2025, 10, 6)
DAYS = (ON, date(2025, 8, 18), date(2025, 9, 1))
FEED = Feed(protein_pct=18.0, real_pollen_pct=0.0, given=[(day, 450.0) for day in DAYS])


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    made = RoundsBook(tmp_path_factory.mktemp("trial") / "book.sqlite", date(2026, 1, 20))
    made.open_operation("Sorrel Bend Bees (invented)")
    count = replace(YARD.count, on=date(2025, 8, 1), frames_of_bees=9.0, frames_of_brood=3.0)
    yard = replace(YARD, name="Sorrel Bend 0", today=ON, count=count, health=Health())
    made.add_yard(yard, FIRST_YARD / "weather.csv")
    return made


def trial(times: float, feed: Feed | None = FEED, yards: int = 2):
    made = finished(1, times, yards=yards)
    graded = tuple(replace(end, graded_on=GRADED) for end in made.ended)
    return checked(trial_from_text(text(replace(made, ended=graded), own_names=True, feed=feed), "t.json"))


def test_a_better_result_points_at_a_better_feed_and_a_yard_not_in_the_book_is_named(book):
    poor, good = (shown_by_yards(book, trial(times), "dearth") for times in (1.0, 1.5))
    assert poor.notes == good.notes == ("Sorrel Bend 1 is not in this book.",)
    middle = [found.after @ found.grid for found in (poor.found, good.found)]
    assert middle[0] < middle[1]
    assert poor.found.shown[0] == 0.0
    assert poor.found.shown[-1] > 0.05, "feed in a dearth shows in the model"
    assert poor.found.observed.spread >= 0.15
    assert sum(mode.share for mode in poor.found.modes) > 0.9


def test_feed_that_the_book_has_counts_where_the_file_says_nothing(book):
    key = book.first_yard()
    known = book.yard(key)
    fed = tuple(Given(day, 450.0) for day in DAYS)
    BeliefBook(book.path, GRADED).add_yard(replace(known, given=fed))
    told, written = (shown_by_yards(book, trial(1.2, feed, yards=1), "dearth") for feed in (FEED, None))
    assert written.notes == ()
    assert written.found.shown == pytest.approx(told.found.shown)


def test_without_the_feed_or_the_yards_nothing_is_asked(book):
    locked = replace(trial(1.2, None, yards=1).file, locked_at=datetime(2025, 9, 20, tzinfo=UTC))
    found = shown_by_yards(book, replace(trial(1.2, None, yards=1), file=locked), "dearth")
    assert "Sorrel Bend 0: feed: nothing is written down as put on for the trial" in " ".join(found.notes)
    numbered = checked(trial_from_text(text(feed=FEED), "t.json"))
    found = shown_by_yards(book, numbered, "dearth")
    assert found.found is None
    assert found.notes == ("None of its yards is in this book, so the season model is not asked.",)
