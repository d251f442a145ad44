"""A verdict that is kept says all of it in the language of whoever reads it. Invented."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from breadline.jobs.feed_days import with_feed_days
from breadline.jobs.trial_feed import feed_of
from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_file import verdict_of_content, verdict_of_trial
from breadline.jobs.verdict_onward import Onward, with_second_sentence
from breadline.language import speaking
from jobs.test_verdict_trial import ASKED, graded, trial
from jobs.travelled import text

LATE = date(2027, 2, 20)


def read_in(code, one):
    with speaking(code):
        return one.in_this_language


def both_ways(make):
    """What was judged for one reader and read by the other, beside what is judged for the other."""
    with speaking("en"):
        english = make()
    with speaking("es"):
        spanish = make()
    return (english, read_in("en", spanish)), (spanish, read_in("es", english))


def all_said(one):
    return (one.deviations, one.remarks, one.spoken, one.together, [b.facts for b in one.answer.broken],
            one.answer.why_not)  # fmt: skip


def drawn():
    """Twice drawn, graded late, other prices, cost of a half rate, and a sentence kept with the draw."""
    one = replace(
        graded(trial(), on=LATE), draws=2, said=("Fewer than 6 sets: a demonstration, not a comparison.",)
    )
    asked = replace(ASKED, prices=Prices(18, 9, unit="$", year=2027, year_said=False))
    return verdict_of_trial(one, asked, LATE, "trial.json")


def travelled():
    return verdict_of_content("t.json", text().encode(), ASKED, date(2027, 1, 1))


def sheet():
    rows = "\n".join(f"T{k},Home,{'fed' if k % 2 else 'check'},{6 + k % 3},{7 + k % 4}" for k in range(20))
    asked = VerdictAsked(Prices(16, 18, unit="$", year=2026, year_said=False), Told("lot"))
    content = f"Colony,Yard,Arm,Before,After\n{rows}\n".encode()
    assert table_of("a.csv", content).rows
    return verdict_of_content("a.csv", content, asked, date(2027, 1, 1))


def unfair():
    one = graded(trial(), on=LATE)
    return verdict_of_trial(one, replace(ASKED, told=Told(open_feed=True)), LATE, "trial.json")


@pytest.mark.parametrize("make", [drawn, travelled, sheet, unfair], ids=lambda make: make.__name__)
def test_a_kept_verdict_reads_as_one_judged_in_the_readers_language(make):
    for judged_here, read_here in both_ways(make):
        assert all_said(read_here) == all_said(judged_here)


def test_departures_and_remarks_are_there_and_differ_between_the_languages():
    (english, _), (spanish, _) = both_ways(drawn)
    assert len(english.deviations) >= 3
    assert english.remarks
    assert not set(english.deviations) & set(spanish.deviations)
    assert not set(english.remarks) & set(spanish.remarks)


def test_the_second_sentence_is_said_again_too():
    def make():
        return with_second_sentence(travelled(), Onward("dearth"))

    for judged_here, read_here in both_ways(make):
        assert judged_here.together
        assert read_here.together == judged_here.together


def test_feed_typed_by_another_reader_departs_once_and_in_that_readers_language():
    """Locked on 2 August; feed of 1 August sets the lock aside."""
    with speaking("en"):
        one = drawn()
    feed = feed_of("20", "", ["2026-08-01 450 g"])
    with speaking("es"):
        both = with_feed_days(one, feed)
    late = [said for said in both.deviations if "1 de agosto de 2026" in said]
    assert len(late) == 1
    assert not [said for said in both.deviations if "locked" in said]
    assert not both.locked
    (english,) = [said for said in read_in("en", both).deviations if "after the first feed" in said]
    assert "1 August 2026" in english
    assert read_in("en", both).fed_on == both.fed_on == (date(2026, 8, 1),)
