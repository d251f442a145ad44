"""Recipes in buckets: the bulk density is asked for, and where it is a range so is the mix."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import RecipeError
from breadline.knowledge.ingredient import Content
from breadline.ration.analysis import analyse
from breadline.ration.buckets import BucketPart, analyse_buckets, bulk_from_bucket
from breadline.ration.mixing import mixed

from .made_up import SOY, SUGAR, WATER, ingredient, recipe

PAIL = 17000.0  # mL


def test_weighed_buckets_are_a_recipe_by_weight():
    soy, sugar = (bulk_from_bucket(grams, PAIL) for grams in (8500.0, 14450.0))
    mix = analyse_buckets("Pails", (BucketPart(SOY, 2, PAIL, soy), BucketPart(SUGAR, 1, PAIL, sugar)))
    by_weight = analyse(recipe((SOY, 17000), (SUGAR, 14450)))
    assert mix.crude_protein.low == pytest.approx(by_weight.crude_protein.low)
    assert mix.weighed


def test_a_range_of_density_makes_a_range_of_protein():
    loose = BucketPart(SOY, 2, PAIL, Content(0.4, 0.6))
    mix = analyse_buckets("Pails", (loose, BucketPart(WATER, 1, PAIL, Content(1.0, 1.0))))
    low, high = (analyse(recipe((SOY, 2 * bulk), (WATER, 1.0))).crude_protein.low for bulk in (0.4, 0.6))
    assert (mix.crude_protein.low, mix.crude_protein.high) == pytest.approx((low, high))
    assert not mix.weighed


def test_a_bucket_of_unknown_weight_is_asked_for():
    powder = ingredient("odd_powder", 30.0, water=5.0)
    with pytest.raises(RecipeError, match="weigh it, take off the empty bucket"):
        analyse_buckets("Pails", (BucketPart(powder, 1, PAIL),))
    with pytest.raises(RecipeError, match="is no amount"):
        analyse_buckets("Pails", (BucketPart(SOY, 0, PAIL, Content(0.5, 0.5)),))
    with pytest.raises(RecipeError, match="is no weight"):
        bulk_from_bucket(0.0, PAIL)
    with pytest.raises(RecipeError, match="no ingredient"):
        analyse_buckets("Pails", ())


spread = st.tuples(st.floats(0.1, 10), st.floats(0.1, 10)).map(lambda ends: Content(min(ends), max(ends)))


@given(st.lists(st.tuples(spread, spread), min_size=1, max_size=4))
def test_the_ends_of_a_mix_are_those_of_all_corners(parts: list[tuple[Content, Content]]):
    weights, contents = [w for w, _ in parts], [c for _, c in parts]
    corners = [
        sum(w * getattr(c, end) for w, c in zip(chosen, contents, strict=True)) / sum(chosen)
        for end in ("low", "high")
        for chosen in product(*((w.low, w.high) for w in weights))
    ]
    found = mixed(weights, contents)
    assert (found.low, found.high) == pytest.approx((min(corners), max(corners)))
