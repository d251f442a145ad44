"""The sentences about a cheapest mix: what is said first, in whose words, and how it is rounded."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.ration.bases import AS_FED
from breadline.ration.ends import ends
from breadline.ration.problem import Making
from breadline.ration.solved_words import (
    conflict_sentences,
    ends_sentences,
    money,
    range_words,
    sentences,
    standing_sentences,
)
from breadline.ration.solver import cheapest
from breadline.ration.standing import PriceRange, standing
from breadline.ration.targets import nutrient, protein, share
from tests.ration.larder import BEAN, OIL_A, PRICES, SUGAR, YEAST, price, problem


def test_the_recipe_comes_first_with_its_price_and_its_year():
    solved = cheapest(problem(ingredients=(BEAN, SUGAR), targets=(share("bean", 25.0, 25.0),)))
    assert sentences(solved) == (
        "The cheapest mix costs US$ 1.20 a kg: 75.0 % Sugar; 25.0 % Bean.",
        "Prices are of 2026.",
    )


def test_a_binding_target_says_what_a_step_saves():
    """A point of bean less saves 0.40 × 1 % of a kilogram."""
    solved = cheapest(problem(ingredients=(BEAN, SUGAR), targets=(share("bean", 25.0),)))
    assert standing_sentences(solved, standing(solved))[0] == (
        "Share of Bean, at least 25 %, holds the cost up: 24 % instead would save US$ 0.004 a kg (0.3 %)."
    )


def test_prices_of_two_years_are_remarked_on():
    asked = problem(prices=PRICES | {"bean": price(1.5, year=2019)})
    assert any("Prices are of 2019 and 2026: ask anew" in s for s in sentences(cheapest(asked)))


def test_what_was_not_reported_is_named():
    few = (YEAST, SUGAR, OIL_A)
    asked = problem(ingredients=few, targets=(protein(AS_FED, 10.0), nutrient("linolenic", "as fed", 0.5)))
    assert "Not reported, and counted at the bad end: ω3 (as fed) (Yeast)." in sentences(cheapest(asked))


def test_what_is_from_memory_is_marked():
    told = replace(YEAST, read="memory")
    solved = cheapest(problem(ingredients=(told, SUGAR), targets=(protein(AS_FED, 10.0),)))
    assert "From memory, not checked: what is in Yeast." in sentences(solved)


def test_a_conflict_that_rests_on_a_blank_says_so():
    asked = problem(
        ingredients=(YEAST, SUGAR, OIL_A),
        targets=(protein(AS_FED, 10.0), nutrient("linolenic", "as fed", most=0.1)),
    )
    told = conflict_sentences(cheapest(asked))
    assert "Not reported, and counted at the bad end: ω3 (as fed) (Yeast)." in told


def test_whole_bags_are_told_and_that_none_is_cheaper():
    making = Making(batch_kg=140.0, fill_least=0.9, whole_bags=frozenset({"bean", "sugar"}))
    told = " ".join(sentences(cheapest(problem(making=making))))
    assert "Unopened go in: 1 bag of Bean; 3 bags of Sugar." in told
    assert "No cheaper one exists within these limits." in told


def test_what_bags_and_a_number_of_ingredients_cost_is_told():
    free = cheapest(problem()).cost_per_kg
    for making, says in (
        (Making(140.0, 0.9, frozenset({"bean", "sugar"})), "Opening bags would save {} a kg."),
        (Making(most_ingredients=4), "One ingredient more than 4 would save {} a kg."),
    ):
        solved = cheapest(problem(making=making))
        told = standing_sentences(solved, standing(solved))
        assert says.format(money("US$", solved.cost_per_kg - free)) in told


def test_a_search_cut_short_says_so():
    solved = replace(
        cheapest(problem(making=Making(most_ingredients=6))), gap=0.042, stopped=True, seconds=10.0
    )
    told = " ".join(sentences(solved))
    assert "The search was stopped after 10 s: a recipe up to 4.2 % cheaper may still exist." in told


def test_a_conflict_says_what_is_at_odds_and_how_far_each_would_give():
    asked = problem(
        ingredients=(BEAN, SUGAR), targets=(protein(AS_FED, least=20.0), share("bean", most=30.0))
    )
    told = conflict_sentences(cheapest(asked))
    assert told[0] == (
        "No mix has all of these together: crude protein (N × 6.25, as fed), at least 20 %; "
        "share of Bean, at most 30 %."
    )
    # 0.3 × 45 × 6.25 / 5.71 = 14.777, rounded so that there is a mix; 20 / 49.256 = 40.604
    assert "crude protein (N × 6.25, as fed): at least 14.7 % instead of 20 %" in told[1]
    assert "share of Bean: at most 40.7 % instead of 30 %" in told[1]
    assert told[2].startswith("The nearest mix gives way on crude protein")


def test_limits_of_the_making_are_told_in_words():
    told = conflict_sentences(cheapest(problem(making=Making(most_ingredients=2))))
    assert "at most 2 ingredients" in told[0]
    odd = Making(batch_kg=50.0, whole_bags=frozenset({"bean", "sugar"}))
    told = conflict_sentences(cheapest(problem(ingredients=(BEAN, SUGAR), targets=(), making=odd)))
    assert told[0] == "Whole bags only cannot be had here."
    assert told[1] == "Without it there is a mix."


def test_time_running_out_is_no_proof():
    conflict = replace(cheapest(problem(protein(AS_FED, least=40.0))), proven=False)
    assert conflict_sentences(conflict)[0].startswith("No mix was found within 10 s, and none was ruled out")


def test_both_ends_of_protein_are_told():
    safe = cheapest(problem())
    told = " ".join(ends_sentences(safe, ends(safe)))
    assert "keeps its protein at both ends of what sources say of Yeast" in told
    assert "that one misses crude protein" in told
    half = cheapest(problem(counted="middle"))
    assert "It misses crude protein" in " ".join(ends_sentences(half, ends(half)))


@pytest.mark.parametrize(
    ("low", "high", "says"),
    [
        (0.0, float("inf"), "at any price of Bean (now € 2.00)"),
        (1.0, float("inf"), "while Bean costs € 1.00 a kg or more"),
        (0.0, 3.0, "while Bean costs no more than € 3.00 a kg"),
        (1.0, 3.0, "while Bean costs € 1.00 to € 3.00 a kg"),
        (None, 3.0, "was not worked out in the time given"),
    ],
)
def test_price_ranges_in_words(low, high, says):
    assert says in range_words("€", "Bean", PriceRange("bean", True, 2.0, low, high))


def test_money_has_two_decimals_or_three_where_it_is_small():
    assert (money("€", 1.239), money("€", 0.0451)) == ("€ 1.24", "€ 0.045")
