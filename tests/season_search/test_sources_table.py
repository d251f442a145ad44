"""Where each parameter comes from: the method page and the notes on the shelf agree with the shipped sets."""

from __future__ import annotations

import numpy as np
import pytest
from scripts.season_search.sources_table import HARDLY, PAGE, narrowed, taken_away, with_sources

from breadline.knowledge.shelf import load


def test_the_method_page_has_every_parameter_as_it_is_shipped() -> None:
    page = PAGE.read_text("utf-8")
    assert page == with_sources(page), "run: uv run python -m scripts.season_search sources"


def test_a_range_of_which_the_middle_half_is_left_lost_half() -> None:
    unit = np.column_stack([np.linspace(0.0, 1.0, 1001), np.linspace(0.25, 0.75, 1001)])
    assert narrowed(unit) == pytest.approx([0.0, 0.5])


def test_a_note_says_hardly_narrowed_where_and_only_where_it_was() -> None:
    shelf = load()
    for name, share in taken_away().items():
        assert ("hardly narrowed" in shelf[f"season.{name}"].note) == (share < HARDLY), (name, share)
