"""What the next visit finds changes what is advised next, with the likely reasons."""

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import YardError
from breadline.plan.leftovers import Visit, after_visit, next_portion
from breadline.plan.portions import portion
from plan.feeding import a_round, reader

EATEN = Visit(0.5, 0.0, 7, "none", 8.0, False, "above_brood", 12.0, "none", True)
HALF_LEFT = replace(EATEN, left=0.5)
NOT_TAKEN = replace(EATEN, left=0.9)


def found(visit: Visit, limit: int = 7):
    return after_visit(visit, limit, reader())


def test_eaten_up_and_clean_gets_the_next_larger_piece() -> None:
    told = found(EATEN)
    assert told.cut == 1.0
    assert told.reasons == ()
    assert not told.feeding_stops


def test_crumbs_left_get_the_same_piece() -> None:
    assert found(replace(EATEN, left=0.05)).cut == 0.5


def test_half_left_gets_a_smaller_piece_and_leftovers_out() -> None:
    told = found(HALF_LEFT)
    assert told.cut == 0.25
    assert told.do == ("Leftovers out; a smaller piece",)
    assert told.reasons == ("The piece was more than these bees eat in that time",)


@pytest.mark.parametrize(
    ("seen", "reason"),
    [
        ({"hard": True}, "hard or dry"),
        ({"place": "under_lid"}, "too far from the brood"),
        ({"outside_c": -3.0}, "cold"),
        ({"frames_of_bees": 3.0}, "weak"),
        ({"pollen": "little"}, "natural pollen"),
    ],
)
def test_every_reason_of_the_trade_is_named_when_it_is_seen(seen, reason: str) -> None:
    (only,) = found(replace(HALF_LEFT, **seen)).reasons
    assert reason in only


def test_what_nobody_looked_at_is_asked() -> None:
    told = found(Visit(0.5, 0.9, 7, "none"))
    assert len(told.reasons) == 5
    assert all(reason.endswith("?") for reason in told.reasons)


def test_a_hard_piece_is_thrown_away_and_tried_again_but_an_untouched_soft_one_is_not() -> None:
    hard = found(replace(NOT_TAKEN, hard=True))
    assert hard.cut == 0.25
    assert "Throw the hard piece away" in hard.do[0]
    soft = found(NOT_TAKEN)
    assert soft.cut == 0.0
    assert soft.feeding_stops


def test_dozens_of_maggots_stop_the_feed_freeze_the_piece_and_forbid_a_slurry() -> None:
    told = found(replace(EATEN, left=0.4, maggots="many", days=10, rim=False))
    assert told.cut == 0.0
    assert told.feeding_stops
    assert "72 hours" in " ".join(told.do)
    assert "slurry" in told.do[-1]
    assert any("It lay for 10 days" in reason for reason in told.reasons)
    assert any("rim" in reason for reason in told.reasons)


def test_a_few_maggots_are_scraped_off_and_the_next_piece_is_smaller() -> None:
    told = found(replace(EATEN, left=0.05, maggots="few"))
    assert told.cut == 0.25
    assert "Scrape" in told.do[0]


def test_with_plenty_of_pollen_coming_in_feeding_stops() -> None:
    for left in (0.0, 0.5, 1.0):
        told = found(replace(EATEN, left=left, pollen="plenty"))
        assert told.feeding_stops
        assert told.cut == 0.0


@given(
    left=st.floats(0, 1),
    more=st.floats(0, 1),
    cut=st.sampled_from([0.25, 0.5, 1.0, 2.0]),
    maggots=st.sampled_from(["none", "few", "many"]),
    limit=st.integers(1, 14),
)
def test_more_left_or_more_maggots_never_get_a_bigger_piece(left, more, cut, maggots, limit) -> None:
    visit = replace(EATEN, cut=cut, left=left, maggots=maggots)
    told = found(visit, limit)
    assert found(replace(visit, left=min(1.0, left + more)), limit).cut <= told.cut
    assert told.cut <= found(replace(visit, maggots="none"), limit).cut
    assert told.days <= limit


def test_a_leftover_that_cannot_be_is_told() -> None:
    with pytest.raises(YardError, match="where half of it is left"):
        Visit(0.5, 50.0, 7, "none")
    with pytest.raises(YardError, match="1 day on"):
        Visit(0.5, 0.5, 0, "none")


@given(
    left=st.floats(0, 1),
    cut=st.sampled_from([0.25, 0.5, 1.0]),
    frames=st.floats(5, 20),
    beetles=st.sampled_from(["seen", "about", "none"]),
    outside=st.floats(0, 35),
)
def test_the_next_piece_keeps_to_the_advice_the_limit_and_the_bees_there_are(
    left, cut, frames, beetles, outside
) -> None:
    of = a_round(beetles, outside_c=outside, visit=10)
    visit = replace(EATEN, cut=cut, left=left, frames_of_bees=frames, days=14)
    told, piece = next_portion(visit, of, reader())
    if piece is None:
        assert told.cut == 0.0
        return
    assert piece.cut <= told.cut
    assert piece.days <= of.limit.days
    assert piece.grams == pytest.approx(piece.cut * of.patty.mass_g)


def test_a_colony_seen_to_eat_little_gets_less_than_its_bees_would_say() -> None:
    of = a_round("none", visit=14)
    slow = replace(EATEN, cut=2.0, left=0.45, days=14, frames_of_bees=12.0)  # 1.2 mg a bee
    _, piece = next_portion(slow, of, reader())
    assert piece is not None
    assert piece.cut == 1.0
    assert portion(12.0, of, reader()).cut == 2.0
    fast = replace(slow, left=0.0)
    _, more = next_portion(fast, of, reader())
    assert more is not None
    assert more.cut > piece.cut


def test_bees_that_nobody_counted_get_no_piece_by_arithmetic() -> None:
    told, piece = next_portion(replace(EATEN, frames_of_bees=None), a_round("none"), reader())
    assert told.cut > 0
    assert piece is None


@pytest.mark.parametrize(("left", "do"), [(0.5, ("Leftovers out; no piece this round",)), (0.0, ())])
def test_where_the_bees_clear_no_piece_nothing_says_to_lay_one_on(left, do) -> None:
    """Hot, beetles seen: three days are too short for what these bees were seen to eat."""
    of = a_round("seen", outside_c=30.0, visit=10)
    slow = replace(EATEN, cut=0.5, left=left, days=14, frames_of_bees=5.0)
    told, piece = next_portion(slow, of, reader())
    assert piece is not None
    assert piece.cut == 0.0
    assert told.do == do
