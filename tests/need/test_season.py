"""The season model: what must hold whatever the parameters."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import BalanceError
from breadline.need import season as season_module
from breadline.need import season_day
from breadline.need.season import COURSE, FLOWS, Course, run
from breadline.need.season_day import Day, today
from tests.need.colonies import colony, drawn, place, with_feed

PAR, CONST = drawn(64)


def course(drivers, start=None, equivalence=0.0, engine="reference", flows=False) -> Course:
    start = start or colony(PAR, CONST, adults=12_000, brood=9_000, bread_g=400)
    return run(start, drivers, PAR, CONST, np.full(PAR.draws, equivalence), engine, flows)


def test_a_feed_worth_nothing_is_the_unfed_path_bit_for_bit() -> None:
    unfed = course(place(PAR))
    fed = course(with_feed(place(PAR), every=10, grams=450), equivalence=0.0)
    for name in COURSE:
        if name != "eaten_g":
            assert np.array_equal(getattr(unfed, name), getattr(fed, name)), name
    assert fed.eaten_g.sum() > 0, "it is eaten all the same"


def test_a_useful_feed_in_a_dearth_adds_brood() -> None:
    dearth = place(PAR, pollen=0.0)
    unfed, fed = course(dearth), course(with_feed(dearth, every=10, grams=450), equivalence=0.6)
    assert (fed.emerged.sum(0) >= unfed.emerged.sum(0)).all()
    assert fed.emerged.sum() > 1.2 * unfed.emerged.sum()


def test_blocks_do_not_change_the_result(monkeypatch: pytest.MonkeyPatch) -> None:
    whole = course(place(PAR))
    monkeypatch.setattr(season_module, "BLOCK", 7)
    assert np.array_equal(whole.adults, course(place(PAR)).adults)


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
    idle = place(PAR, flight_h=0.0, pollen=0.0, start="2027-06-01", days=5)
    day = Day(start.part(slice(None)), PAR, CONST, np.zeros(PAR.draws))
    for t in range(5):
        day.live(today(idle, np.ones((5, PAR.draws)), t))
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
)
def test_nothing_is_negative_or_lost(
    adults: float, brood: float, bread: float, pollen: float, flight: float
) -> None:
    start = colony(PAR, CONST, adults=adults, brood=brood, bread_g=bread)
    result = course(place(PAR, days=40, flight_h=flight, pollen=pollen), start)
    for name in COURSE:
        values = getattr(result, name)
        assert np.isfinite(values).all(), name
        assert (values >= -1e-9).all(), name


@settings(max_examples=20, deadline=None)
@given(low=st.floats(0, 1), more=st.floats(0, 1), grams=st.floats(10, 800), bread=st.floats(0, 60))
def test_within_a_day_more_useful_feed_never_feeds_less_brood(
    low: float, more: float, grams: float, bread: float
) -> None:
    start = colony(PAR, CONST, adults=12_000, brood=12_000, bread_g=bread)
    idle = place(PAR, days=1, flight_h=0.0, pollen=0.0, start="2027-06-01")
    put = replace(idle, put_on_g=np.array([grams]))
    less, better = course(put, start, low, flows=True), course(put, start, low + more, flows=True)
    assert less.flows is not None
    assert better.flows is not None
    # Eggs alone could hide larvae that got less.
    assert (better.flows.larvae_given_g[0] >= less.flows.larvae_given_g[0] - 1e-9).all()
    assert (better.brood[0] >= less.brood[0] - 1e-9).all()


@settings(max_examples=15, deadline=None)
@given(
    adults=st.floats(1_000, 40_000),
    brood=st.floats(0, 30_000),
    bread=st.floats(0, 3_000),
    pollen=st.floats(0, 1),
    worth=st.floats(0, 1.2),
    grams=st.floats(10, 800),
)
def test_the_protein_of_every_day_closes(
    adults: float, brood: float, bread: float, pollen: float, worth: float, grams: float
) -> None:
    start = colony(PAR, CONST, adults=adults, brood=brood, bread_g=bread)
    here = with_feed(place(PAR, days=60, pollen=pollen, flight_h=3.0), every=9, grams=grams)
    flows = course(here, start, worth, flows=True).flows
    assert flows is not None
    had = np.vstack([start.store + start.reserve, (flows.store_g + flows.reserve_g)[:-1]])
    came = flows.income_g + flows.useful_g + flows.recycled_g
    went = flows.adults_ate_g + flows.larvae_given_g + flows.unused_g + flows.spilled_g + flows.left_g
    after = flows.store_g + flows.reserve_g
    assert np.allclose(had + came, went + after, rtol=1e-9, atol=1e-9)
    for name in FLOWS:
        assert (getattr(flows, name) >= -1e-9).all(), name


def test_nothing_that_was_fed_reaches_the_comb() -> None:
    """Noordyke and others: a patty is eaten, not stored as bread."""
    idle = place(PAR, days=60, pollen=0.0, flight_h=6.0)
    fed = course(with_feed(idle, every=5, grams=900), equivalence=1.0, flows=True)
    assert (np.diff(fed.store_g, axis=0) <= 1e-9).all()


def test_the_reserve_of_dying_bees_is_lost_with_them() -> None:
    """With no brood, no flight and nothing eaten, the reserve falls by the share of bees that die."""
    start = colony(PAR, CONST, adults=12_000, brood=0, bread_g=0)
    none_young = replace(start, young=np.zeros_like(start.young), signal=start.signal * 0)
    idle = place(PAR, days=1, flight_h=0.0, pollen=0.0, start="2027-12-21", latitude=60.0)
    flows = course(idle, replace(none_young, signal_unfed=start.signal * 0), flows=True).flows
    assert flows is not None
    assert np.allclose(flows.left_g[0], start.reserve * PAR.mu0, rtol=1e-12)


def test_a_ledger_that_does_not_close_is_an_error(monkeypatch: pytest.MonkeyPatch) -> None:
    share_out = Day._share_out

    def leaking(self, *given):  # type: ignore[no-untyped-def]
        flows = share_out(self, *given)
        self.s.store = self.s.store * 0.999
        return flows

    monkeypatch.setattr(season_day.Day, "_share_out", leaking)
    with pytest.raises(BalanceError, match="differ"):
        course(place(PAR, days=3))


def test_poor_forage_hardly_tempts_bees_out() -> None:
    """A tenth of the best pollen and no nectar: far less than a tenth more flying than with none."""
    start = colony(PAR, CONST, adults=12_000, brood=3_000, bread_g=100)
    none, little, rich = (course(place(PAR, days=60, pollen=p), start) for p in (0.0, 0.1, 1.0))
    lost_to_little = np.median(none.adults[-1] - little.adults[-1])
    assert lost_to_little < 0.1 * np.median(none.adults[-1])
    assert np.median(rich.emerged.sum(0)) > 2 * np.median(none.emerged.sum(0))


def test_a_thousand_eggs_give_851_bees_where_nothing_is_short() -> None:
    """Fukuda & Sakagami 1968: of 100 eggs 94.2 hatch, 86.4 are sealed, 85.1 emerge."""
    start = colony(PAR, CONST, adults=12_000, brood=0, bread_g=50_000)
    start.egg[0] = 1_000.0
    idle = place(PAR, days=21, pollen=1.0)
    # Whatever is laid on these days emerges on day 22 at the earliest.
    assert np.allclose(course(idle, start).emerged[20], 851.0, rtol=1e-3)
