"""How long a patty may lie: never over the rule, never longer for being warmer."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import FigureError
from breadline.knowledge.shelf import Edit, load
from breadline.plan.beetles import POINTS, Lying, beetles_known, days_until_maggots, limit, patty_c, rule
from plan.feeding import reader

PLACES = st.sampled_from(["above_brood", "beside_brood", "under_lid"])
BEETLES = st.sampled_from(["seen", "about", "unknown"])


def days(lying: Lying) -> int:
    return limit(lying, reader()).days


@pytest.mark.parametrize("place", ["above_brood", "beside_brood", "under_lid"])
def test_a_patty_at_34_degrees_gets_at_most_six_days(place) -> None:
    found = limit(Lying("about", 34.0, place, own_rule_days=28), reader())
    assert found.patty_c == (34.0, 34.0, 34.0)
    assert found.by_warmth
    assert found.warmth_days is not None
    assert math.floor(found.warmth_days[2]) <= 6
    assert 1 <= found.days <= 6


@pytest.mark.parametrize(
    ("beetles", "outside_c", "shipped"),
    [
        ("seen", 12, 7),
        ("about", 12, 7),
        ("unknown", 12, 7),
        ("about", 30, 7),
        ("seen", 30, 3),
        ("none", 30, 14),
    ],
)
def test_the_shipped_rule(beetles, outside_c: float, shipped: int) -> None:
    assert rule(beetles, outside_c, None, reader()).days == shipped


def test_without_beetles_the_warmth_does_not_matter() -> None:
    assert days(Lying("none", 34.0)) == days(Lying("none", 0.0)) == 14


def test_where_it_is_too_cold_for_eggs_the_rule_holds() -> None:
    found = limit(Lying("about", 5.0, "under_lid"), reader())
    assert found.days == 7
    assert not found.by_warmth
    assert found.sentence == "To be gone within 7 days: beetles in the district."


def test_it_says_where_nobody_looked_for_beetles() -> None:
    warm, cold = (limit(Lying("unknown", c), reader()) for c in (30.0, 5.0))
    assert warm.by_warmth
    assert all("beetles not looked for, so taken as there" in one.sentence for one in (warm, cold))
    assert "not looked for" not in limit(Lying("about", 30.0), reader()).sentence


@settings(max_examples=40)
@given(beetles=BEETLES, cool=st.floats(-10, 45), warmer=st.floats(0, 10), place=PLACES, own=st.floats(1, 28))
def test_warmer_never_gets_longer_and_none_goes_over_the_rule(beetles, cool, warmer, place, own) -> None:
    in_cool = days(Lying(beetles, cool, place, own_rule_days=own))
    in_warm = days(Lying(beetles, cool + warmer, place, own_rule_days=own))
    assert in_warm <= in_cool <= own
    assert days(Lying(beetles, cool, place)) <= 7


@settings(max_examples=40)
@given(beetles=BEETLES, outside=st.floats(-10, 45), place=PLACES)
def test_a_rim_never_shortens_the_time_and_heat_keeps_the_strict_rule(beetles, outside, place) -> None:
    with_rim = days(Lying(beetles, outside, place))
    assert days(Lying(beetles, outside, place, rim=False)) <= with_rim
    if beetles == "seen" and outside >= 25:
        assert with_rim <= 3


@given(outside=st.floats(-20, 34), place=PLACES)
def test_the_patty_lies_between_the_air_and_the_brood_nest(outside, place) -> None:
    warm = patty_c(outside, place, reader())
    assert ((warm >= outside - 1e-9) & (warm <= 34.0 + 1e-9)).all()


def test_nearer_to_the_brood_is_warmer() -> None:
    middles = [
        float(np.median(patty_c(5.0, place, reader())))
        for place in ("under_lid", "beside_brood", "above_brood")
    ]
    assert middles == sorted(middles)


def test_the_borne_share_is_the_user_s_to_change() -> None:
    from datetime import date

    edit = Edit(0.0, 0.0, 0.0, "no maggot at all", date(2027, 1, 20))
    strict = load({"beetle.larva_share_borne": edit}).reader()
    warm = np.full(POINTS, 34.0)
    until_hatched = days_until_maggots(warm, strict)
    shipped = days_until_maggots(warm, reader())
    # by hand: 0.4 × 187 to 200 °C·day over 24 °C above the base are 3.1 to 3.3 days
    assert np.median(shipped - until_hatched) == pytest.approx(3.2, abs=0.1)


def test_a_place_no_bee_lives_at_and_a_rule_of_no_time_are_told() -> None:
    with pytest.raises(FigureError, match="enter 35 °C"):
        limit(Lying("seen", 95.0), reader())
    with pytest.raises(FigureError, match="1 day or more"):
        limit(Lying("seen", 20.0, own_rule_days=0.0), reader())


@pytest.mark.parametrize(
    ("seen", "in_district", "known"),
    [
        (True, None, "seen"),
        (True, False, "seen"),
        (False, True, "about"),
        (None, True, "about"),
        (None, None, "unknown"),
        (False, None, "none"),
        (None, False, "none"),
    ],
)
def test_what_nobody_knows_is_not_taken_for_none(seen, in_district, known: str) -> None:
    assert beetles_known(seen, in_district) == known


def test_without_a_rim_the_cautious_end_holds() -> None:
    # by hand at 34 °C: with 1 day until beetles have laid 5.2 days; with a fifth of a day 4.4
    held = [limit(Lying("about", 34.0, rim=rim), reader()) for rim in (True, False)]
    assert [found.days for found in held] == [5, 4]
    assert "without a rim" in held[1].sentence


def test_above_the_warmest_measured_no_faster_growth_is_reckoned_with() -> None:
    hot = [days_until_maggots(np.full(POINTS, c), reader()) for c in (34.0, 35.0, 45.0)]
    assert (hot[1] < hot[0]).all()
    assert (hot[2] == hot[1]).all()
