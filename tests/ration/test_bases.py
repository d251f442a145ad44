"""Per cent as fed, of dry matter and without sugar; N × 6.25 and own factor."""

from __future__ import annotations

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from breadline.errors import RecipeError
from breadline.ration.analysis import analyse
from breadline.ration.bases import (
    AS_FED,
    DRY,
    SUGAR_FREE,
    crude_from_own,
    dry_from_fed,
    fed_from_dry,
    own_from_crude,
)

from .made_up import SHIPPED, recipe

percent = st.floats(0.0, 100.0)
water = st.floats(0.0, 99.0)
factor = st.floats(5.0, 7.0)
grams = st.floats(0.1, 1e5)


@given(percent, water)
def test_there_and_back_by_water(of_dry: float, wet: float) -> None:
    assert dry_from_fed(fed_from_dry(of_dry, wet), wet) == pytest.approx(of_dry, abs=1e-9)


@given(percent, factor)
def test_there_and_back_by_the_factor(protein: float, own: float) -> None:
    assert own_from_crude(crude_from_own(protein, own), own) == pytest.approx(protein, abs=1e-9)


@given(percent, percent, water)
def test_more_as_fed_is_more_of_dry_matter(one: float, other: float, wet: float) -> None:
    assume(max(one, other) <= 100 - wet)
    low, high = sorted((one, other))
    assert dry_from_fed(low, wet) <= dry_from_fed(high, wet) + 1e-9


@given(percent, water, water)
def test_the_wetter_the_further_apart(fed: float, one: float, other: float) -> None:
    low, high = sorted((one, other))
    assume(fed <= 100 - high)
    assert fed <= dry_from_fed(fed, low) + 1e-9 <= dry_from_fed(fed, high) + 2e-9


kinds = st.sampled_from([k for k, kind in SHIPPED.items() if kind.protein.high > 0])


@given(st.dictionaries(kinds, grams, min_size=1, max_size=6))
def test_of_any_mix_as_fed_is_at_most_dry_and_dry_at_most_without_sugar(parts: dict[str, float]) -> None:
    mix = analyse(recipe(*((SHIPPED[key], weight) for key, weight in parts.items())))
    fed, dry, sugar_free = (mix.protein(basis) for basis in (AS_FED, DRY, SUGAR_FREE))
    assert fed.low <= dry.low + 1e-9 <= sugar_free.low + 2e-9
    assert fed.high <= dry.high + 1e-9 <= sugar_free.high + 2e-9
    for found in (fed, dry, sugar_free):
        assert 0 <= found.low <= found.high <= 100


@given(st.dictionaries(kinds, grams, min_size=1, max_size=6), st.floats(0.01, 100))
def test_only_proportions_matter(parts: dict[str, float], times: float) -> None:
    one = analyse(recipe(*((SHIPPED[key], weight) for key, weight in parts.items())))
    more = analyse(recipe(*((SHIPPED[key], weight * times) for key, weight in parts.items())))
    assert more.crude_protein.high == pytest.approx(one.crude_protein.high)
    assert more.amount("water").low == pytest.approx(one.amount("water").low)


def test_what_cannot_be_is_refused() -> None:
    with pytest.raises(RecipeError, match=r"more than the 40 % of dry matter"):
        dry_from_fed(50.0, 60.0)
    with pytest.raises(RecipeError, match="no dry matter"):
        dry_from_fed(0.0, 100.0)
    with pytest.raises(RecipeError, match="120 % is not possible"):
        fed_from_dry(120.0, 10.0)
    with pytest.raises(RecipeError, match="0 is not possible"):
        crude_from_own(10.0, 0.0)
