"""A trial of honey travels in kilograms, whatever it was weighed in."""

from __future__ import annotations

import json
from datetime import date

import pytest

from breadline.errors import TrialError
from breadline.jobs.verdict import Prices, Told, VerdictAsked, verdict_of_table
from breadline.jobs.verdict_cells import table_of
from breadline.jobs.verdict_file import verdict_of_content
from breadline.jobs.verdict_onward import Onward, travelling

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
    asked = VerdictAsked(Prices(cost=9, price=3 / POUND, unit="US$", year=2026), draws=99)
    back = verdict_of_content("trial.json", text.encode(), asked, date(2027, 1, 1))
    assert back.answer.given is found.answer.given
    assert back.measure.many == "kg"
    here, there = found.answer.here, back.answer.here
    assert (there.low, there.high) == pytest.approx((here.low * POUND, here.high * POUND))


def test_a_travelled_trial_is_not_told_in_pounds_that_are_kilograms():
    text = travelling(in_pounds(), Onward("dearth", "summer 2026"))
    with pytest.raises(TrialError, match="kilogram"):
        verdict_of_content("trial.json", text.encode(), VerdictAsked(measure="lb"), date(2027, 1, 1))
