"""The permutation test against Fisher, plain listing, and what must hold of it."""

from __future__ import annotations

from itertools import combinations, product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.errors import TrialError
from breadline.trial.arrangements import smallest_one_sided_p, smallest_two_sided_p
from breadline.verdict import permutation
from breadline.verdict.ends import Ends
from breadline.verdict.permutation import permutation_test
from tests.published.data import numbers
from tests.verdict.test_ancova import ends


def dice():
    return np.random.default_rng(20260401)


def maize(baseline=None) -> Ends:
    cross, self_ = numbers("darwin_maize", "cross"), numbers("darwin_maize", "self")
    return ends([*self_, *cross], [0] * 15 + [1] * 15, [*range(15), *range(15)], baseline)


# Fisher RA, 1935, The Design of Experiments, section 21, is remembered to print 863 of 32,768; his page
# was not read, so that the signs are gone through one by one below
@pytest.mark.parametrize(("baseline", "way"), [(None, "convolution"), (np.ones(30), "all arrangements")])
def test_darwins_maize_as_fisher_counted_it(baseline, way):
    found = permutation_test(maize(baseline), 0.0, dice())
    assert (found.way, found.arrangements, found.draws) == (way, 32768, 0)
    assert found.p_above * 32768 == pytest.approx(863, abs=1e-6)
    assert found.p_two_sided * 32768 == pytest.approx(1726, abs=1e-6)
    eighths = 8 * (numbers("darwin_maize", "cross") - numbers("darwin_maize", "self"))
    signs = np.array(list(product([-1, 1], repeat=15)))
    assert np.sum(signs @ eighths >= eighths.sum()) == 863


# the lady who tasted tea: R 4.2.2, fisher.test; 17 and 1 of 70 ways by hand
@pytest.mark.parametrize(
    ("right", "one_sided", "two_sided"), [(3, 0.242857142857, 0.485714285714), (4, 0.0142857142857, 2 / 70)]
)
def test_of_counts_it_is_fishers_exact_test(right, one_sided, two_sided):
    said = [1.0] * right + [0.0] * (4 - right)
    found = permutation_test(ends([*(1 - np.array(said)), *said], [0] * 4 + [1] * 4), 0.0, dice())
    assert found.p_above == pytest.approx(one_sided)
    assert found.p_two_sided == pytest.approx(two_sided)


def listed(data: Ends) -> tuple[float, float]:
    """One- and two-sided p by going through the arrangements one by one; no baseline."""
    where = [np.flatnonzero(data.block == b) for b in np.unique(data.block)]
    ways = [list(combinations(rows, int(data.arm[rows].sum()))) for rows in where]
    centred = data.outcome - np.array([data.outcome[data.block == b].mean() for b in data.block])
    seen = data.arm == 1
    found = []
    for way in product(*ways):
        fed = np.isin(np.arange(len(seen)), [i for part in way for i in part])
        found.append(centred[fed].mean() - centred[~fed].mean())
    observed = centred[seen].mean() - centred[~seen].mean()
    return float(np.mean(np.array(found) >= observed - 1e-9)), float(
        np.mean(np.abs(found) >= abs(observed) - 1e-9)
    )


@st.composite
def half_frames(draw):
    sizes = draw(st.lists(st.integers(2, 5), min_size=1, max_size=3))
    fed = [draw(st.integers(1, size - 1)) for size in sizes]
    outcome = [draw(st.integers(0, 12)) / 2 for _ in range(sum(sizes))]
    arm = [int(i < k) for size, k in zip(sizes, fed, strict=True) for i in range(size)]
    return ends(outcome, arm, np.repeat(np.arange(len(sizes)), sizes))


@settings(max_examples=60, deadline=None)
@given(half_frames())
def test_convolution_and_listing_agree_with_going_through_them_one_by_one(data):
    one = permutation_test(data, 0.0, dice())
    same = Ends(data.outcome, data.arm, data.block, np.ones((len(data.arm), 1)))
    other = permutation_test(same, 0.0, dice())
    assert (one.way, other.way) == ("convolution", "all arrangements")
    above, two_sided = listed(data)
    assert (one.p_above, one.p_two_sided) == (pytest.approx(above), pytest.approx(two_sided))
    assert (other.p_above, other.p_two_sided) == (pytest.approx(above), pytest.approx(two_sided))


