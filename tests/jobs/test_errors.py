"""Every kind of error is copied and sent between processes as it is, and is made anew in one way."""

from __future__ import annotations

import copy
import pickle
from collections.abc import Iterator
from datetime import date

import pytest

from breadline import errors
from breadline.errors import BreadlineError, CountTooOld
from breadline.jobs.bring_in import LookedOver, NotReady
from breadline.jobs.sheet_cells import Cells
from breadline.jobs.sheet_read import Fault, SheetAsked, Understood


def kinds(of: type[BreadlineError] = BreadlineError) -> Iterator[type[BreadlineError]]:
    yield of
    for one in of.__subclasses__():
        yield from kinds(one)


OURS = [one for one in kinds() if one.__module__ == errors.__name__]


def alike(one: BreadlineError, other: BreadlineError) -> bool:
    return (type(one), str(one), one.args, vars(one)) == (type(other), str(other), other.args, vars(other))


@pytest.mark.parametrize("kind", OURS, ids=lambda kind: kind.__name__)
def test_an_error_is_copied_and_made_anew(kind: type[BreadlineError]) -> None:
    one = kind("bread", "it is 0.2", "8 to 40", "Count again")
    assert str(one) == "bread: it is 0.2. Expected 8 to 40. Count again."
    for other in (copy.copy(one), copy.deepcopy(one), pickle.loads(pickle.dumps(one))):
        assert alike(one, other)
    assert alike(type(one)(one.where, one.what, one.expected, one.do), one)


def test_a_count_too_old_keeps_its_day() -> None:
    old = CountTooOld.of(date(2025, 3, 3), "3 March 2025", 400, 150)
    assert "3 March 2025, 400 days ago" in str(old)
    for other in (copy.deepcopy(old), pickle.loads(pickle.dumps(old))):
        assert alike(old, other)
        assert (other.on, other.day) == (date(2025, 3, 3), "3 March 2025")


def test_one_that_is_made_of_something_else_too() -> None:
    told = Understood(Cells("x.csv", "", [], ()), "", "readings", 1, (), {}, (), (), ())
    fault = Fault(2, "Day", "is no date", "Write it")
    seen = LookedOver(told, SheetAsked(), (), (), 0, (fault,), (), date(2026, 3, 10))
    one = NotReady(seen)
    for other in (copy.deepcopy(one), pickle.loads(pickle.dumps(one))):
        assert (str(other), other.seen) == (str(one), seen)
