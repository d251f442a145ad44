"""What goes along in a trial file: honey in kilograms, and prices where they are ticked."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from breadline.errors import TrialError
from breadline.jobs.trial_checked import checked
from breadline.jobs.trial_file import Telling, trial_from_text, trial_text
from breadline.jobs.verdict import Prices, Told, VerdictAsked, verdict_of_table
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_file import verdict_of_content, verdict_of_travelled
from breadline.jobs.verdict_onward import Onward, travelling
from breadline.jobs.verdict_page import page_of
from breadline.trial.classes import AnswerClass, Lines
from breadline.trial.design import Outcome
from jobs.travelled import finished

HEAD = "hive,yard,group,before,honey,again"
POUND = 0.45359237  # kg, by definition


def in_pounds():
    rows = [
        f"H{k},north,{'fed' if k % 2 else 'check'},6,{60 + 5 * (k % 6) + 4 * (k % 2)},70" for k in range(40)
    ]
    table = table_of("own.csv", "\n".join([HEAD, *rows]).encode())
    prices = Prices(cost=9, price=3, margin=2, unit="US$", year=2026)
    return verdict_of_table(table, VerdictAsked(prices, Told(drawn="lot"), measure="lb", draws=99))


def test_pounds_travel_as_kilograms_and_come_to_the_same_answer():
    found = in_pounds()
    text = travelling(found, Onward("dearth", "summer 2026"))
    file = json.loads(text)
    assert file["design"]["break_even"] == pytest.approx(9 / 3 * POUND)
    assert file["design"]["margin"] == pytest.approx(2 * POUND)
    first = found.finished.ended[0]
    assert file["colonies"][0]["outcome"] == pytest.approx(first.outcome * POUND)
    assert file["colonies"][0]["again"] == pytest.approx(70 * POUND)
    assert file["colonies"][0]["baseline"] == 6  # frames before
    priced = json.loads(travelling(found, Onward("dearth", "summer 2026", own_prices=True)))["prices"]
    assert priced == {"cost": 9, "price": pytest.approx(3 / POUND), "money": "US$", "year": 2026}
    asked = VerdictAsked(Prices(cost=9, price=3 / POUND, unit="US$", year=2026), draws=99)
    back = verdict_of_content("trial.json", text.encode(), asked, date(2027, 1, 1))
    assert back.answer.given is found.answer.given
    assert back.measure.many == "kg"
    here, there = found.answer.here, back.answer.here
    assert (there.low, there.high) == pytest.approx((here.low * POUND, here.high * POUND))


def test_a_travelled_trial_is_told_in_the_pounds_of_whoever_reads_it():
    found = in_pounds()
    text = travelling(found, Onward("dearth", "summer 2026", own_prices=True)).encode()
    for asked in (VerdictAsked(weighed="lb", draws=99), VerdictAsked(measure="lb", draws=99)):
        back = verdict_of_content("trial.json", text, asked, date(2027, 1, 1))
        assert back.measure.many == "lb"
        assert back.spoken.range_said == found.spoken.range_said
        assert back.spoken.money == found.spoken.money
        assert back.finished.design.lines.break_even == pytest.approx(9 / 3)
    typed = replace(asked, prices=Prices(cost=9, price=3, unit="US$", year=2026))  # of a pound
    assert verdict_of_content("t.json", text, typed, date(2027, 1, 1)).spoken.money == found.spoken.money
    again = json.loads(travelling(back, Onward("dearth", "summer 2026", own_prices=True)))
    assert again["prices"]["price"] == pytest.approx(3 / POUND)
    assert again["design"]["break_even"] == pytest.approx(3 * POUND)


def by_a_line(**prices):
    """Frames tell the groups apart; the counted share that makes a line does not."""
    lines = Lines(0.1, 0.1)
    of = finished(1, 1.35, 2, 4)
    of = replace(of, design=replace(of.design, outcome=Outcome.MAKING_GRADE, grade=7.0, lines=lines))
    file = trial_from_text(trial_text(of, Telling("autumn 2026", "dearth")), "t.json")
    return file, verdict_of_travelled(file, VerdictAsked(Prices(**prices)))


def test_without_a_price_the_share_making_grade_is_told_and_judged_and_why_there_is_no_money():
    file, bare = by_a_line()
    _, priced = by_a_line(cost=2, price=180, unit="$", year=2026)
    for name in ("check", "fed", "raw_check", "raw_fed", "more", "given", "needed"):
        assert getattr(bare.answer.grade, name) == getattr(priced.answer.grade, name)
    assert bare.answer.here.given is AnswerClass.PAID
    assert bare.answer.given is not AnswerClass.PAID  # the weaker class of the counted share is said
    assert bare.answer.weakened == "share"
    assert "counted" in bare.spoken.held_back
    assert bare.spoken.money.startswith("What was left over is not told, for nobody said what feeding one")
    assert "a colony that makes grade; with both it is" in bare.spoken.money
    page = page_of(bare)
    assert [cell.head for cell in page.cells] == ["Fed less check", "It had to add", "Making grade"]
    assert bare.spoken.money in page.under[0]
    assert checked(file).answer.given is bare.answer.given


def test_ticked_prices_go_along_and_tell_the_money_where_the_file_is_read():
    _, own = by_a_line(cost=2, price=180, unit="$", year=2026)
    file = trial_from_text(travelling(own, Onward("dearth", own_prices=True)), "t.json")
    back = verdict_of_travelled(file, VerdictAsked(draws=999))
    assert back.spoken.money == own.spoken.money != ""
    assert checked(file).answer.given is own.answer.given
    assert file.digest == trial_from_text(travelling(own, Onward("dearth")), "t.json").digest
    _, bare = by_a_line()
    with pytest.raises(TrialError, match="nobody said them"):
        travelling(bare, Onward("dearth", own_prices=True))
