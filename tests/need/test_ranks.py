"""Values at ranks, compiled and sorted; sums over weeks against sums worked one by one."""

from __future__ import annotations

import subprocess
import sys

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from breadline.need.ranks import at_ranks, by_sorting, quickest
from breadline.need.summary import band
from breadline.need.weeks import ahead, around, sums

NUMBERS = st.one_of(st.floats(-1e9, 1e9), st.sampled_from([0.0, -0.0, 1.0, 60.0, 1e-300, np.inf, -np.inf]))
ROWS = arrays(np.float64, st.integers(1, 300), elements=NUMBERS)


def test_the_compiled_way_is_taken_here_or_this_file_proves_nothing() -> None:
    assert quickest() is not by_sorting


@settings(deadline=None)  # the first is compiled
@given(row=ROWS, shares=st.lists(st.floats(0, 1), min_size=1, max_size=5))
def test_counted_out_as_sorted(row: np.ndarray, shares: list[float]) -> None:
    before = row.copy()
    wanted = np.array([round(share * (len(row) - 1)) for share in shares])
    sorted_out = np.empty(len(wanted))
    by_sorting(row, wanted, sorted_out)
    assert np.array_equal(at_ranks(row, wanted), sorted_out)
    assert np.array_equal(row, before), "the ensemble is left as it was"


@pytest.mark.parametrize("members", [1, 2, 15_000])
def test_every_rank_of_an_ensemble(members: int) -> None:
    """As many as a season has: half of them the same, others a last digit apart."""
    rng = np.random.default_rng(members)
    row = np.where(rng.random(members) < 0.5, 60.0, rng.gamma(2.0, 50.0, members).round(5))
    wanted = np.arange(0, members, max(1, members // 50))
    assert np.array_equal(at_ranks(row, wanted), np.sort(row.astype(np.float32))[wanted])


def test_it_is_compiled_once_whatever_the_rows_look_like() -> None:
    row = np.arange(8.0)
    fixed = row.copy()
    fixed.flags.writeable = False
    for one in (row, row[::-2], row.astype(np.float32), fixed):
        assert at_ranks(one, np.array([0])) == [one.min()]
    assert len(quickest().signatures) == 1  # type: ignore[attr-defined]


def test_a_band_holds_members_of_the_ensemble() -> None:
    days = np.arange(33.0).reshape(3, 11)[:, ::-1]  # eleven members: the second, sixth and tenth lowest
    told = band(days)
    assert (told.low.tolist(), told.middle.tolist(), told.high.tolist()) == (
        [1, 12, 23],
        [5, 16, 27],
        [9, 20, 31],
    )


@given(
    values=arrays(np.float64, st.tuples(st.integers(1, 40), st.integers(1, 3)), elements=st.integers(0, 999))
)
def test_sums_of_weeks_are_those_of_their_days(values: np.ndarray) -> None:
    """Whole numbers, so that no order of adding them makes a difference."""
    days = len(values)
    for first, end in (ahead(days, 7), around(days)):
        found = list(sums(values, first, end))
        assert len(found) == days
        for t, row in enumerate(found):
            assert np.array_equal(row, values[first[t] : end[t]].sum(axis=0))


def test_the_weeks_of_a_short_and_of_a_long_season() -> None:
    first, end = ahead(9, 7)
    assert list(zip(first, end, strict=True)) == [(0, 7), (1, 8)] + [(2, 9)] * 7
    first, end = around(5)
    assert list(zip(first, end, strict=True)) == [(0, 4), (0, 5), (0, 5), (0, 5), (1, 5)]
    assert [a.tolist() for a in ahead(3, 7)] == [[0, 0, 0], [3, 3, 3]]


NO_NUMBA = """
import sys
sys.modules["numba"] = None  # as where it is not installed: importing it fails
import numpy as np
from breadline.need.ranks import at_ranks
print(at_ranks(np.array([3.0, 1.0, 2.0]), np.array([0, 2])).tolist())
"""


def test_without_numba_the_ensemble_is_sorted() -> None:
    told = subprocess.run([sys.executable, "-c", NO_NUMBA], capture_output=True, text=True, check=False)
    assert told.stdout.strip() == "[1.0, 3.0]", told.stderr


def test_numba_is_not_imported_with_the_summary() -> None:
    look = "import sys, breadline.need.summary\nprint('numba' in sys.modules)"
    told = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=False)
    assert told.stdout.strip() == "False", told.stderr


def test_where_nothing_can_be_written_it_is_compiled_all_the_same(monkeypatch: pytest.MonkeyPatch) -> None:
    from numba.core import caching

    from breadline.need.ranks_kernel import compiled

    monkeypatch.setattr(caching.CacheImpl, "_locator_classes", [])
    found = np.empty(2)
    kernel = compiled()
    kernel(np.array([3.0, 1.0, 2.0]), np.array([0, 2]), found)
    assert found.tolist() == [1.0, 3.0]
    assert type(kernel._cache).__name__ == "NullCache"
