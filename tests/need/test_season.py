"""The season model: what must hold whatever the parameters."""

from __future__ import annotations

from dataclasses import fields, replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.need import season as season_module
from breadline.need.season import Course, run
from tests.need.colonies import colony, drawn, place, with_feed

PAR, CONST = drawn(64)


def course(drivers, start=None, equivalence=0.0) -> Course:
    start = start or colony(PAR, CONST, adults=12_000, brood=9_000, bread_g=400)
    return run(start, drivers, PAR, CONST, np.full(PAR.draws, equivalence))


def test_a_feed_worth_nothing_is_the_unfed_path_bit_for_bit() -> None:
    unfed = course(place(PAR))
    fed = course(with_feed(place(PAR), every=10, grams=450), equivalence=0.0)
    for f in fields(Course):
        if f.name != "eaten_g":
            assert np.array_equal(getattr(unfed, f.name), getattr(fed, f.name)), f.name
    assert fed.eaten_g.sum() > 0, "it is eaten all the same"


def test_a_useful_feed_in_a_dearth_adds_brood() -> None:
    dearth = place(PAR, pollen=0.0)
    unfed, fed = course(dearth), course(with_feed(dearth, every=10, grams=450), equivalence=0.6)
    assert (fed.emerged.sum(0) >= unfed.emerged.sum(0)).all()
    assert fed.emerged.sum() > 1.2 * unfed.emerged.sum()


