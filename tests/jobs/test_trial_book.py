"""Check groups of a book of records: its named hives with their newest counts, else numbers. All invented."""

from __future__ import annotations

import shutil
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from breadline.errors import TrialError
from breadline.jobs.check_group_trial import Asked
from breadline.jobs.counts_known import LASTS
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.trial_book import TrialsBook
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.edits import Edit
from breadline.records import colonies, figure_edits, readings, stocks, yards
from breadline.records.engine import open_book, writing
from breadline.trial.classes import Lines
from breadline.trial.colonies import Also, Became, Ended
from breadline.trial.design import CheckArm, Outcome

TODAY = date(2026, 8, 20)
NOW = datetime(2026, 8, 20, 9, tzinfo=UTC)
ASKED = Asked("Autumn", Outcome.FRAMES, CheckArm.SAME_CARE, Lines(0.9, 0.5), date(2026, 11, 20), 3.0, 7)
BY_COUNTS = "Strength before the draw is by the newest count of each hive, of 15 August 2026, 5 days old."


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """Two yards: one with twelve named hives and their counts, one of which nobody named a hive."""
    path = tmp_path_factory.mktemp("written") / "book.sqlite"
    first = replace(read_yard(FIRST_YARD / "yard.toml"), name="Named", colonies=12)
    engine = open_book(path)
    with writing(engine) as session:
        yards.add_operation(session, "Sorrel Bend Bees (invented)")
        key = yards.add_yard(session, first)
        yards.add_yard(session, replace(first, name="Bare", colonies=14))
        hives = [readings.add_colony(session, key, f"{n}") for n in range(1, 13)]
        for on, more in ((date(2026, 8, 1), 0.0), (date(2026, 8, 15), 1.0), (date(2026, 9, 1), 9.0)):
            visit = readings.add_visit(session, key, readings.Look(on))
            for n, hive in enumerate(hives):
                readings.add(session, visit.id, readings.Seen("frames_of_bees", 5.0 + n / 2 + more), hive.id)
    engine.dispose()
    return path


@pytest.fixture
def book(written, tmp_path):
    """That book, each test's own."""
    return TrialsBook(Path(shutil.copy(written, tmp_path)), TODAY)


def test_named_hives_come_with_their_newest_count_up_to_the_day(book):
    listed = book.candidates(["Named"])
    assert [c.hive for c in listed.colonies] == [f"{n}" for n in range(1, 13)]
    assert [c.baseline for c in listed.colonies][:2] == [6.0, 6.5]
    assert listed.said == (BY_COUNTS,)
    assert listed.stands[0].place is not None


def test_a_hive_that_is_dead_is_not_drawn_and_two_of_one_tag_are_refused(book):
    engine = open_book(book.path)
    with writing(engine) as session:
        (key,) = [row.id for row in yards.yards(session) if row.name == "Named"]
        first, *_ = colonies.in_rows(session, key)
        colonies.ended(session, first.id, "dead", date(2026, 8, 1))
    assert [c.hive for c in book.candidates(["Named"]).colonies] == [f"{n}" for n in range(2, 13)]
    with writing(engine) as session:
        colonies.place_colony(session, key, first.tag)
    assert len(book.candidates(["Named"]).colonies) == 12
    with writing(engine) as session:
        colonies.ended(session, first.id, "stands", date(2026, 8, 2))
    engine.dispose()
    with pytest.raises(TrialError, match="two hives wear the tag 1"):
        book.candidates(["Named"])


def test_a_hive_that_had_no_bees_at_its_last_look_is_not_drawn(book):
    engine = open_book(book.path)
    with writing(engine) as session:
        (key,) = [row.id for row in yards.yards(session) if row.name == "Named"]
        first, *_ = colonies.in_rows(session, key)
        visit = readings.add_visit(session, key, readings.Look(TODAY))
        readings.add(session, visit.id, readings.Seen("frames_of_bees", 0.0), first.id)
    engine.dispose()
    assert [c.hive for c in book.candidates(["Named"]).colonies] == [f"{n}" for n in range(2, 13)]


def test_counts_make_sets_until_an_age_of_the_figures_and_are_then_asked_for_again(book):
    """The newest count is of 1 September: 28 days later it holds, a day after that it does not."""
    assert (
        "of 1 September 2026, 28 days old"
        in TrialsBook(book.path, date(2026, 9, 29)).candidates(["Named"]).said[0]
    )
    (said,) = TrialsBook(book.path, date(2026, 9, 30)).candidates(["Named"]).said
    assert "29 days old; after 28 days" in said
    assert "Grade each hive again before the draw" in said
    engine = open_book(book.path)
    with writing(engine) as session:
        figure_edits.edit(session, LASTS, Edit(14, 60, 60, "ours", TODAY))
    engine.dispose()
    later = TrialsBook(book.path, date(2026, 9, 30))
    assert not later.counts(["Named"]).old
    assert "29 days old." in later.candidates(["Named"]).said[0]


