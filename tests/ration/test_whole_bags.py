"""Whole things as columns: what the solver's numbers mean in shares, and back again."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.ration.problem import Making
from breadline.ration.whole_bags import whole_of
from tests.ration.larder import LARDER, problem

MIXER = Making(batch_kg=200.0, whole_bags=frozenset({"bean", "sugar"}))
SWITCHED = Making(batch_kg=200.0, whole_bags=frozenset({"bean", "sugar"}), most_ingredients=4)
N = len(LARDER)  # bean 20 kg and sugar 20 kg by the bag: a bag is a tenth of this mixer


def columns(amounts, switches=None):
    """Amounts by key, and for each ingredient whether it is switched on, by key."""
    plain = np.array([amounts.get(i.key, 0.0) for i in LARDER])
    if switches is None:
        return plain
    return np.concatenate([plain, [switches.get(i.key, 0.0) for i in LARDER]])


def shares(making, held, switches=None):
    found = whole_of(problem(making=making)).shares_of(columns(held, switches))
    return {i.key: float(s) for i, s in zip(LARDER, found, strict=True) if s}


@pytest.mark.parametrize("bags", [2.9999999, 3.0, 3.0000001])
def test_bags_are_made_exactly_whole_and_a_bag_is_its_part_of_the_mixer(bags):
    assert shares(MIXER, {"bean": bags, "water": 0.25}) == pytest.approx({"bean": 0.3, "water": 0.25})
    assert shares(MIXER, {"bean": bags})["bean"] == shares(MIXER, {"bean": 3.0})["bean"]


def test_what_is_not_in_bags_is_taken_as_it_is_but_for_a_trace():
    assert shares(MIXER, {"yeast": 0.123456, "water": 5e-10}) == pytest.approx({"yeast": 0.123456})


def test_an_ingredient_counts_from_half_a_switch_on():
    """A switch is 0 or 1 but for what the solver lets through: 0.49 is none of it, 0.5 is it."""
    held = {"yeast": 0.2, "oil_a": 0.05, "bean": 2.0}
    on = {"yeast": 1.0 - 1e-7, "oil_a": 0.5, "bean": 1.0}
    assert shares(SWITCHED, held, on) == pytest.approx({"yeast": 0.2, "oil_a": 0.05, "bean": 0.2})
    assert shares(SWITCHED, held, on | {"oil_a": 0.49}) == pytest.approx({"yeast": 0.2, "bean": 0.2})
    assert shares(SWITCHED, held, on | {"bean": 1e-6}) == pytest.approx({"yeast": 0.2, "oil_a": 0.05})


def test_a_trace_behind_a_switch_of_a_millionth_does_not_become_a_fifth_ingredient():
    held = {"yeast": 0.2, "oil_a": 1e-6, "bean": 2.0, "sugar": 4.0, "water": 0.2}
    on = {"yeast": 1.0, "oil_a": 1e-6, "bean": 1.0, "sugar": 1.0, "water": 1.0}
    assert set(shares(SWITCHED, held, on)) == {"yeast", "bean", "sugar", "water"}


def test_shares_and_columns_are_each_others_way_back():
    whole = whole_of(problem(making=SWITCHED))
    mix = np.array([{"bean": 0.2, "sugar": 0.5, "water": 0.2, "yeast": 0.1}.get(i.key, 0.0) for i in LARDER])
    there = whole.columns_of(mix)
    assert there.shape == (2 * N,)
    assert dict(zip([i.key for i in LARDER], there, strict=False))["sugar"] == 5.0
    assert whole.shares_of(there) == pytest.approx(mix)
