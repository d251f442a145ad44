"""Bees counted in at the entrance: the range, against scipy, and what the count can tell."""

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import binomtest

from breadline.errors import YardError
from breadline.need.yard import Forage
from breadline.plan.entrance_count import (
    EntranceCount,
    added_up,
    bees_to_tell,
    forage_counted,
    income_g_day,
    pollen_seen,
    wilson,
)

DAY = date(2027, 2, 10)


@given(bees=st.integers(1, 1000), share=st.floats(0, 1), level=st.floats(0.5, 0.999))
def test_the_range_is_scipy_s_wilson_interval(bees: int, share: float, level: float) -> None:
    hits = round(share * bees)
    theirs = binomtest(hits, bees).proportion_ci(level, method="wilson")
    assert wilson(hits, bees, level) == pytest.approx((theirs.low, theirs.high), abs=1e-12)


@given(bees=st.integers(10, 500), share=st.floats(0, 1), times=st.integers(2, 10))
def test_counting_more_of_the_same_never_widens_the_range(bees: int, share: float, times: int) -> None:
    hits = round(share * bees)
    few, many = EntranceCount(DAY, bees, hits), EntranceCount(DAY, bees * times, hits * times)
    assert many.range[1] - many.range[0] <= few.range[1] - few.range[0] + 1e-12
    assert few.range[0] <= few.share <= few.range[1]


def test_over_under_and_open() -> None:
    assert EntranceCount(DAY, 100, 40).against(0.25) == "over"
    assert EntranceCount(DAY, 100, 10).against(0.25) == "under"
    assert EntranceCount(DAY, 100, 28).against(0.25) == "open"


@given(bees=st.integers(20, 300), share=st.floats(0, 1))
def test_the_bees_to_count_settle_it(bees: int, share: float) -> None:
    count = EntranceCount(DAY, bees, round(share * bees))
    more = bees_to_tell(count, 0.25)
    if more is not None:
        assert more >= bees
        assert EntranceCount(DAY, more, round(count.share * more)).against(0.25) != "open"


def test_a_share_on_the_threshold_is_never_told() -> None:
    assert bees_to_tell(EntranceCount(DAY, 100, 25), 0.25) is None


def test_hives_are_added_up() -> None:
    total = added_up((EntranceCount(DAY, 60, 20, 3.0), EntranceCount(DAY, 40, 5, 2.0)))
    assert total == EntranceCount(DAY, 100, 25, 5.0, 2)
    assert added_up((EntranceCount(DAY, 60, 20, 3.0), EntranceCount(DAY, 40, 5))).minutes is None
    with pytest.raises(YardError, match="one day"):
        added_up((EntranceCount(DAY, 60, 20), EntranceCount(date(2027, 2, 11), 40, 5)))


def test_the_count_becomes_what_the_season_model_is_run_on_again() -> None:
    assert [pollen_seen(EntranceCount(DAY, 100, n), 0.25) for n in (0, 10, 60)] == [
        "none",
        "little",
        "plenty",
    ]
    forage = forage_counted(Forage(fresh_arcs=True), EntranceCount(DAY, 100, 60), 0.25, None)
    assert (forage.coming_in, forage.fresh_arcs, forage.seen_on) == ("plenty", True, DAY)
    assert forage_counted(Forage(), EntranceCount(DAY, 100, 60), 0.25, False).fresh_arcs is False


def test_income_by_hand() -> None:
    # 20 pollen bees a minute for 6 hours at 13 mg: 20 × 60 × 6 × 13 / 1000 = 93.6 g a day
    low, high = income_g_day(EntranceCount(DAY, 400, 200, 10.0), 6.0, 13.0)
    assert low < 93.6 < high
    with pytest.raises(YardError, match="Note the minutes"):
        income_g_day(EntranceCount(DAY, 400, 200), 6.0, 13.0)


@pytest.mark.parametrize(("bees", "hits"), [(0, 0), (10, 11), (10, -1)])
def test_a_count_that_cannot_be_is_told(bees: int, hits: int) -> None:
    with pytest.raises(YardError, match="count at the entrance"):
        EntranceCount(DAY, bees, hits)


def test_a_level_in_per_cent_is_told() -> None:
    with pytest.raises(YardError, match="strictly between 0 and 1"):
        wilson(10, 100, 95.0)
