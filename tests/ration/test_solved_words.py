"""The sentences about a cheapest mix: what is said first, in whose words, and how it is rounded."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.errors import RecipeError
from breadline.ration.bases import AS_FED
from breadline.ration.ends import ends
from breadline.ration.plain_words import small_money, told_apart
from breadline.ration.problem import Making
from breadline.ration.solved_words import (
    conflict_sentences,
    ends_sentences,
    sentences,
)
from breadline.ration.solver import cheapest
from breadline.ration.standing import LimitSaving, PriceRange, standing
from breadline.ration.standing_words import holding_sentences, range_words, standing_sentences
from breadline.ration.targets import nutrient, protein, share
from tests.ration.larder import BEAN, OIL_A, PRICES, SUGAR, YEAST, price, problem

FREE = standing(cheapest(problem()))  # where nothing has to be whole


def test_the_recipe_comes_first_with_its_price_and_its_year():
    solved = cheapest(problem(ingredients=(BEAN, SUGAR), targets=(share("bean", 25.0, 25.0),)))
    assert sentences(solved, "kg") == (
        "The cheapest mix costs US$1.20 a kg: 75 % Sugar; 25 % Bean.",
        "Prices are of 2026.",
    )


def test_a_binding_target_says_what_a_step_saves():
    """A point of bean less saves 0.40 × 1 % of a kilogram."""
    solved = cheapest(problem(ingredients=(BEAN, SUGAR), targets=(share("bean", 25.0),)))
    firm = standing(solved)
    assert standing_sentences(solved, firm, "kg")[0] == (
        "What holds the cost up: Share of Bean, at least 25 %: 24 % instead saves 0.3 % (about ½ cent a kg)."
    )
    # 0.004 a kilogram is 0.0018 a pound, a fifth of a cent
    assert holding_sentences(solved, firm, "lb") == (
        "Share of Bean, at least 25 %: 24 % instead saves 0.3 % (about ¼ cent a pound).",
    )


def test_prices_of_two_years_are_remarked_on():
    asked = problem(prices=PRICES | {"bean": price(1.5, year=2019)})
    assert any("Prices are of 2019 and 2026: ask anew" in s for s in sentences(cheapest(asked), "kg"))


def test_what_was_not_reported_is_named():
    few = (YEAST, SUGAR, OIL_A)
    asked = problem(ingredients=few, targets=(protein(AS_FED, 10.0), nutrient("linolenic", "as fed", 0.5)))
    assert "Not reported, and counted at the bad end: ω3 (as fed) (Yeast)." in sentences(
        cheapest(asked), "kg"
    )


def test_what_is_from_memory_is_marked():
    told = replace(YEAST, read="memory")
    solved = cheapest(problem(ingredients=(told, SUGAR), targets=(protein(AS_FED, 10.0),)))
    assert "From memory, not checked: what is in Yeast." in sentences(solved, "kg")


def test_a_conflict_that_rests_on_a_blank_says_so():
    asked = problem(
        ingredients=(YEAST, SUGAR, OIL_A),
        targets=(protein(AS_FED, 10.0), nutrient("linolenic", "as fed", most=0.1)),
    )
    told = conflict_sentences(cheapest(asked))
    assert "Not reported, and counted at the bad end: ω3 (as fed) (Yeast)." in told


def test_whole_bags_are_told_and_that_none_is_cheaper():
    making = Making(batch_kg=140.0, fill_least=0.9, whole_bags=frozenset({"bean", "sugar"}))
    told = " ".join(sentences(cheapest(problem(making=making)), "kg"))
    assert "Unopened go in: 1 bag of Bean; 3 bags of Sugar." in told
    assert "No cheaper one exists within these limits." in told


def test_what_bags_and_a_number_of_ingredients_cost_is_told():
    """What a limit costs is worked out in ``test_standing``; here a tenth of the cost is told."""
    for making, limit, says in (
        (Making(140.0, 0.9, frozenset({"bean"})), "whole bags", "Letting bags be opened saves {}."),
        (Making(most_ingredients=4), "most ingredients", "One ingredient more than 4 saves {}."),
        (Making(least_if_used=2.5), "least if used", "Letting less than 2.5 % of something go in saves {}."),
    ):
        solved = cheapest(problem(making=making))
        tenth = LimitSaving(limit, solved.cost_per_kg / 10.0, 0.0)
        told = holding_sentences(solved, replace(FREE, limits=(tenth,)), "kg")
        assert says.format(f"10 % (about {small_money(tenth.saving, 'US$', 'kg')} a kg)") in told


def test_a_search_cut_short_says_so():
    solved = replace(
        cheapest(problem(making=Making(most_ingredients=6))), gap=0.042, stopped=True, seconds=10.0
    )
    told = " ".join(sentences(solved, "kg"))
    assert told.startswith("The cheapest mix found so far costs")
    assert "The search was stopped after 10 s: a recipe up to 4.2 % cheaper may still exist." in told
    told = " ".join(sentences(replace(solved, seconds=0.2), "kg"))
    assert "after 0.2 s: a recipe up to 4.2 %" in told


def test_what_a_search_had_no_time_for_is_not_told_as_known():
    solved, firm = cheapest(problem()), FREE
    ranges = tuple(replace(one, low=None, high=None) if one.used else one for one in firm.price_ranges)
    late = replace(firm, next_best=None, all_needed=False, within_time=False, price_ranges=ranges)
    told = standing_sentences(solved, late, "kg")
    assert sum("was not worked out in the time given" in one for one in told) == 1
    assert "The next best recipe was not found in the time given." in told
    assert not any("each of them is needed" in one for one in told)


def test_without_any_time_no_ingredient_is_called_needed():
    solved = cheapest(problem(making=Making(most_ingredients=4)))
    hurried = replace(solved.problem, making=replace(solved.problem.making, time_limit_s=1e-9))
    firm = standing(replace(solved, problem=hurried))
    assert firm.next_best is None
    assert not firm.all_needed
    assert not firm.within_time
    assert all(one.high is None for one in firm.price_ranges if one.used)


def test_that_every_ingredient_is_needed_is_shown_by_leaving_each_out():
    only = cheapest(
        problem(ingredients=(BEAN, SUGAR), targets=(share("bean", 25.0, 25.0), share("sugar", least=10.0)))
    )
    firm = standing(only)
    assert firm.all_needed
    assert firm.next_best is None
    assert any("each of them is needed" in one for one in standing_sentences(only, firm, "kg"))


def test_two_prices_a_hair_apart_are_told_apart():
    assert told_apart((1.0042, 1.0018), "US$", "kg") == ("US$1.004", "US$1.002")
    assert told_apart((1.0042, 1.0018), "kr", "kg") == ("1.004 kr", "1.002 kr")
    assert told_apart((1.0, 2.0), "US$", "kg") == ("US$1.00", "US$2.00")


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


def test_a_bag_that_holds_more_than_the_batch_is_named():
    """Of the larder, yeast comes in 25 kg and bean in 20 kg; the mixer holds 20 kg."""
    making = Making(batch_kg=20.0, whole_bags=frozenset({"bean", "yeast"}))
    says = "A bag of Yeast holds 25 kg, more than the batch of 20 kg: whole, none can go in."
    solved = cheapest(problem(making=making, targets=()))
    assert says in sentences(solved, "kg")
    conflict = cheapest(problem(protein(AS_FED, least=46.0), making=making))
    assert conflict_sentences(conflict)[-1] == says
    assert not any("holds" in told for told in sentences(cheapest(problem()), "kg"))


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
    told = " ".join(ends_sentences(safe, ends(safe), "kg"))
    assert "keeps its protein at both ends of what sources say of Yeast" in told
    assert "that one misses crude protein" in told
    half = cheapest(problem(counted="middle"))
    assert "It misses crude protein" in " ".join(ends_sentences(half, ends(half), "kg"))


@pytest.mark.parametrize(
    ("low", "high", "says"),
    [
        (0.0, float("inf"), "at any price of Bean (now €2.00)"),
        (1.0, float("inf"), "while Bean costs €1.00 a kg or more"),
        (0.0, 3.0, "while Bean costs no more than €3.00 a kg"),
        (1.0, 3.0, "while Bean costs €1.00 to €3.00 a kg"),
        (1.011, 26.95, "while Bean costs €1.01 to €27 a kg (now €2.00)"),
    ],
)
def test_price_ranges_in_words(low, high, says):
    assert says in range_words("€", "Bean", PriceRange("bean", True, 2.0, low, high), "kg")


def test_a_most_of_what_is_not_on_offer_holds_and_a_least_is_refused():
    few = (BEAN, SUGAR)
    asked = problem(ingredients=few, targets=(share("bean", 25.0, 25.0), share("yeast", most=0.0)))
    solved = cheapest(asked)
    assert solved.shares == cheapest(replace(asked, targets=asked.targets[:1])).shares
    assert not any("yeast" in told for told in holding_sentences(solved, standing(solved), "kg"))
    with pytest.raises(RecipeError, match="not on offer"):
        cheapest(problem(ingredients=few, targets=(share("yeast", least=1.0),)))
