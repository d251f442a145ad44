"""Colonies that run out of stores are lost in the sum, sugar keeps them; splits need nurses."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest
from scipy.stats import lognorm

from breadline.plan.plans import NOTHING, Piece, Plan
from breadline.plan.ruled_out import out_of_stores
from breadline.plan.search import search
from breadline.plan.starving import Stores, losses_words
from breadline.plan.targets import Splits
from breadline.plan.tried import tried
from breadline.plan.value import Reached, Spread, worth
from plan.spring_yard import DRAWS, contract, dollars, question, reader, some_plans, way, with_honey

FED = Plan("search", (Piece(7, 454.0), Piece(14, 454.0)), interval=7)
ALL = np.arange(DRAWS)


def lean(kg: float = 6.0, **more):
    return replace(with_honey(question(**more), kg), stores=Stores(0.3))


@pytest.fixture(scope="module")
def done():
    return tried(lean(), [NOTHING, FED], ALL), tried(question(), [NOTHING, FED], ALL)


def test_who_starves_is_who_had_less_than_was_drawn(done):
    """Stores between colonies as scipy's lognormal of the same mean; drawn as the walk says."""
    from breadline.plan.tried import ways_ended

    starving, _ = done
    ends, _ = ways_ended(lean(), [NOTHING, FED], ALL)
    law = lognorm(s=0.3, scale=6000.0 * np.exp(-(0.3**2) / 2))
    assert starving.starved == pytest.approx(law.cdf(ends.drawn_g), abs=1e-9)
    assert 0.02 < starving.starved[0].mean() < 0.98


def test_the_dead_earn_nothing_and_make_nothing(done):
    starving, known = done
    assert starving.value == pytest.approx(known.value * (1.0 - starving.starved))
    assert starving.making == pytest.approx(known.making * (1.0 - starving.starved))
    assert (known.starved == 0.0).all(), "stores that are not known are not reckoned"


def test_fed_colonies_starve_sooner_and_that_costs_money(done):
    starving, _ = done
    assert (starving.starved[1] >= starving.starved[0]).mean() > 0.9
    over = [float((one.value[1] - one.value[0]).mean()) for one in done]
    assert over[0] < over[1]


def test_a_sample_that_starved_is_no_sample():
    paid = contract("sample_average")
    lost = tried(lean(3.0, target=paid), [NOTHING], ALL)
    whole = tried(question(target=paid), [NOTHING], ALL)
    assert (lost.making <= whole.making).all()
    assert lost.value.mean() < 0.5 * whole.value.mean()


def test_with_sugar_beside_only_who_is_bare_before_the_first_round_starves_or_is_struck_out():
    one = replace(lean(3.0), stores=Stores(0.3, sugar_beside=True))
    late = Plan("search", (Piece(42, 227.0),))
    sugared = tried(one, [NOTHING, FED, late], ALL)
    assert (sugared.starved[:2] == 0.0).all(), "sugar today, or in a week"
    assert sugared.starved[2].mean() > 0.5, "not in six weeks"
    shelf = reader()
    why = out_of_stores(sugared, one.ensemble, shelf, sugar_beside=True)
    assert why[:2] == ("", "")
    assert "before the first round" in why[2]
    assert out_of_stores(sugared, one.ensemble, shelf)[1], "without sugar it is struck out"


def test_a_light_yard_with_sugar_has_plans_again():
    one, plans = lean(3.0), some_plans()
    none = search(way(one), plans)
    assert not none.best.plan.pieces
    sugared = replace(one, stores=Stores(0.3, sugar_beside=True))
    shelf = reader()
    with_sugar = replace(
        way(sugared), stores=lambda t: out_of_stores(t, sugared.ensemble, shelf, sugar_beside=True)
    )
    assert search(with_sugar, plans).best.plan.pieces


def test_across_a_winter_that_is_not_foretold_nobody_starves_in_the_sum():
    across = replace(lean(3.0), stores=Stores(0.3, reckoned=False))
    assert (tried(across, [NOTHING, FED], ALL).starved == 0.0).all()


def test_losses_are_stated():
    assert losses_words(False, 0.05, 0.0, 0.0) == (
        "5 in 100 colonies are taken to die before the date unfed (our figure; enter your own)."
    )
    fed = losses_words(False, 0.05, 0.0, 0.0, 1.011)
    assert "die before the date unfed (our figure; enter your own), 4 in 100 under the best plan" in fed
    assert "as many under the best plan" in losses_words(False, 0.05, 0.0, 0.0, 1.001)
    said = losses_words(True, 0.1, 0.2, 0.26)
    assert "10 in 100" in said
    assert "20 in 100 starve unfed, 26 in 100 under the best plan" in said


def test_a_split_needs_nurse_bees_as_well():
    splits = Splits(date(2027, 3, 25), 4.0, 6.0, dollars(150), nurses=2.4)
    sure = Spread(100, 1e-6, 0.0, 0.15)

    def money(nurses):
        of = (np.array([v]) for v in (6.5, 4.1, 1.0, nurses))
        return float(worth(splits, Reached(*of), sure).money[0])

    assert money(2.3) == pytest.approx(0.0, abs=1e-6)
    assert money(2.5) == pytest.approx(150.0)
    plain = replace(splits, nurses=None)
    few = tried(question(target=replace(splits, bees=2.0, brood=0.5, nurses=1.2)), [NOTHING], ALL)
    many = tried(question(target=replace(plain, bees=2.0, brood=0.5)), [NOTHING], ALL)
    assert few.value.mean() < many.value.mean()
    assert (few.nurses < few.frames).all()
