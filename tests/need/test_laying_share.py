"""What the season leaves of laying, on any latitude and day."""

from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.need.season_signal import laying, season_of
from tests.need.colonies import drawn

PAR, _ = drawn(600)
YEAR = np.arange("2027-01-01", "2028-01-01", dtype="datetime64[D]")


@settings(max_examples=25, deadline=None)
@given(latitude=st.floats(-66, 66))
def test_a_season_leaves_a_share_of_laying_and_never_less_than_none(latitude: float) -> None:
    season, draws = season_of(YEAR, latitude), laying(latitude, PAR)
    assert season.trend.min() >= -1
    assert season.trend.max() <= 1.02
    for day in range(0, 365, 5):
        share = draws.share(float(season.rho[day]), float(season.trend[day]), float(season.turn[day]))
        assert share.min() >= 0
        assert share.max() <= 1


def test_near_the_equator_a_draw_with_much_spring_brood_lays_all_year() -> None:
    # It was here that the little brood of lengthening days came out below none.
    season, draws = season_of(YEAR, -3.4), laying(-3.4, PAR)
    least = [
        draws.share(float(r), float(t), float(turn)).min()
        for r, t, turn in zip(season.rho, season.trend, season.turn, strict=True)
    ]
    assert min(least) >= 0
