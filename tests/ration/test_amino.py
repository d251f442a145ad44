"""Amino acids against the pattern. All numbers are arithmetic: de Groot's paper was not seen."""

from __future__ import annotations

import numpy as np
import pytest

from breadline.errors import RecipeError
from breadline.knowledge.amino_pattern import pattern
from breadline.ration.amino import amino_score
from breadline.ration.analysis import analyse
from breadline.ration.analysis_words import amino_sentence

from .made_up import ingredient, recipe, shipped

DE_GROOT = pattern()


def score(factor="N × 6.25", **grams: float):
    return amino_score(analyse(shipped(**grams)), DE_GROOT, factor)


@pytest.mark.parametrize(
    ("key", "limiting", "expected"),
    [
        ("soy_flour_defatted", "met", 0.821),
        ("egg_white_dried", "trp", 1.232),
        ("peas_split", "met", 0.682),
        ("whey_sweet_dried", "arg", 0.987),
        ("wheat_flour", "lys", 0.671),
    ],
)
def test_arithmetic_with_de_groot_unseen(key: str, limiting: str, expected: float):
    found = score(**{key: 100.0})
    assert found.limiting == (limiting,)
    assert found.score.exact
    assert found.score.low == pytest.approx(expected, abs=0.001)


def test_arithmetic_with_de_groot_unseen_on_the_own_factor_and_the_next_in_line():
    assert score("own factor", soy_flour_defatted=1).score.low == pytest.approx(0.899, abs=0.001)
    each = score(soy_flour_defatted=1).each
    assert each["ile"].low == pytest.approx(1.108, abs=0.001)
    assert each["val"].low == pytest.approx(1.140, abs=0.001)


def test_arithmetic_of_haydaks_mix_with_de_groot_unseen_and_a_yeast_from_memory():
    acids = ("arg", "his", "ile", "leu", "lys", "met", "phe", "thr", "trp", "val")
    nrc = (2.20, 1.09, 2.15, 3.13, 3.22, 0.74, 1.83, 2.20, 0.56, 2.39)
    yeast = ingredient("yeast", 45.9, traits=("yeast",), aa=dict(zip(acids, nrc, strict=True)), water=7.0)
    parts = shipped(soy_flour_defatted=3, milk_nonfat_dry=1).parts
    mix = analyse(recipe(*((part.ingredient, part.grams) for part in parts), (yeast, 1)))
    found = amino_score(mix, DE_GROOT, "N × 6.25")
    assert found.limiting[0] == "met"
    assert found.score.low == pytest.approx(1.004, abs=0.001)


def test_a_part_without_amino_acids_makes_a_range_and_is_named():
    unknown = ingredient("mystery_meal", 50.0, water=10.0)
    soy = shipped(soy_flour_defatted=1).parts[0].ingredient
    found = amino_score(analyse(recipe((soy, 1), (unknown, 1))), DE_GROOT, "N × 6.25")
    assert found.blank == ("mystery meal",)
    assert found.score.low < 0.821 < found.score.high
    assert found.score.high < 100 / 28  # even the best protein has to hold all ten
    assert "mystery meal" in amino_sentence(found)
    assert "is open" in amino_sentence(found)


def test_an_unknown_protein_alone_is_anything_from_nothing_to_the_best_that_is_possible():
    unknown = ingredient("mystery_meal", 50.0, water=10.0)
    found = amino_score(analyse(recipe((unknown, 1))), DE_GROOT, "N × 6.25")
    assert found.score.low == 0.0
    assert found.score.high == pytest.approx(100 / 28)  # all of it the ten, in just their proportion


def test_the_score_is_told_with_its_label_its_basis_and_its_critique():
    told = amino_sentence(score(soy_flour_defatted=1))
    assert told.startswith("Methionine runs short first, at 0.82 of the pattern")
    for part in ("from a 1953 cage pattern", "advisory", "N × 6.25", "taken as digested", "not jelly"):
        assert part in told
    assert "No amino acid falls short" in amino_sentence(score(egg_white_dried=1))


def test_a_stand_in_is_named():
    assert score(wheat_gluten=1).proxies == ("Vital wheat gluten",)
    assert "stand in" in amino_sentence(score(wheat_gluten=1))


def test_useful_protein_is_cut_by_the_score_and_never_more_than_all():
    soy, egg = analyse(shipped(soy_flour_defatted=1)), analyse(shipped(egg_white_dried=1))
    cut = amino_score(soy, DE_GROOT, "N × 6.25").useful_protein
    whole = amino_score(egg, DE_GROOT, "N × 6.25").useful_protein
    assert cut.low == pytest.approx(0.821 * 51.46, abs=0.06)
    assert whole.high == pytest.approx(egg.crude_protein.high)


def test_sugar_alone_has_no_protein_to_judge():
    with pytest.raises(RecipeError, match="no protein to judge"):
        score(sugar_granulated=1)


def test_amino_acids_that_are_a_part_of_the_protein_have_one_score_wherever_it_lies():
    found = score(yeast_brewers_dried=1)
    assert found.score.exact
    assert found.limiting == ("met",)
    assert found.score.low == pytest.approx(0.74 / 45.9 / 0.015)
    assert found.useful_protein.low == pytest.approx(36.0)  # more than enough of each, at either end
    pollen = analyse(shipped(bee_pollen=1))
    lysine = pollen.amino_acids["lys"]
    assert (lysine.content.low, lysine.content.high) == (pytest.approx(0.384), pytest.approx(1.92))
    assert lysine.blank == ()


def test_in_a_mix_the_ends_of_a_score_are_those_of_a_search_over_the_contents():
    shares = {"met": 0.010, "lys": 0.07}
    rest = dict.fromkeys(("arg", "his", "ile", "leu", "phe", "thr", "trp", "val"), 0.05)
    one = ingredient("one", (6.0, 30.0), acid_shares=shares | rest, water=10.0)
    two = ingredient("two", (36.0, 46.0), acid_shares={"met": 0.016, "lys": 0.02} | rest, water=10.0)
    found = amino_score(analyse(recipe((one, 3), (two, 1))), DE_GROOT, "N × 6.25")
    grid = [(3 * p, q) for p in np.linspace(6, 30, 25) for q in np.linspace(36, 46, 11)]
    for name in ("met", "lys"):
        asked = DE_GROOT.percent[name] / 100
        seen = [(a * one.acid_shares[name] + b * two.acid_shares[name]) / (a + b) / asked for a, b in grid]
        assert found.each[name].low == pytest.approx(min(seen))
        assert found.each[name].high == pytest.approx(max(seen))
    acids = {"met": 18 * 0.010 + 36 * 0.016, "lys": 18 * 0.07 + 36 * 0.02}
    enough = min(acids[name] / 4 / (DE_GROOT.percent[name] / 100) for name in acids)
    assert found.useful_protein.low == pytest.approx(min(54 / 4, enough))


def test_a_label_states_its_amino_acids_apart_so_the_score_takes_both_ends_of_the_protein():
    acids = dict.fromkeys(("arg", "his", "ile", "leu", "lys", "phe", "thr", "trp", "val"), 5.0) | {
        "met": 0.45
    }
    meal = ingredient("bean_meal", (40.0, 60.0), aa=acids, water=10.0)
    found = amino_score(analyse(recipe((meal, 1))), DE_GROOT, "N × 6.25")
    assert found.score.low == pytest.approx(0.45 / 60 / 0.015)
    assert found.score.high == pytest.approx(0.45 / 40 / 0.015)
