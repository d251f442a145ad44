"""The cheapest mix: it keeps its targets, whatever the contents turn out to be, and says what it holds."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.errors import RecipeError
from breadline.ration.analysis import analyse
from breadline.ration.bases import AS_FED, DRY, DRY_OWN
from breadline.ration.problem import Making
from breadline.ration.rows import rows_of
from breadline.ration.solver import TIGHT, Conflict, Solved, cheapest
from breadline.ration.targets import in_protein, nutrient, protein, ratio, real_pollen, share
from tests.ration.larder import (
    BEAN,
    LARDER,
    OIL_A,
    PRICES,
    SUGAR,
    TARGETS,
    WATER,
    YEAST,
    kind,
    price,
    problem,
)


def test_a_mix_of_two_is_the_one_worked_by_hand():
    """20 % of 45·6.25/5.71 = 49.256 % needs 40.604 % bean; the rest is the cheaper sugar."""
    solved = cheapest(problem(ingredients=(BEAN, SUGAR), targets=(protein(AS_FED, least=20.0),)))
    assert solved.shares["bean"] == pytest.approx(20 / (45 * 6.25 / 5.71), abs=1e-9)
    assert solved.cost_per_kg == pytest.approx(1.1 + 0.4 * 20 / (45 * 6.25 / 5.71), abs=1e-9)
    assert solved.reached[0].binding == "least"
    assert sum(solved.shares.values()) == pytest.approx(1.0)


@pytest.mark.parametrize("basis", [AS_FED, DRY, DRY_OWN], ids=str)
def test_the_analysis_of_the_recipe_finds_the_protein_that_was_asked_for(basis):
    solved = cheapest(problem(targets=(protein(basis, least=16.0), nutrient("water", "as fed", 12.0, 20.0))))
    assert analyse(solved.recipe).protein(basis).low == pytest.approx(16.0, abs=1e-6)


def test_the_analysis_finds_every_ratio_that_was_asked_for():
    solved = cheapest(problem(ratio("linoleic", "linolenic", most=1.0), ratio("sugars", "water", least=2.0)))
    there = analyse(solved.recipe)
    assert there.omega.high is not None
    assert there.omega.high <= 1.0 + 1e-6
    assert there.sugar_to_water.low >= 2.0 - 1e-6


def test_what_was_not_reported_counts_at_its_bad_end():
    """The yeast's own ω3 is not known: a least of ω3 gets nothing from it."""
    few = (YEAST, SUGAR, OIL_A)
    asked = (protein(AS_FED, 10.0), nutrient("linolenic", "as fed", 0.5))
    solved = cheapest(problem(ingredients=few, targets=asked))
    assert solved.shares["oil_a"] == pytest.approx(0.05, abs=1e-9)
    assert solved.shares["yeast"] == pytest.approx(0.25, abs=1e-9)  # a least counts the low end, 40 %
    assert solved.reached[1].guessed == ("yeast",)
    assert solved.reached[1].value.high > 0.5


def test_half_way_counts_known_ranges_half_way_and_blanks_still_at_their_bad_end():
    few = (YEAST, SUGAR, OIL_A)
    asked = (protein(AS_FED, 10.0), nutrient("linolenic", "as fed", 0.5))
    solved = cheapest(problem(ingredients=few, targets=asked, counted="middle"))
    assert solved.shares["yeast"] == pytest.approx(10 / 44, abs=1e-9)
    assert solved.shares["oil_a"] == pytest.approx(0.05, abs=1e-9)


def test_a_share_of_real_pollen_is_kept():
    solved = cheapest(problem(real_pollen(least=4.0)))
    assert solved.shares["pollen"] == pytest.approx(0.04, abs=1e-9)


def test_a_per_cent_of_dry_matter_is_not_watered_down_to_nothing():
    with pytest.raises(RecipeError, match="Give a most of water"):
        cheapest(problem(targets=(protein(DRY, least=16.0),)))


def test_a_ratio_of_two_things_that_are_not_there_says_nothing():
    solved = cheapest(problem(ingredients=(SUGAR,), targets=(ratio("water", "sugars", most=1.0),)))
    assert solved.reached[0].value.high == 0.0
    solved = cheapest(
        problem(ingredients=(SUGAR, OIL_A), targets=(ratio("linoleic", "linolenic", most=3.0),))
    )
    assert solved.shares == {"sugar": 1.0}
    assert solved.reached[0].value is None


def test_a_target_asked_twice_is_answered_twice():
    twice = nutrient("fat", "as fed", least=4.0)
    solved = cheapest(problem(twice, twice))
    assert [r.target for r in solved.reached] == list(solved.problem.targets)


@pytest.mark.parametrize("times", [1e-7, 1e-3, 1e4, 1e8])
def test_any_money_will_do(times):
    """Prices in a coin worth a fortune, or in one worth next to nothing."""
    first = cheapest(problem())
    coins = {k: price(p.per_kg * times, money="coin") for k, p in PRICES.items()}
    there = cheapest(problem(prices=coins))
    assert there.cost_per_kg == pytest.approx(first.cost_per_kg * times, rel=1e-7)
    assert there.shares == pytest.approx(first.shares, abs=1e-6)


def test_targets_at_odds_give_a_conflict():
    assert isinstance(cheapest(problem(protein(AS_FED, least=40.0))), Conflict)