def test_blocks_do_not_change_the_result(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = course(place(PAR))
    monkeypatch.setattr(season_module, "BLOCK", 7)
    # Vector units round the last digits by the length of an array.
    assert np.allclose(whole.adults, course(place(PAR)).adults, rtol=1e-10)


def test_the_start_is_not_changed_by_a_run() -> None:
    start = colony(PAR, CONST, adults=12_000, brood=9_000, bread_g=400)
    before = start.hive.copy()
    first = course(place(PAR), start)
    assert np.array_equal(before, start.hive)
    assert np.array_equal(first.adults, course(place(PAR), start).adults)


def test_the_south_is_the_north_half_a_year_on() -> None:
    # Day length differs between the half years by the speed of the earth, so
    # the two agree closely, not exactly.
    north = course(place(PAR, latitude=45.0, start="2027-04-01"))
    south = course(place(PAR, latitude=-45.0, start="2027-10-01"))
    assert np.allclose(north.adults[-1], south.adults[-1], rtol=0.03)


def test_five_days_without_flight_and_no_bread_cost_the_young_larvae() -> None:
    """Schmickl & Crailsheim 2001: after five days larvae under 3 days are lost, older ones mostly kept."""
    start = colony(PAR, CONST, adults=12_000, brood=9_000, bread_g=0)
    day = season_module.Day(start.part(slice(None)), PAR, CONST, np.zeros(PAR.draws))
    idle = place(PAR, flight_h=0.0, pollen=0.0, start="2027-06-01", days=5)
    names = [f.name for f in fields(season_module.Today) if f.name != "put_on_g"]
    for t in range(5):
        day.live(season_module.Today(**{n: getattr(idle, n)[t] for n in names}, put_on_g=0.0))
    # Five days on, larvae of day 1 and 2 would be of day 6 or newly sealed, those
    # of day 4 to 6 are sealed for three to five days.
    young_kept = (day.s.larva[5] + day.s.sealed[0]) / start.larva[:2].sum(0)
    old_kept = day.s.sealed[2:5].sum(0) / start.larva[3:].sum(0)
    assert np.median(old_kept) > 0.6, "mostly kept"
    assert np.median(young_kept) < 0.25, "mostly lost"


def test_more_bread_means_fewer_pollen_foragers() -> None:
    """Camazine 1993: adding stored pollen turns pollen foragers to nectar or rest."""
    little = course(place(PAR, days=3), colony(PAR, CONST, adults=12_000, brood=9_000, bread_g=100))
    much = course(place(PAR, days=3), colony(PAR, CONST, adults=12_000, brood=9_000, bread_g=2_000))
    assert (much.income_g[0] < little.income_g[0]).all()


def test_brood_per_bee_falls_in_large_colonies() -> None:
    """Harbo 1986: brood per bee falls from 4,500 bees on. Below that the shipped ranges are not tested."""

    def per_bee(adults: float) -> float:
        start = colony(PAR, CONST, adults=adults, brood=adults * 0.5, bread_g=3_000)
        result = course(place(PAR, start="2027-05-01", days=21), start)
        return float(np.median(result.brood[-1]) / adults)

    assert per_bee(4_500) > per_bee(17_000) > per_bee(35_000)


@settings(max_examples=25, deadline=None)
@given(
    adults=st.floats(1_000, 40_000),
    brood=st.floats(0, 30_000),
    bread=st.floats(0, 3_000),
    pollen=st.floats(0, 1),
    flight=st.floats(0, 12),
    temp=st.floats(-20, 40),
)
def test_nothing_is_negative_or_lost(
    adults: float, brood: float, bread: float, pollen: float, flight: float, temp: float
) -> None:
    start = colony(PAR, CONST, adults=adults, brood=brood, bread_g=bread)
    result = course(place(PAR, days=40, temp_c=temp, flight_h=flight, pollen=pollen), start)
    for f in fields(Course):
        values = getattr(result, f.name)
        assert np.isfinite(values).all(), f.name
        assert (values >= -1e-9).all(), f.name


@settings(max_examples=20, deadline=None)
@given(low=st.floats(0, 1), more=st.floats(0, 1), grams=st.floats(10, 800))
def test_within_a_day_more_useful_feed_never_feeds_less_brood(low: float, more: float, grams: float) -> None:
    start = colony(PAR, CONST, adults=12_000, brood=12_000, bread_g=0)
    idle = place(PAR, days=1, flight_h=0.0, pollen=0.0, start="2027-06-01")
    put = replace(idle, put_on_g=np.array([grams]))
    less = course(put, start, low)
    better = course(put, start, low + more)
    assert (better.brood[0] >= less.brood[0] - 1e-9).all()


def test_pollen_in_and_pollen_out_agree_to_the_digit() -> None:
    """Bread and reserve change by what came in and came back, less what adults and larvae ate."""
    par, const = drawn(100, seed=4)
    start = colony(par, const, adults=12_000, brood=9_000, bread_g=60)
    half = np.full(100, 0.5)
    day = season_module.Day(start.part(slice(None)), par, const, half)
    poor = with_feed(place(par, days=60, pollen=0.05, flight_h=3.0), every=7, grams=200)
    names = [f.name for f in fields(season_module.Today) if f.name != "put_on_g"]
    share = np.asarray(const.wk)[:, None]
    before_today = np.concatenate([[0.0], np.cumsum(const.wk)[:-1]])[:, None]
    allocate = day._allocate
    for t in range(60):
        seen: dict[str, np.ndarray] = {}

        def spied(need, adult_need, in_hive, eaten, income, seen=seen):  # type: ignore[no-untyped-def]
            seen |= {"larva": day.s.larva.copy(), "had": day.s.store + day.s.reserve, "adults": adult_need}
            seen |= {"in": income + half * eaten}
            allocate(need, adult_need, in_hive, eaten, income)

        day._allocate = spied  # type: ignore[method-assign]
        day.live(season_module.Today(**{n: getattr(poor, n)[t] for n in names}, put_on_g=poor.put_on_g[t]))
        larva_left = day.s.larva
        fed = (larva_left * share * par.cL / 1000).sum(0)
        back = (par.rho * (seen["larva"] - larva_left) * par.cL * before_today / 1000).sum(0)
        left = day.s.store + day.s.reserve
        adults_ate = seen["had"] + seen["in"] + back - fed - left
        assert (adults_ate <= seen["adults"] + 1e-9).all(), "adults cannot eat more than they need"
        assert (adults_ate >= -1e-9).all()
        # Where every larva got its share, the adults had had theirs before.
        plenty = (larva_left == seen["larva"]).all(0)
        assert np.allclose(adults_ate[plenty], seen["adults"][plenty], rtol=0, atol=1e-9)


def test_a_thousand_eggs_give_851_bees_where_nothing_is_short() -> None:
    """Fukuda & Sakagami 1968: of 100 eggs 94.2 hatch, 86.4 are sealed, 85.1 emerge."""
    start = colony(PAR, CONST, adults=12_000, brood=0, bread_g=50_000)
    start.egg[0] = 1_000.0
    idle = place(PAR, days=21, pollen=1.0)
    none_laid = replace(idle, season=np.zeros_like(idle.season), t5_c=np.full_like(idle.t5_c, 20.0))
    result = course(none_laid, start)
    assert np.allclose(result.emerged[20], 851.0, rtol=1e-3)
