"""Our functions against numbers that others printed.

One value is one expected number. Values that were read in, or quoted from, a
source count; the independent and the hand-worked ones are counted apart.
"""

from __future__ import annotations

from collections import Counter

import pytest

from .cases import (
    BESIDE,
    KINDS,
    PUBLISHED,
    READ,
    Sheet,
    bibliography,
    found_and_expected,
    printed_half_step,
    rows,
    sheets,
    tolerance,
)

FEWEST_VALUES, FEWEST_SOURCES = 35, 15


@pytest.mark.parametrize(("sheet", "i"), [pytest.param(s, i, id=f"{s.file}-{i + 1}") for s, i in rows()])
def test_agrees_with_the_outside_world(sheet: Sheet, i: int) -> None:
    found, expected = found_and_expected(sheet, sheet.row[i])
    assert found == pytest.approx(expected, abs=tolerance(sheet, sheet.row[i]), rel=0), (
        f"{sheet.checks} gives {found:g} where {sheet.source}, {sheet.table}, has {expected:g}"
    )


@pytest.mark.parametrize("sheet", sheets(), ids=lambda s: s.file)
def test_a_file_says_where_its_values_come_from(sheet: Sheet) -> None:
    assert sheet.kind in KINDS
    assert sheet.table
    assert sheet.source in bibliography(), f"{sheet.source} is not in the bibliography"
    if sheet.kind == PUBLISHED:
        assert sheet.read in READ, f"{sheet.file}: read = {sheet.read!r} is no check on the outside world"
        assert not sheet.against
    else:
        assert sheet.by, "say who else computed it, or show the working"


@pytest.mark.parametrize("sheet", [s for s in sheets() if not s.against], ids=lambda s: s.file)
def test_the_tolerance_is_what_the_printed_digits_allow(sheet: Sheet) -> None:
    wide = [row for row in sheet.row if tolerance(sheet, row) > printed_half_step(row["expected"]) * 1.0001]
    assert not wide or sheet.tolerance_why, f"{sheet.file}: say why the tolerance is wider"


def test_no_value_comes_from_memory() -> None:
    assert [s.file for s in sheets() if s.read in ("memory", "judged")] == []


def test_enough_values_from_enough_sources() -> None:
    published = [s for s in sheets() if s.kind == PUBLISHED]
    assert sum(s.values for s in published) >= FEWEST_VALUES
    assert len({s.source for s in published}) >= FEWEST_SOURCES
    beside = Counter(dict.fromkeys(BESIDE, 0))
    for sheet in sheets():
        if sheet.kind != PUBLISHED:
            beside[sheet.kind] += sheet.values
    assert all(beside.values())


def test_no_two_rows_are_the_same() -> None:
    told = Counter((s.source, s.checks, repr(s.fixed), repr(s.row[i])) for s, i in rows())
    assert [key for key, times in told.items() if times > 1] == []
