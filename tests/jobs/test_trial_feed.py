"""The feed of a trial as it is typed, and that it travels with the trial."""

from __future__ import annotations

from datetime import date

import pytest

from breadline.errors import TrialError
from breadline.jobs.trial_feed import feed_of
from breadline.jobs.trial_file import trial_from_text
from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_file import verdict_of_content
from breadline.jobs.verdict_onward import Onward, travelling

TODAY = date(2027, 3, 1)
ASKED = VerdictAsked(Prices(cost=16, price=18, year=2026), Told(drawn="lot"), draws=99)
SHEET = "hive,yard,group,before,after\n" + "".join(
    f"H{k},north,{'fed' if k % 2 else 'check'},6,{6 + k % 5 + k % 2}\n" for k in range(20)
)


def test_days_and_amounts_in_any_order_and_unit():
    found = feed_of(
        "15", "4,5", ["2026-10-15 1 lb", "", "2026-10-01: 450 g", "2026-11-01 16oz", "2026-11-09 0,4 kg"]
    )
    assert (found.protein_pct, found.real_pollen_pct) == (15.0, 4.5)
    assert found.given == [
        (date(2026, 10, 1), 450.0), (date(2026, 10, 15), 453.6), (date(2026, 11, 1), 453.6),
        (date(2026, 11, 9), 400.0),
    ]  # fmt: skip


def test_so_little_with_its_sign_is_taken_and_none_is_no_fraction():
    found = feed_of("15 %", "0.5 %", [])
    assert (found.protein_pct, found.real_pollen_pct) == (15.0, 0.5)
    assert feed_of("15", "0", []).real_pollen_pct == 0.0


def test_nothing_typed_is_no_feed():
    assert feed_of("", " ", ["", " "]) is None


@pytest.mark.parametrize(
    ("typed", "why"),
    [
        (("150", "", []), "150 in 100 cannot be"),
        (("0.15", "", []), r"typed a fraction \(0.15\), enter per cent \(15\)"),
        (("15", "0,05", []), r"typed a fraction \(0.05\), enter per cent \(5\)"),
        (("", "", ["2026-10-01 450"]), "“2026-10-01 450” has no unit"),
        (("", "", ["450 g"]), "is not a day and an amount"),
        (("", "", ["01/10/2026 450 g"]), "no day that means one day only"),
        (("", "", ["2026-10-01 90 kg"]), "90,000 g on one colony"),
        (("", "", ["2026-10-01 0 g"]), "0 g on one colony"),
    ],
)
def test_what_cannot_be_is_said(typed, why):
    with pytest.raises(TrialError, match=why):
        feed_of(*typed)


def test_it_travels_with_the_trial_and_is_not_lost_when_that_travels_on():
    feed = feed_of("15", "0", ["2026-10-01 450 g"])
    found = verdict_of_content("own.csv", SHEET.encode(), ASKED, TODAY)
    text = travelling(found, Onward("dearth", "autumn 2026", own_names=True, feed=feed))
    assert trial_from_text(text, "t.json").feed == feed
    again = verdict_of_content("t.json", text.encode(), ASKED, TODAY)
    assert trial_from_text(travelling(again, Onward("dearth", "autumn 2026")), "u.json").feed == feed
