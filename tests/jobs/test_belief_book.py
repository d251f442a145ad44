"""What own check groups teach changes the plan of next season. A real book; all invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from breadline.errors import RecordError
from breadline.jobs.belief_book import BeliefBook, Taught
from breadline.jobs.check_group_book import asked_of_book
from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.evidence import evidence_told
from breadline.jobs.evidence_told import evidence_document, own_lines
from breadline.jobs.own_evidence import lesson_result, own_evidence
from breadline.jobs.rounds import Way
from breadline.jobs.rounds_book import RoundsBook
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.trial_taught import taught_by
from breadline.jobs.yard_file import read_yard
from breadline.trial.classes import AnswerClass
from breadline.verdict.through_model import Mode
from breadline.verdict.words_asked import in_short
from house import tree
from jobs.travelled import finished, text

FOLDER = tree.ROOT / "examples" / "first-rounds"
YARD = read_yard(FOLDER / "yard.toml")
TEXT = (FOLDER / "rounds.toml").read_text("utf-8")
LEARNT = Taught("dearth", "autumn 2025", "Sorrel Bend, autumn 2025", "a" * 64, date(2025, 11, 12), "E",
                -0.05, 0.05, 60, 12, (Mode(0.0, 0.05, 0.2, 1.0),))  # fmt: skip


@pytest.fixture
def book(tmp_path):
    made = BeliefBook(tmp_path / "book.sqlite", YARD.today)
    made.open_operation("Sorrel Bend Bees (invented)")
    made.add_yard(YARD, FIRST_YARD / "weather.csv")
    return made


def test_next_seasons_plan_goes_by_what_was_learnt(book):
    rounds = RoundsBook(book.path, YARD.today)
    key, way = rounds.first_yard(), Way(draws=20)
    first, stand = rounds.rounds(key, TEXT, way), rounds.stand(key)
    assert first.learnt is None
    for year in (2023, 2024, 2025):
        taught = replace(LEARNT, situation=first.situation, trial=f"{year:064}", season=f"autumn {year}")
        book.learn(taught)
    then = rounds.rounds(key, TEXT, way)
    assert rounds.stand(key) != stand
    assert then.learnt is not None
    assert then.likely.startswith(
        "In your own check groups fed colonies had, of bees, 5 % fewer (autumn 2023)"
    )
    assert "moved from" in then.likely
    fed = [next(one for one in told.plans if one.plan.pieces) for told in (first, then)]
    assert fed[1].gain < fed[0].gain, "three seasons of nothing make feeding worth less"
    kept = rounds.keep_plan(key, then, fed[1])
    assert kept.belief["own_seasons"] == 3
    # the size of the next check group adds a season's luck by itself: it starts from the mean
    asked, mean = asked_of_book(book.path, (), YARD.today), then.learnt.after
    assert asked.gain == pytest.approx([np.exp(v) for v in (mean.low, mean.middle, mean.high)])
    assert asked.gain[2] < kept.belief["fed_over_unfed"][2]


def test_a_situation_without_an_own_season_keeps_the_belief_of_the_shelf(book):
    book.learn(LEARNT)
    assert set(book.known().beliefs) == {"dearth"}
    rounds = RoundsBook(book.path, YARD.today)
    told = rounds.rounds(rounds.first_yard(), TEXT, Way(draws=20))
    assert told.situation != "dearth"
    assert told.likely.startswith("In published trials")


def test_a_lesson_comes_back_with_before_and_after(book):
    after = book.learn(LEARNT)
    (lesson,) = book.known().lessons
    assert lesson.taught == LEARNT
    assert lesson.learnt_on == YARD.today
    assert lesson.before.middle == pytest.approx(0.22, abs=0.002)
    assert lesson.after.middle == pytest.approx(after.after.middle, abs=1e-4)
    assert lesson.after.middle < lesson.before.middle


def test_the_same_trial_again_teaches_nothing_more(book):
    once, twice = book.learn(LEARNT), book.learn(LEARNT)
    assert once == twice
    assert len(book.known().lessons) == 1
    corrected = book.learn(replace(LEARNT, log_ratio=0.3), "two hives graded again")
    assert corrected.after.middle > once.after.middle
    assert len(book.known().lessons) == 1


def test_what_was_learnt_can_be_taken_back_with_a_reason(book):
    book.learn(LEARNT)
    with pytest.raises(RecordError, match="no reason"):
        book.unlearn(LEARNT.trial, " ")
    book.unlearn(LEARNT.trial, "the feed lay in the open")
    assert book.known().beliefs == {}


def test_an_edited_figure_is_in_the_belief_at_once(book):
    book.learn(LEARNT)
    first = book.known().beliefs["dearth"].after.middle
    book.edit_figure("belief.dearth_gain", 0.3, 0.6, 0.9, "my own autumns")
    assert book.known().beliefs["dearth"].after.middle > first


@pytest.mark.parametrize("one_row", [True, False, None])
def test_what_a_trial_in_one_row_taught_is_said_to_be_taken_as_it_was_seen(book, one_row):
    book.learn(replace(LEARNT, one_row=one_row))
    known = book.known()
    (lesson,) = known.lessons
    assert lesson.taught.one_row is one_row
    own = own_evidence(known)
    lines = " ".join(text for _, text in own_lines(own))
    assert "dead ones as none" in own.situations[0].caption, "this lesson does not know who lived"
    document = evidence_document(evidence_told(book.shelf()), known)["own"]["trials"][0]
    assert document["one_row"] is one_row
    assert ("Taken as it was seen" in lines) is (one_row is True)
    assert (document["drift_said"] is not None) is (one_row is True)
    if one_row:
        (said,) = [trial.drift for one in own.situations for trial in one.trials]
        assert "0.78 of the true one" in said
    # what was taught is the difference as seen, whichever way they stood
    assert lesson.taught.log_ratio == LEARNT.log_ratio


@pytest.mark.parametrize(
    ("held", "said"),
    [
        ({"weakened": "permutation", "by_permutation": AnswerClass.DID_NOT_PAY}, "; it did not pay"),
        ({"weakened": "drift"}, "; not to be told by itself, with bees drifting along the row"),
        ({"weakened": ""}, "; too few to tell by itself"),
    ],
)
def test_a_lesson_tells_a_trial_in_the_words_of_the_list_and_of_the_average(book, held, said):
    """Range and lots that agree on "did not pay" and share no class were "too few" in the lesson alone."""
    one = checked(trial_from_text(text(finished(1)), "t.json"))
    here = replace(one.answer.here, given=AnswerClass.STRONGER_DID_NOT_PAY)
    one = replace(one, answer=replace(one.answer, given=AnswerClass.TOO_FEW, here=here, **held))
    book.learn(taught_by(one))
    (lesson,) = book.known().lessons
    assert lesson_result(lesson).endswith(said)
    assert said == f"; {in_short(one.answer)}"


def test_a_lesson_of_an_older_book_that_told_too_little_does_not_say_why(book):
    book.learn(replace(LEARNT, given="G"))
    assert lesson_result(book.known().lessons[0]).endswith("; its class alone does not tell whether it paid")
    book.learn(replace(LEARNT, given="G", told_as="not covered"), "read again")
    assert lesson_result(book.known().lessons[0]).endswith("; it did not pay")


def test_a_lesson_of_an_older_book_says_its_rows_once_it_is_learnt_again(book):
    book.learn(LEARNT)
    book.learn(replace(LEARNT, one_row=True), "read again")
    (lesson,) = book.known().lessons
    assert lesson.taught.one_row is True


@pytest.mark.parametrize(("staggered", "one_row"), [(False, True), (True, False), (None, None)])
def test_a_trial_teaches_how_its_groups_stood(staggered, one_row):
    of = finished(1)
    of = replace(of, design=replace(of.design, staggered=staggered))
    one = checked(trial_from_text(text(of), "t.json"))
    assert taught_by(one).one_row is one_row
    assert any("Taken as it was seen" in said for said in one.remarks) is (one_row is True)
