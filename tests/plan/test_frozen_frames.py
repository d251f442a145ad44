"""Frozen pollen frames: the oldest first, none from a sick yard, and no cold cures foulbrood."""

from datetime import date, timedelta

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import YardError
from breadline.plan.freezing import freezer_hours, least_hours
from breadline.plan.frozen_frames import Freezer, Lot, days_worth, take, worth_words
from plan.feeding import reader, rng

TODAY = date(2027, 3, 1)
OLD, NEW = Lot("Mill", date(2026, 5, 1), 3.0, True), Lot("Ford", date(2026, 9, 1), 5.0, True)
FREEZER = Freezer((NEW, OLD))


def test_first_in_is_first_out() -> None:
    taken = take(FREEZER, 4.0, TODAY, reader())
    assert [(lot.yard, lot.frames) for lot in taken.lots] == [("Mill", 3.0), ("Ford", 1.0)]
    assert [(lot.yard, lot.frames) for lot in taken.left.lots] == [("Ford", 4.0)]
    assert taken.missing == 0.0


def test_frames_that_are_not_there_are_missing() -> None:
    taken = take(FREEZER, 10.0, TODAY, reader())
    assert (taken.frames, taken.missing) == (8.0, 2.0)
    assert taken.left.lots == ()


@pytest.mark.parametrize("known", [False, None])
def test_frames_from_a_yard_not_free_of_disease_are_refused(known) -> None:
    with pytest.raises(YardError) as told:
        FREEZER.with_lot(Lot("Hill", TODAY, 2.0, known))
    assert "never the spores of foulbrood" in told.value.do


def test_disease_found_later_sets_a_whole_yard_aside() -> None:
    after = FREEZER.without_yard("Mill")
    assert after.frames == 5.0
    taken = take(after, 6.0, TODAY, reader())
    assert {lot.yard for lot in taken.lots} == {"Ford"}
    assert taken.missing == 1.0
    assert taken.left.set_aside == after.set_aside
    assert any("Mill" in remark for remark in taken.remarks)


def test_old_frames_are_remarked() -> None:
    old = Freezer((Lot("Mill", date(2025, 5, 1), 1.0, True),))
    assert "count on less of it" in take(old, 1.0, TODAY, reader()).remarks[0]
    assert not any("old" in remark for remark in take(FREEZER, 1.0, TODAY, reader()).remarks)


LOTS = st.lists(
    st.builds(
        Lot,
        st.sampled_from(["Mill", "Ford", "Hill"]),
        st.dates(date(2024, 1, 1), TODAY),
        st.floats(0, 50),
        st.sampled_from([True, False, None]),
    ),
    max_size=8,
)


@given(lots=LOTS, frames=st.floats(0, 200))
def test_nothing_is_lost_and_no_older_usable_lot_is_left_behind(lots, frames: float) -> None:
    freezer = Freezer(tuple(lots))
    taken = take(freezer, frames, TODAY, reader())
    assert taken.frames + taken.missing == pytest.approx(frames, abs=1e-6)
    assert taken.frames + taken.left.frames == pytest.approx(freezer.frames, abs=1e-6)
    assert taken.left.set_aside == freezer.set_aside
    assert all(lot.usable for lot in taken.lots)
    left = [lot.taken_on for lot in taken.left.lots if lot.usable]
    assert all(lot.taken_on <= on for lot in taken.lots for on in left)


def test_a_frame_is_worth_some_days_and_less_where_more_is_needed() -> None:
    # by hand: 4,500 cells of 0.16 g are 720 g; at 60 g a day 12 days
    worth = days_worth(1.0, np.array(60.0), reader(), rng())
    assert worth.low < worth.middle < worth.high
    assert worth.middle == pytest.approx(12.0, abs=1.0)
    assert days_worth(1.0, np.array(120.0), reader(), rng()).middle == pytest.approx(worth.middle / 2)
    assert days_worth(2.0, np.array(60.0), reader(), rng()).middle == pytest.approx(worth.middle * 2)
    assert worth_words(1.0, worth).startswith("1 frame of bread: worth")


def test_no_need_lasts_for_ever_and_a_need_below_nothing_is_told() -> None:
    assert days_worth(1.0, np.array(0.0), reader(), rng()).low == float("inf")
    assert days_worth(0.0, np.array(0.0), reader(), rng()).high == 0.0
    with pytest.raises(YardError, match="need of the colony"):
        days_worth(1.0, np.array([-1.0, 5.0]), reader(), rng())


@given(cold=st.floats(-40, 10), colder=st.floats(0, 20))
def test_colder_never_takes_longer(cold, colder) -> None:
    for pest in ("wax_moth", "hive_beetle"):
        warm, cool = (least_hours(pest, c, reader()) for c in (cold, cold - colder))
        assert warm is None or (cool is not None and cool <= warm)


@given(days=st.integers(0, 2000))
def test_no_time_in_the_freezer_is_a_cure_for_foulbrood(days) -> None:
    """Frames of a yard with disease stay set aside, however long they lie; others go out, and it is said."""
    today = date(2026, 6, 1)
    lots = (Lot(yard, today - timedelta(days=days), 2.0, yard == "well") for yard in ("sick", "well"))
    taken = take(Freezer(tuple(lots)), 4.0, today, reader())
    assert [lot.yard for lot in taken.lots] == ["well"]
    assert taken.missing == 2.0
    assert "never the spores of foulbrood" in " ".join(taken.remarks)


def test_the_freezer_is_given_time_to_chill_the_comb_and_a_mild_one_is_refused() -> None:
    both = freezer_hours(("wax_moth", "hive_beetle"), -18.0, reader())
    assert both > 48.0
    assert freezer_hours(("wax_moth",), -18.0, reader()) > 2.0
    assert least_hours("hive_beetle", -12.0, reader()) is None
    with pytest.raises(YardError, match="hive beetle"):
        freezer_hours(("wax_moth", "hive_beetle"), -12.0, reader())
    with pytest.raises(YardError, match="wax moth"):
        freezer_hours(("wax_moth",), 5.0, reader())
