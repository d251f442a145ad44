"""What a colony eats: published rates lie in the band, and what cannot be is told."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import FigureError, YardError
from breadline.plan.appetite import (
    band,
    clears_a_day_g,
    eaten_g,
    learned,
    own_appetite,
    possible,
    seen_to_eat,
    shipped_appetite,
)
from plan.feeding import reader

# Brodschneider & Crailsheim 2010, table I: grams a day of a small colony, and its bees.
TAKEN = [(18.0, 4320), (29.5, 4320), (10.8, 4000), (7.5, 4000), (8.7, 4000), (4.2, 4000), (4.8, 4000)]
NOT_TAKEN = (2.8, 4000)  # one product of the same table


@pytest.mark.parametrize(("grams", "bees"), TAKEN)
def test_a_published_rate_is_possible(grams: float, bees: float) -> None:
    mg = grams * 1000 / bees
    assert possible(mg, reader()) == mg


def test_the_published_product_that_was_hardly_taken_is_no_appetite_to_plan_with() -> None:
    grams, bees = NOT_TAKEN
    with pytest.raises(FigureError, match="not taking the feed"):
        possible(grams * 1000 / bees, reader())
    assert not seen_to_eat(grams, 0.0, 1, bees, reader()).taken


@pytest.mark.parametrize(
    ("typed", "helps"),
    [
        (0.0027, "enter milligrams (2.7)"),
        (2700.0, "enter milligrams (2.7)"),
        (55.0, "grams a colony"),
        (0.3, "not taking"),
    ],
)
def test_an_impossible_appetite_names_the_slip(typed: float, helps: str) -> None:
    with pytest.raises(FigureError) as told:
        own_appetite(typed, reader())
    assert helps in str(told.value)
    assert "1 to 7 mg a bee a day" in told.value.expected


def test_the_shipped_draws_lie_inside_the_band_and_about_the_seller_s_rule() -> None:
    draws = shipped_appetite(reader())
    least, most = band(reader())
    assert least <= draws.mg_bee_day.min() < draws.mg_bee_day.max() <= most
    # a deep full of bees, about 20,000, clears 45 to 65 g a day by the sellers' rule
    per_day = draws.eaten_g(20_000, 1)
    assert np.quantile(per_day, 0.1) < 45 < float(np.median(per_day)) < 65 < np.quantile(per_day, 0.9)


@given(bees=st.floats(0, 60_000), mg=st.floats(1, 7), days=st.floats(0, 30), more=st.floats(1, 3))
def test_more_bees_or_days_never_eat_less(bees: float, mg: float, days: float, more: float) -> None:
    base = eaten_g(bees, mg, days)
    assert eaten_g(bees * more, mg, days) >= base
    assert eaten_g(bees, mg, days * more) >= base


@given(portion=st.floats(10, 2000), days=st.integers(1, 28), bees=st.floats(3000, 60_000))
def test_what_is_gone_sooner_is_not_gone_less_often_later(portion: float, days: int, bees: float) -> None:
    draws = shipped_appetite(reader())
    chances = [draws.clears(portion, bees, d) for d in (days, days + 1)]
    assert chances[0] <= chances[1]


@given(mg=st.floats(1, 7), bees=st.floats(2000, 60_000), days=st.integers(1, 28))
def test_a_visit_gives_back_the_appetite_that_emptied_it(mg: float, bees: float, days: int) -> None:
    eaten = float(eaten_g(bees, mg, days))
    seen = seen_to_eat(eaten + 50, 50, days, bees, reader())
    assert seen.mg_bee_day == pytest.approx(mg)
    assert not seen.at_least


def test_a_visit_that_cannot_be_is_told() -> None:
    with pytest.raises(YardError, match="no more left than was given"):
        seen_to_eat(200, 300, 7, 10_000, reader())
    with pytest.raises(FigureError, match="mice"):
        seen_to_eat(2000, 0, 7, 10_000, reader())
    with pytest.raises(YardError, match="more than 0 days"):
        clears_a_day_g(450, 0)
    with pytest.raises(YardError, match="bees of the colony"):
        eaten_g(-1, 2.7, 7)
    with pytest.raises(YardError, match="0 or more"):
        eaten_g(1000, 2.7, -7)


def test_a_visit_changes_the_appetite_that_the_next_piece_is_planned_with() -> None:
    before = shipped_appetite(reader())
    assert before.typical == 2.7
    gone = seen_to_eat(227, 0, 7, 13_000, reader())  # 2.5 mg a bee at least
    after = learned(before, gone, reader())
    assert after is not None
    assert after.typical > before.typical
    assert after.mg_bee_day.min() >= gone.mg_bee_day
    part = learned(before, seen_to_eat(227, 100, 7, 13_000, reader()), reader())
    assert part is not None
    assert part.typical == pytest.approx(127_000 / 7 / 13_000)
    assert np.ptp(part.mg_bee_day) > 0  # the next visit may find another appetite
    assert learned(before, seen_to_eat(227, 210, 7, 13_000, reader()), reader()) is None
