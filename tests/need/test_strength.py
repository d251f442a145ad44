"""From frames, cells and kilograms to bees, cells and grams: what must hold, and bad counts."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from breadline.errors import YardError
from breadline.need import strength

COUNTS = st.floats(0, 100)


@given(frames=COUNTS, more=COUNTS)
def test_more_frames_are_never_fewer_bees(frames: float, more: float) -> None:
    assert strength.bees_on_frames(frames + more, 1900) >= strength.bees_on_frames(frames, 1900)


@given(width=st.floats(4.5, 7.0))
def test_both_ways_to_count_cells_agree(width: float) -> None:
    by_width = strength.cells_per_dm2(width, sides=2)
    assert strength.cells_from_row(100 / width) == pytest.approx(by_width)


def test_bread_in_frames_and_in_cells_is_the_same_bread() -> None:
    frames = strength.bread_g(1.5, "frames", 0.2, 4500)
    assert frames == pytest.approx(strength.bread_g(1.5 * 4500, "cells", 0.2, 4500))
    assert strength.bread_g(frames, "g", 0.2, 4500) == frames


def test_a_lower_comb_carries_less() -> None:
    assert strength.scaled(2200, 100, 200) == 1100


@pytest.mark.parametrize("bad", [-1.0, float("nan")])
def test_a_count_below_nothing_or_unknown_is_to_be_mended(bad: float) -> None:
    for count in (
        lambda: strength.bees_on_frames(bad, 1900),
        lambda: strength.bees_in_mass(bad, 125),
        lambda: strength.bread_g(bad, "cells", 0.2, 4500),
        lambda: strength.brood_cells(bad, 7000, 0.65),
    ):
        with pytest.raises(YardError, match="0 or more"):
            count()


def test_a_percentage_typed_for_a_share_is_told() -> None:
    with pytest.raises(YardError, match=r"0\.75 for 75 %"):
        strength.on_comb(8, 125, covered=75)


def test_a_comb_or_a_bee_of_no_size_is_told() -> None:
    for size in (
        lambda: strength.cells_per_dm2(0),
        lambda: strength.scaled(2200, 0, 203),
        lambda: strength.bees_in_mass(1, 0),
    ):
        with pytest.raises(YardError, match="above 0"):
            size()
