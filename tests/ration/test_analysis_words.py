"""What a practitioner reads of an analysis."""

from __future__ import annotations

from dataclasses import replace

import pytest

from breadline.knowledge.ingredient import Content
from breadline.ration.analysis import analyse
from breadline.ration.analysis_words import roughly, sentences

from .made_up import SOY, SUGAR, WATER, ingredient, recipe, shipped


def told(mix) -> str:
    return " ".join(sentences(analyse(mix)))


def test_protein_comes_first_on_both_bases_and_both_factors():
    first = sentences(analyse(shipped(soy_flour_defatted=3, sugar_granulated=3, water=2.5)))[0]
    assert first == (
        "About 18 % crude protein as fed, 27 % of dry matter, on N × 6.25 "
        "(17 % and 24 % on each ingredient's own factor)."
    )


def test_no_pollen_is_said_and_pollen_is_given_as_fed():
    assert "No real pollen in it." in told(recipe((SOY, 1), (SUGAR, 2)))
    pollen = ingredient("pollen", 20.0, traits=("pollen",), water=8.0)
    assert "Real pollen makes up 20 % of it as fed." in told(recipe((pollen, 1), (SUGAR, 4)))


def test_a_range_names_the_ingredient_that_makes_it_and_not_the_one_that_hardly_does():
    words = told(recipe((SOY, 3), (SUGAR, 3), (WATER, 2)))
    assert "starch by Soy flour, defatted." in words
    assert "A blank is not nought." in words
    assert "starch by Soy flour, defatted; and Sugar" not in words


def test_the_one_figure_to_ask_for_is_named_where_a_blank_leaves_it_open():
    loose = ingredient("mill_yeast", 44.0, water=7.0, ash=7.0)
    assert "Ask for one figure first: the sodium of mill yeast." in told(recipe((loose, 1), (SUGAR, 3)))
    assert "Ask for one figure" not in told(recipe((SUGAR, 1), (WATER, 1)))


def test_oils_without_omega_three_have_no_ratio():
    oil = ingredient("odd_oil", fat=100.0, linoleic=60.0, linolenic=0.0)
    blank = ingredient("seed_oil", fat=100.0, linoleic=60.0)
    assert "ω6:ω3 cannot be formed" in told(recipe((oil, 1)))
    assert "at least 1.5; how much higher is open: of ω3, seed oil may hold none of it" in told(
        recipe((blank, 1))
    )
    silent = ingredient("odd_seed_oil", fat=100.0)
    assert "ω6:ω3 may be anything: of ω3, odd seed oil may hold none of it." in told(recipe((silent, 1)))


def test_what_is_from_memory_is_said():
    yeast = replace(ingredient("old_yeast", 45.0, water=7.0), read="memory")
    assert "From memory, not checked: what is in old yeast." in told(recipe((yeast, 1), (SUGAR, 1)))
    assert "From memory" not in told(recipe((SOY, 1), (SUGAR, 1)))


@pytest.mark.parametrize(
    ("low", "high", "said"),
    [(17.4, 17.4, "17"), (9.94, 9.94, "9.9"), (9.96, 9.96, "10"), (0.0, 0.0, "0"), (0.01, 0.01, "under 0.1"),
     (3.0, 3.0, "3"), (15.2, 17.6, "15 to 18"), (0.0, 0.42, "0 to 0.4"), (9.7, 15.6, "10 to 16"),
     (7.2, 727.0, "7 to 730"), (496.0, 1215.0, "500 to 1,200")],
)  # fmt: skip
def test_numbers_are_rounded_as_a_beekeeper_does(low, high, said):
    assert roughly(Content(low, high)) == said
