"""Amino acids that are a part of a protein of which only the range is known."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from breadline.knowledge.ingredient import AMINO_ACIDS, Content, Price
from breadline.ration.bases import AS_FED, AS_FED_OWN
from breadline.ration.ends import ends
from breadline.ration.problem import Problem
from breadline.ration.rows import rows_of
from breadline.ration.solver import Solved, cheapest
from breadline.ration.targets import Target, in_protein, nutrient, protein, ratio

from .made_up import SHIPPED, ingredient

YEAST, POLLEN, SUGAR = (SHIPPED[key] for key in ("yeast_brewers_dried", "bee_pollen", "sugar_granulated"))
LYSINE = 3.22 / 45.9  # of the protein of the yeast row [g/g]


def asked(*targets: Target, of=(YEAST, SUGAR), counted="safe") -> Problem:
    prices = {i.key: Price(1.0 if i is SUGAR else 5.0, "US$", 2026) for i in of}
    return Problem(of, prices, targets, counted=counted)


def only(target: Target, *of, counted="safe"):
    (row,) = rows_of(asked(target, of=of, counted=counted))
    return row


def test_a_least_as_fed_is_held_at_the_low_end_of_the_protein():
    solved = cheapest(asked(nutrient("lys", "as fed", least=1.0)))
    assert isinstance(solved, Solved)
    assert solved.shares[YEAST.key] == pytest.approx(1.0 / (36.0 * LYSINE))
    (reached,) = solved.reached
    assert reached.value.low == pytest.approx(1.0)
    assert reached.value.high == pytest.approx(45.9 / 36.0)
    assert reached.guessed == ()
    assert ends(solved).survives


def test_a_most_as_fed_is_held_at_the_high_end():
    row = only(nutrient("lys", "as fed", most=1.0), YEAST)
    assert row.reached(np.ones(1)) == pytest.approx(3.22)
    assert only(nutrient("lys", "as fed", most=1.0), YEAST, counted="middle").reached(np.ones(1)) == (
        pytest.approx(40.95 * LYSINE)
    )


def test_one_counted_half_way_misses_at_the_low_end_of_its_protein():
    solved = cheapest(asked(nutrient("lys", "as fed", least=1.0), counted="middle"))
    assert isinstance(solved, Solved)
    (miss,) = ends(solved).misses
    assert miss.end == "low"
    assert miss.reached == pytest.approx(36.0 / 40.95)


@pytest.mark.parametrize("counted", ["safe", "middle"])
def test_in_the_protein_of_one_ingredient_the_range_makes_no_difference(counted):
    for side in ("least", "most"):
        target = Target("lys", to="protein", factor="N × 6.25", **{side: 5.0})
        row = only(target, POLLEN, counted=counted)
        assert row.reached(np.ones(1)) == pytest.approx(6.4)
        assert row.quotient.span(np.ones(1)) == (pytest.approx(6.4), pytest.approx(6.4))


def test_one_acid_over_another_moves_together_too():
    row = only(ratio("lys", "met", least=1.0), YEAST)
    assert row.reached(np.ones(1)) == pytest.approx(3.22 / 0.74)


def test_a_blank_acid_is_a_part_of_its_protein():
    row = only(in_protein("trp", "N × 6.25", least=0.0), POLLEN)
    low, high = row.quotient.span(np.ones(1))
    assert low == 0.0
    assert high == pytest.approx(100.0 * (1.0 - sum(POLLEN.acid_shares.values())))


@pytest.mark.parametrize("factor", ["N × 6.25", "own factor"])
def test_in_a_mix_the_ends_are_those_of_every_choice_of_contents(factor):
    kinds = (
        ingredient("a", (6.0, 30.0), acid_shares={"met": 0.010}, water=5.0),
        ingredient("b", (36.0, 46.0), 5.71, acid_shares={"met": 0.025}, water=5.0),
        ingredient("c", (20.0, 45.0), aa={"met": 0.5}, water=5.0),
        ingredient("d", (0.0, 12.0), 6.38, acid_shares={"met": 0.002}, water=5.0),
    )
    mix = np.array([0.4, 0.2, 0.3, 0.1])
    row = only(in_protein("met", factor, least=1.0), *kinds)
    seen = []
    for code in range(2 ** len(kinds)):
        at = [getattr(k.protein, "high" if code >> i & 1 else "low") for i, k in enumerate(kinds)]
        held = [0.5 if k.key == "c" else k.acid_shares["met"] * p for k, p in zip(kinds, at, strict=True)]
        turns = [6.25 / k.nitrogen_factor if factor == "N × 6.25" else 1.0 for k in kinds]
        seen.append(100.0 * float(mix @ held) / float(mix @ (np.array(turns) * at)))
    assert row.quotient.span(mix) == (pytest.approx(min(seen)), pytest.approx(max(seen)))
    assert row.reached(mix) == pytest.approx(min(seen))
    for bound in (0.5, min(seen), 2.0):  # the row of the solver is kept just where the quotient is
        assert (float(row.at(bound) @ mix) >= -1e-9) == (min(seen) >= bound - 1e-12)


def test_a_recipe_for_an_acid_in_the_protein_no_longer_pays_for_a_range_that_is_none():
    """The yeast’s protein is 7.02 % lysine, however much of it there is."""
    target = in_protein("lys", "N × 6.25", least=6.5)
    solved = cheapest(asked(target, protein(AS_FED, least=20.0)))
    assert isinstance(solved, Solved)
    assert solved.shares[YEAST.key] == pytest.approx(20.0 / 36.0)
    assert solved.reached[0].value == Content(pytest.approx(100 * LYSINE), pytest.approx(100 * LYSINE))
    assert ends(solved).survives


def test_protein_and_its_acids_move_as_one():
    half = replace(POLLEN, protein=Content(15.0, 15.0))
    for name in AMINO_ACIDS:
        there = half.amino_acid(name)
        assert there is None or there == Content(*(2 * [POLLEN.amino_acid(name).high / 2.0]))
    assert rows_of(asked(protein(AS_FED_OWN, least=1.0), of=(half,)))[0].reached(np.ones(1)) == 15.0
