"""Later counts against the bands that were shown: which belongs to which, and what is said of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from math import comb, exp, log

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.stats import norm

from breadline.need.coverage import Coverage, coverage, season_of, share_range, worth
from breadline.need.foretold import (
    Aside,
    Compared,
    Count,
    Fed,
    Shown,
    compared,
    foretelling,
    own_error,
)
from breadline.need.foretold_words import (
    coverage_cell,
    coverage_sentence,
    died_sentence,
    own_error_sentence,
    place_words,
)
from breadline.need.outlook import Band
from breadline.need.yard import Given

FIRST = date(2026, 2, 1)


def on(days: int) -> date:
    return FIRST + timedelta(days=days)


def outlook(written: int, shown: int, counted: int, days: int = 60, given=()) -> Shown:
    """An outlook shown on one day from a count of another."""
    return Shown(written, on(shown), on(counted), on(shown), on(shown + days - 1), given, "0 a")


def bands_of(shown: Shown) -> dict[str, Band]:
    """Bands whose middle on day d is 8,000 + d."""
    days = (shown.last - shown.first).days + 1
    middle = 8000.0 + (shown.first - FIRST).days + np.arange(days)
    band = Band(middle - 1000.0, middle, middle + 1000.0)
    return {"bees": band, "brood": band}


def count(written: int, day: int, bees: float = 8000.0) -> Count:
    return Count(on(day), written, {"bees": bees}, {"bees": 0.02, "brood": 0.04}, {})


def row(counted: float, error: float = 0.02) -> Compared:
    return Compared("bees", on(30), on(1), on(0), 7000.0, 8000.0, 9000.0, counted, error, "0 a")


def test_a_count_is_held_against_the_latest_outlook_before_it():
    shown = [outlook(1, 1, 0), outlook(2, 10, 0), outlook(3, 5, 0)]
    (told,) = compared([count(4, 20)], shown, Fed(), bands_of)
    assert isinstance(told, Compared)
    assert told.shown_on == on(10)
    assert told.middle == 8000.0 + 20
    assert told.place == "inside"


@pytest.mark.parametrize(
    ("other", "why"),
    [
        (outlook(3, 20, 20), "it was made from this very count"),
        (outlook(9, 10, 0), "it was written down after the count"),
        (outlook(3, 25, 0), "it was shown after the day of the count"),
        (outlook(3, 10, 0, days=5), "it ends before the day of the count"),
    ],
    ids=lambda value: value.replace(" ", "-") if isinstance(value, str) else "",
)
def test_there_is_no_looking_back(other, why):
    assert foretelling(count(4, 20), [other]) is None, why
    first = outlook(1, 1, 0)
    assert foretelling(count(4, 20), [other, first]) == first, why


def test_the_first_count_has_no_outlook_and_is_named():
    (told,) = compared([count(1, 0)], [outlook(2, 1, 0)], Fed(), bands_of)
    assert isinstance(told, Aside)
    assert "no outlook was shown before it" in told.why


def test_a_count_beyond_the_end_of_every_outlook_is_named():
    (told,) = compared([count(4, 90)], [outlook(2, 1, 0)], Fed(), bands_of)
    assert isinstance(told, Aside)
    assert "reaches its day" in told.why


def test_of_two_counts_of_one_day_the_later_entry_stands_and_the_other_is_named():
    told = compared([count(5, 20, 7500.0), count(4, 20, 12000.0)], [outlook(1, 1, 0)], Fed(), bands_of)
    (held,) = [one for one in told if isinstance(one, Compared)]
    (aside,) = [one for one in told if isinstance(one, Aside)]
    assert held.counted == 7500.0
    assert "same day" in aside.why


def test_a_count_said_again_is_not_held_against_an_outlook_that_knew_it():
    # Entry 3 is the count; outlook 4 was asked for a past day; entry 5 says the count again.
    told = compared([count(3, 20), count(5, 20)], [outlook(4, 2, 1)], Fed(), bands_of)
    assert all(isinstance(one, Aside) for one in told)


@pytest.mark.parametrize("before", [(), (Given(on(12), 450.0),)])
def test_feed_that_the_outlook_did_not_reckon_with_sets_the_count_aside(before):
    really = (Given(on(12), 450.0),)
    (told,) = compared([count(4, 20)], [outlook(1, 1, 0, given=before)], Fed(really), bands_of)
    assert isinstance(told, Compared) == (before == really)
    (without,) = compared([count(4, 20)], [outlook(1, 1, 0, given=before)], Fed(), bands_of)
    assert isinstance(without, Compared) == (before == ())


@pytest.mark.parametrize(("day", "aside"), [(0, False), (8, True), (20, True), (21, False)])
def test_feed_without_a_record_sets_the_count_aside(day, aside):
    (told,) = compared([count(4, 20)], [outlook(1, 1, 0)], Fed(unrecorded=(on(day),)), bands_of)
    assert isinstance(told, Aside) == aside


def test_of_two_visits_of_one_day_each_thing_counted_stands_by_itself():
    bees, brood = count(4, 20), replace(count(5, 20), seen={"brood": 8000.0})
    told = compared([bees, brood], [outlook(1, 1, 0)], Fed(), bands_of)
    assert [(one.what, type(one)) for one in told] == [("bees", Compared), ("brood", Compared)]


days_of_year = st.integers(0, 60)


@given(
    st.lists(st.tuples(days_of_year, days_of_year, st.integers(1, 90)), max_size=8),
    st.lists(days_of_year, min_size=1, max_size=8),
    st.randoms(use_true_random=False),
)
@settings(max_examples=200, deadline=None)
def test_every_count_is_told_once_and_never_against_an_outlook_that_knew_it(outlooks, days, chance):
    order = list(range(1, len(outlooks) + len(days) + 1))
    chance.shuffle(order)
    shown = [outlook(order.pop(), max(a, b), min(a, b), n) for a, b, n in outlooks]
    counts = [count(order.pop(), day) for day in days]
    told = compared(counts, shown, Fed(), bands_of)
    assert sorted(one.on for one in told) == sorted(on(day) for day in days)
    for one in told:
        if isinstance(one, Aside):
            assert one.why
            continue
        entry = min(c.written for c in counts if c.on == one.on)  # a count said again keeps its place
        fit = [s for s in shown if s.written < entry and s.counted_on < one.on and s.covers(one.on)]
        assert one.counted_on < one.on
        assert one.shown_on == max(s.shown_on for s in fit if s.shown_on <= one.on)


def test_feed_after_the_count_changes_nothing():
    (told,) = compared([count(4, 20)], [outlook(1, 1, 0)], Fed((Given(on(20), 450.0),)), bands_of)
    assert isinstance(told, Compared)


def of_seasons(inside: list[bool], each: int = 1) -> list[Compared]:
    """Rows of as many seasons, ``each`` rows a season that fall alike."""
    return [
        replace(row(8000.0 if fell else 1000.0), season=str(n))
        for n, fell in enumerate(inside)
        for _ in range(each)
    ]


@pytest.mark.parametrize(
    ("counted", "place"),
    [(7000.0, "inside"), (9000.0, "inside"), (6999.0, "below"), (9001.0, "above"), (0.0, "died")],
)
def test_where_a_count_lies(counted, place):
    assert row(counted).place == place


def test_a_dead_colony_counts_as_outside_and_has_no_ratio():
    dead = row(0.0)
    assert coverage([dead, row(8000.0)]).inside == 1
    assert coverage([dead]).of == 1
    assert dead.ratio is None


@given(st.integers(1, 40), st.data())
@settings(max_examples=40, deadline=None)
def test_the_range_leaves_a_fortieth_of_chance_in_each_tail(of, data):
    inside = data.draw(st.integers(0, of))
    low, high = share_range(inside, of)

    def at_most(k: int, p: float) -> float:
        return sum(comb(of, i) * p**i * (1 - p) ** (of - i) for i in range(k + 1))

    # the definition of Clopper and Pearson, summed out
    assert low == 0 if inside == 0 else 1 - at_most(inside - 1, low) == pytest.approx(0.025, abs=1e-9)
    assert high == 1 if inside == of else at_most(inside, high) == pytest.approx(0.025, abs=1e-9)


def test_the_models_own_error_is_what_counting_does_not_explain():
    logs = np.array([-0.6, 0.6, -0.6, 0.6, -0.6, 0.6, -0.6, 0.6])  # variance 8 × 0.36 / 7
    own = own_error([row(8000.0 * exp(x), error=0.05) for x in logs])
    assert own is not None
    assert own.log_sd == pytest.approx((8 * 0.36 / 7 - 0.05) ** 0.5)
    assert own.leans == pytest.approx(1.0)
    assert own.factor == pytest.approx(exp(own.log_sd))


def test_a_lean_is_told_apart_from_scatter():
    own = own_error([row(8000.0 * 1.2)] * 8)
    assert own is not None
    assert own.log_sd == 0.0, "floored: less scatter than counting itself makes"
    assert own.leans == pytest.approx(1.2)


def test_a_count_falls_outside_a_right_band_by_its_own_error():
    # A band of log-SD 0.2 and a count with an error of log-SD 0.2 about the average: 8 in 10 lie within
    # 1.2816 of 0.2, which is 0.9062 of their √2 × 0.2 together, so 2 Φ(0.9062) − 1 = 0.635 of the counts.
    off = exp(1.2815515655446004 * 0.2)
    band = replace(row(8000.0, error=0.04), low=8000 / off, high=8000 * off)
    assert band.hoped == pytest.approx(2 * norm.cdf(0.9062) - 1, abs=1e-4)
    assert replace(band, error=0.0).hoped == pytest.approx(0.8)
    assert coverage([band] * 10).expected == pytest.approx(6.35, abs=0.01)


@given(st.floats(0.05, 0.6), st.floats(0.0, 0.4))
@settings(max_examples=10, deadline=None)
def test_so_many_counts_are_hoped_for_as_a_right_band_catches(spread: float, error: float):
    rng = np.random.default_rng(3)
    off = exp(1.2815515655446004 * spread)
    band = replace(row(8000.0, error=error**2), low=8000 / off, high=8000 * off)
    logs = spread * rng.standard_normal(40_000) + error * rng.standard_normal(40_000)
    assert (np.abs(logs) < log(off)).mean() == pytest.approx(band.hoped, abs=0.01)


def test_no_scatter_among_few_counts_is_no_proof_of_none():
    # Variance of the logs 8 × 0.01 / 7, less than the 0.02 that counting makes; the 5th percentile of
    # chi-squared with 7 degrees of freedom is 2.167 (table): at most 7 × 0.02 / 2.167 = 0.0646.
    own = own_error([row(8000.0 * exp(x), error=0.02) for x in (-0.1, 0.1) * 4])
    assert own is not None
    assert own.log_sd == 0.0
    assert own.most == pytest.approx((0.14 / 2.167 - 0.02) ** 0.5, rel=1e-3)
    assert "leave open an error of the model of up to a factor of 1.2" in own_error_sentence(own, "bees")


def test_what_a_fit_goes_by_holds_the_lean_and_is_not_nothing_by_the_chance_of_few():
    # By hand: 8 counts that all are 1.2 times the middle weigh as much as the belief, so the mean square is
    # (ln² 1.2 + 0.15²) / 2 = (0.03324 + 0.0225) / 2.
    own = own_error([row(8000.0 * 1.2)] * 8)
    assert own is not None
    assert own.believed(0.15) == pytest.approx(((log(1.2) ** 2 + 0.0225) / 2) ** 0.5)
    many = own_error([row(8000.0 * exp(x), error=0.0) for x in (-0.3, 0.3) * 400])
    assert many is not None
    assert many.believed(0.15) == pytest.approx(0.3, rel=0.02), "many counts outweigh the belief"


def test_below_eight_counts_the_models_own_error_is_not_worked_out():
    assert own_error([row(8000.0)] * 7) is None
    assert own_error([row(8000.0)] * 7 + [row(0.0)]) is None, "a dead colony has no ratio"
    assert "from 8 counts on" in own_error_sentence(None, "bees")


def test_the_sentence_says_what_fell_where_and_what_chance_leaves_open():
    held = coverage(of_seasons([True] * 7 + [False] * 3))
    low, high = (round(100 * share) for share in share_range(7, 10))
    assert coverage_sentence(held, "bees") == (
        "Of 10 counts of bees 7 fell inside the band that should hold the average colony 8 times in 10; a "
        f"right band would catch about {round(held.expected)} of such counts (what it catches could be "
        f"anything from {low} to {high}\u00a0% by chance, in 10 seasons of yards)."
    )
    assert coverage_cell(held) == f"7 of 10 ({low} to {high}\u00a0%)"


def test_counts_of_few_seasons_leave_open_what_chance_does():
    held = coverage(of_seasons([True] * 7 + [False] * 2, each=3))
    assert (held.inside, held.of, held.seasons, held.low, held.high) == (21, 27, 9, None, None)
    assert coverage_sentence(held, "bees").endswith(
        "They are of 9 seasons of yards: too few to say what chance leaves open."
    )
    assert coverage_cell(held) == "21 of 27"
    one = coverage([row(8000.0)] * 8)
    assert "They are of one season of one yard" in coverage_sentence(one, "bees")


def test_a_season_counted_often_is_one_trial():
    thrice, once = (coverage(of_seasons([True] * 8 + [False] * 4, each)) for each in (3, 1))
    assert (thrice.inside, thrice.of) == (24, 36)
    assert (thrice.low, thrice.high) == pytest.approx((once.low, once.high))
    assert worth([1] * 12) == 12
    assert worth([9, 1, 1, 1]) == pytest.approx(144 / 84), "nearly all of it is one season"


@given(st.lists(st.integers(1, 12), min_size=10, max_size=30))
@settings(max_examples=40, deadline=None)
def test_seasons_are_worth_no_more_than_their_number_and_the_range_never_narrows(sizes):
    assert 1 <= worth(sizes) <= len(sizes) + 1e-9
    low, high = share_range(0.75 * worth(sizes), worth(sizes))
    narrow = share_range(0.75 * sum(sizes), sum(sizes))
    assert low <= narrow[0] + 1e-12
    assert high >= narrow[1] - 1e-12


def test_where_counts_of_a_season_fall_alike_the_range_still_holds_the_truth():
    # 15 seasons of 1 to 6 counts that all fall alike, of a band that catches 8 in 10: at least 19 times in
    # 20 the range holds 0.8. Taken one by one it would not.
    rng = np.random.default_rng(5)
    held, plain, tries = 0, 0, 2000
    for _ in range(tries):
        sizes = rng.integers(1, 7, 15)
        inside = float((sizes * (rng.random(15) < 0.8)).sum() / sizes.sum())
        alone, every = worth(sizes.tolist()), float(sizes.sum())
        low, high = share_range(inside * alone, alone)
        held += low <= 0.8 <= high
        low, high = share_range(inside * every, every)
        plain += low <= 0.8 <= high
    assert held / tries >= 0.94
    assert plain / tries < 0.85


@pytest.mark.parametrize(
    ("day", "latitude", "season"),
    [
        (date(2026, 12, 20), 42.0, 2026),
        (date(2026, 12, 21), 42.0, 2027),
        (date(2027, 2, 1), 42.0, 2027),
        (date(2026, 6, 20), -37.0, 2026),
        (date(2026, 9, 1), -37.0, 2027),
        (date(2027, 1, 10), -37.0, 2027),
    ],
)
def test_a_season_goes_from_midwinter_to_midwinter(day, latitude, season):
    assert season_of(day, latitude) == season


@pytest.mark.parametrize("of", [1, 4])
def test_few_counts_are_too_few(of):
    held = coverage([row(8000.0)] * of)
    assert coverage_sentence(held, "brood").endswith("too few to tell.")
    assert "%" not in coverage_cell(held)


def test_no_count_and_no_death_say_so():
    assert coverage_sentence(Coverage(0, 0, None, None, 0.0, 0), "brood") == (
        "No count of brood has come after an outlook yet."
    )
    assert died_sentence(0) == ""
    assert "died, outside" in died_sentence(2)


@pytest.mark.parametrize(
    ("low", "place"), [(0.0, "inside"), (200.0, "inside"), (201.0, "below"), (7000.0, "below")]
)
def test_no_brood_is_inside_a_band_that_begins_where_a_keeper_sees_none(low, place):
    none = replace(row(0.0), what="brood", low=low, least=200.0)
    assert none.place == place
    assert none.ratio is None
    said = place_words(none)
    if place == "inside":  # the row says by which rule a count of 0 is inside a band that begins above 0
        assert said == "inside: none seen may be up to 200, and the band begins below that"
    assert place_words(replace(none, counted=9000.0, low=8000.0, high=9900.0)) == "inside"


def test_what_a_keeper_sees_goes_with_the_count_to_its_band():
    none = Count(on(20), 4, {"brood": 0.0}, {"brood": 0.04}, {}, {"brood": 7500.0})
    (told,) = compared([none], [outlook(1, 1, 0)], Fed(), bands_of)
    assert isinstance(told, Compared)
    assert (told.least, told.low) == (7500.0, 7020.0)
    assert told.place == "inside"


def test_a_ratio_of_two_is_as_far_as_a_ratio_of_a_half():
    assert log(row(16000.0).ratio) == pytest.approx(-log(row(4000.0).ratio))