def test_whole_bags_stay_whole_and_the_batch_fits_the_mixer():
    making = Making(batch_kg=140.0, fill_least=0.9, whole_bags=frozenset({"bean", "sugar"}))
    solved = cheapest(problem(making=making))
    assert isinstance(solved, Solved)
    assert solved.bags["sugar"] * 20.0 == pytest.approx(solved.shares["sugar"] * solved.batch_kg)
    assert solved.bags["bean"] * 20.0 == pytest.approx(solved.shares["bean"] * solved.batch_kg)
    assert 126.0 - 1e-6 <= solved.batch_kg <= 140.0 + 1e-6
    assert solved.recipe.grams == pytest.approx(1000.0 * solved.batch_kg)


def test_at_most_so_many_ingredients():
    making = Making(most_ingredients=4, least_if_used=1.0)
    solved = cheapest(problem(making=making))
    assert len(solved.shares) <= 4
    assert min(solved.shares.values()) >= 0.01 - 1e-9


@pytest.mark.parametrize("per_kg", [0.0, -1.0, float("nan"), float("inf")])
def test_a_price_of_nought_or_less_is_refused(per_kg):
    with pytest.raises(RecipeError, match="is no price"):
        problem(prices=PRICES | {"bean": price(per_kg)})


def test_a_price_that_is_not_known_is_asked_for_but_not_of_water():
    with pytest.raises(RecipeError, match=r"price of Bean: it is not known.*Enter what you would pay"):
        problem(prices={k: p for k, p in PRICES.items() if k != "bean"})
    assert "water" not in problem().prices


def test_two_moneys_are_refused():
    with pytest.raises(RecipeError, match=r"in US\$ and €"):
        problem(prices=PRICES | {"bean": price(1.0, money="€")})


def test_an_ingredient_twice_is_refused():
    with pytest.raises(RecipeError, match="on offer twice"):
        problem(ingredients=(*LARDER, BEAN))


def test_a_ratio_over_nought_is_refused():
    with pytest.raises(RecipeError, match="below the line is 0"):
        cheapest(problem(ingredients=(SUGAR, WATER), targets=(ratio("sugars", "linolenic", most=2.0),)))


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda: nutrient("protein", "as fed", 20.0), "how protein is counted"),
        (lambda: nutrient("fat", "", 20.0), "its basis is not said"),
        (lambda: in_protein("met", "", 1.5), "how protein is counted"),
        (lambda: nutrient("fat", "as fed", 101.0), "over 100 %"),
        (lambda: share("bean", most=140.0), "over 100 %"),
        (lambda: nutrient("fat", "as fed", -1.0), "is no bound"),
        (lambda: nutrient("fat", "as fed", 8.0, 4.0), "lies above the most"),
        (lambda: nutrient("fat", "as fed"), "neither a least nor a most"),
        (lambda: nutrient("vitamin", "as fed", 1.0), "nothing of that name"),
        (lambda: ratio("sugars", "bliss", 1.0), "nothing can be held against"),
        (lambda: share((), 1.0), "whose share"),
    ],
)
def test_a_target_that_cannot_be_meant_is_refused_in_words(make, says):
    with pytest.raises(RecipeError, match=says):
        make()


def test_bags_need_their_weight_and_the_mixers():
    with pytest.raises(RecipeError, match="whole bags are counted"):
        problem(making=Making(whole_bags=frozenset({"bean"})))
    with pytest.raises(RecipeError, match="weight of a bag is not known"):
        problem(making=Making(batch_kg=100.0, whole_bags=frozenset({"oil_a"})))


SALT = kind("salt", 0.0, "0 0 99 0 38758 0 0", "salt")


@pytest.mark.parametrize("most", [8.0, 20.0])
@pytest.mark.parametrize("making", [Making(), Making(397.0, 0.9, frozenset({"sugar"}), most_ingredients=6)])
def test_a_limit_of_sodium_that_binds_is_named_though_salt_on_offer_holds_thousands_of_times_as_much(
    most, making
):
    """The limit is milligrams, salt 38 758 of them: the row spans four powers of ten."""
    targets = (*TARGETS[:-1], nutrient("ash", "as fed", least=0.5), nutrient("sodium", "as fed", most=most))
    prices = PRICES | {"salt": price(0.2), "yeast": price(0.9)}
    asked = problem(ingredients=(*LARDER, SALT), prices=prices, targets=targets, making=making)
    solved = cheapest(asked)
    held = {i.key: i.nutrients["sodium"].high for i in asked.ingredients}
    sodium = sum(part * held[key] for key, part in solved.shares.items())
    assert sodium == pytest.approx(most, rel=1e-6)
    assert solved.reached[-1].binding == "most"
    free = cheapest(replace(asked, targets=targets[:-1]))
    assert free.cost_per_kg < solved.cost_per_kg
    row = rows_of(asked)[-1]
    mix = np.array([solved.shares.get(k, 0.0) for k in asked.keys])
    let_through = mix.copy()
    let_through[asked.keys.index("salt")] += 0.5e-7
    assert row.tight(let_through, TIGHT)
    assert not row.tight(mix * np.where(np.array(asked.keys) == "yeast", 0.98, 1.0), TIGHT)
