"""What a mix holds where weights and contents may each be anywhere in a range."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.knowledge.ingredient import Content
from breadline.ration.mixing import mixed

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
