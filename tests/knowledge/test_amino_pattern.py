"""The pattern names ten amino acids, and never goes without its critique."""

from __future__ import annotations

from breadline.knowledge.amino_pattern import pattern
from breadline.knowledge.data import shipped, sources
from breadline.knowledge.ingredient import AMINO_ACIDS


def test_the_ten_and_not_cystine():
    assert set(pattern().percent) == set(AMINO_ACIDS) - {"cys"}


def test_their_sum_by_hand():
    # 3.0 + 1.5 + 4.0 + 4.5 + 3.0 + 1.5 + 2.5 + 3.0 + 1.0 + 4.0
    assert sum(pattern().percent.values()) == 28.0


def test_it_is_marked_as_a_cage_pattern_and_advisory():
    assert all(word in pattern().label for word in ("1953", "cage", "advisory"))
    assert len(pattern().critique) >= 3
    table = shipped("amino_pattern.toml")["de_groot"]
    assert {table["source"], table["critique_source"]} <= set(sources())