@settings(max_examples=25, deadline=None)
@given(st.integers(0, 10**6), st.booleans())
def test_over_all_draws_the_p_value_is_uniform(seed, with_baseline):
    rng = np.random.default_rng(seed)
    outcome, block = rng.normal(size=8), np.array([0, 0, 0, 0, 1, 1, 1, 1])
    baseline = rng.normal(size=8) if with_baseline else None
    found = []
    for first, second in product(combinations(range(4), 2), combinations(range(4, 8), 1)):
        arm = np.isin(np.arange(8), [*first, *second]).astype(int)
        found.append(permutation_test(ends(outcome, arm, block, baseline), 0.0, dice()).p_above)
    assert np.sort(found) == pytest.approx(np.arange(1, 25) / 24)


@settings(max_examples=30, deadline=None)
@given(half_frames(), st.integers(0, 10**6))
def test_order_of_rows_and_origin_do_not_matter_and_swapping_arms_turns_it_round(data, seed):
    one = permutation_test(data, 0.0, dice())
    order = np.random.default_rng(seed).permutation(len(data.arm))
    turned = Ends(data.outcome[order] + 3.0, data.arm[order], data.block[order], data.baseline[order])
    assert permutation_test(turned, 0.0, dice()).p_above == pytest.approx(one.p_above)
    swapped = permutation_test(Ends(data.outcome, 1 - data.arm, data.block, data.baseline), 0.0, dice())
    assert (swapped.p_above, swapped.p_below) == (pytest.approx(one.p_below), pytest.approx(one.p_above))
    assert swapped.difference == pytest.approx(-one.difference)


@settings(max_examples=30, deadline=None)
@given(half_frames(), st.floats(-2, 2), st.floats(0.1, 2))
def test_the_larger_the_benefit_supposed_the_less_it_is_exceeded(data, shift, more):
    one, other = (permutation_test(data, s, dice()).p_above for s in (shift, shift + more))
    assert other >= one - 1e-9


def test_random_draws_are_near_the_exact_value_and_say_how_near(monkeypatch):
    exact = permutation_test(maize(), 0.0, dice())
    monkeypatch.setattr(permutation, "MOST_LISTED", 1000)
    found = permutation_test(maize(np.ones(30)), 0.0, dice())
    assert (found.way, found.draws) == ("random draws", 99_999)
    assert found.monte_carlo_error(found.p_above) == pytest.approx(0.0005, abs=3e-5)
    assert found.p_above == pytest.approx(exact.p_above, abs=4 * found.monte_carlo_error(exact.p_above))
    few = permutation_test(maize(np.ones(30)), -1000.0, dice(), draws=9)
    assert few.p_above == pytest.approx(0.1)  # the draw as it was counts: never 0


# C(yards, fed) counted by hand: 20, 28, 70 ways; 2^5 and 2^6 for pairs
@pytest.mark.parametrize(
    ("sizes", "fed", "one_sided", "two_sided"),
    [
        ([6], [3], 1 / 20, 0.10),
        ([8], [6], 1 / 28, 1 / 28),
        ([8], [4], 1 / 70, 2 / 70),
        ([2] * 5, [1] * 5, 1 / 32, 0.0625),
        ([2] * 6, [1] * 6, 1 / 64, 0.03125),
    ],
)
def test_the_smallest_p_of_a_draw(sizes, fed, one_sided, two_sided):
    assert smallest_one_sided_p(np.array(sizes), np.array(fed)) == pytest.approx(one_sided)
    assert smallest_two_sided_p(np.array(sizes), np.array(fed)) == pytest.approx(two_sided)
    arm = np.concatenate([np.arange(n) < k for n, k in zip(sizes, fed, strict=True)]).astype(int)
    best = ends(arm * 1.0, arm, np.repeat(np.arange(len(sizes)), sizes))
    found = permutation_test(best, 0.0, dice())
    assert (found.p_above, found.p_two_sided) == (pytest.approx(one_sided), pytest.approx(two_sided))


def test_a_draw_that_could_not_have_fallen_otherwise_is_refused():
    with pytest.raises(TrialError, match="no block holds both arms"):
        permutation_test(ends([1, 2, 3, 4], [0, 0, 1, 1], [0, 0, 1, 1]), 0.0, dice())
    with pytest.raises(TrialError, match="3 arms"):
        permutation_test(ends([1, 2, 3], [0, 1, 2]), 0.0, dice())