def test_where_two_yards_share_a_number_the_yard_stands_before_it_and_half_counts_are_left_aside(book):
    listed = book.candidates()
    assert {c.hive for c in listed.colonies} >= {"Named 7", "Bare 7", "Bare 14"}
    assert all(c.baseline is None for c in listed.colonies)
    assert listed.said == (
        "Hives without names are counted along the yard from its gate: Bare.",
        "Only 12 of 26 hives have a count of bees: the counts are left aside.",
    )
    assert [c.place for c in listed.colonies if c.yard == "Bare"] == list(range(1, 15))


def test_a_yard_that_is_not_there_is_refused_with_those_that_are(book, tmp_path):
    with pytest.raises(TrialError, match="there is no yard Nowhere"):
        book.candidates(["Nowhere"])
    with pytest.raises(TrialError, match="there is none in this book"):
        TrialsBook(tmp_path / "empty.sqlite", TODAY).candidates()


def dry_feed_stood(book, since, north):
    """Dry feed in the open so far north of the first yard [°], flight range 3.2 to 6.4 km."""
    place = book.candidates(["Named"]).stands[0].place
    engine = open_book(book.path)
    with writing(engine) as session:
        stood = stocks.Stood(since, place.latitude + north, place.longitude, 3.2, 6.4, None, 14)
        key = next(row.id for row in yards.yards(session) if row.name == "Bare")
        stocks.keep_dry_feed(session, key, stood)
    engine.dispose()


def test_no_check_group_is_drawn_where_dry_feed_stood_in_the_open_this_season(book):
    dry_feed_stood(book, date(2026, 8, 1), 0.02)  # 2.2 km
    for ask in (lambda: book.candidates(["Named"]), lambda: book.listed("hive,yard\n1,Named\n2,Named\n")):
        with pytest.raises(TrialError, match="Leave this yard out of the trial") as refused:
            ask()
        assert refused.value.where == "yard Named"
        assert "dry feed" in refused.value.what.lower()
    assert len(TrialsBook(book.path, date(2027, 8, 20)).candidates(["Named"]).said) == 1  # of the counts


def test_at_the_edge_of_its_flight_range_a_draw_is_doubtful_and_says_so(book):
    dry_feed_stood(book, date(2026, 8, 1), 0.04)  # 4.4 km
    said = "Dry feed stood in the open at Bare, and Named may fetch of it: in need bees fly that far."
    assert book.candidates(["Named"]).said == (BY_COUNTS, said)
    assert book.listed("hive,yard\n1,Named\n2,Named\n").said == (said,)


def test_a_trial_is_drawn_locked_and_graded_in_the_book(book):
    kept = book.draw(book.candidates(["Named"]), ASKED, NOW)
    assert book.trial(kept.key).trial == kept.trial
    with pytest.raises(TrialError, match="Lock it before grading"):
        book.keep_ends(kept.key, [])
    again = book.draw(book.candidates(["Named"]), replace(ASKED, seed=8), NOW, kept.key)
    assert again.trial.draws == 2
    locked = book.lock(again.key, NOW)
    tag = locked.trial.order[0]
    book.keep_ends(locked.key, [Ended(tag, Became.GRADED, 6.0)])
    book.keep_ends(again.key, [Ended(tag, Became.DEAD)], "it was empty after all")
    (only,) = book.trials()
    assert only.trial.seal == locked.trial.seal
    assert only.trial.ended == (Ended(tag, Became.DEAD),)
    assert len(only.trial.without_end) == 11


def test_an_end_said_again_corrects_nothing_and_another_one_does(book):
    kept = book.draw(book.candidates(["Named"]), ASKED, NOW)
    kept = book.lock(kept.key, NOW)
    died, graded = kept.trial.order[:2]
    found, day = date(2027, 2, 3), date(2026, 11, 20)
    book.keep_ends(kept.key, [Ended(died, Became.DEAD, graded_on=found, grader="Ada")])
    book.keep_ends(kept.key, [Ended(graded, Became.GRADED, 6.0, again=6.5, also=Also(brood=3.0))])

    def now():
        return {end.tag: end for end in book.trial(kept.key).trial.ended}

    for again in (Ended(died, Became.DEAD), Ended(died, Became.DEAD, 0.0, graded_on=date(2027, 3, 20))):
        book.keep_ends(kept.key, [again, Ended(graded, Became.GRADED, 6.0, day, "Bo")])
    assert (now()[died].graded_on, now()[died].grader) == (found, "Ada"), "it was dead on that day"
    assert now()[graded] == Ended(graded, Became.GRADED, 6.0, day, "Bo", 6.5, also=Also(brood=3.0))
    for other in (
        Ended(died, Became.ABSCONDED),
        Ended(graded, Became.GRADED, 5.0),
        Ended(graded, Became.GRADED, 0.0),
        Ended(graded, Became.GRADED, 6.0, again=5.5),
        Ended(graded, Became.DEAD),
    ):
        with pytest.raises(TrialError, match="why it changes is not said"):
            book.keep_ends(kept.key, [other])
    book.keep_ends(kept.key, [Ended(died, Became.DEAD, graded_on=date(2027, 3, 20))], "misread")
    assert now()[died] == Ended(died, Became.DEAD, graded_on=date(2027, 3, 20))
