"""Long work on many things: in order, told one by one, stopped between two, its errors raised."""

from __future__ import annotations

import threading

import pytest

from breadline.errors import InputToMend, OurFault, TrialError
from breadline.jobs.side_by_side import Along, side_by_side


def test_what_comes_back_is_in_order_and_each_is_told():
    heard: list[tuple[int, int]] = []
    along = Along(heard=lambda how: heard.append((how.done, how.of)))
    along.begin("autumn", 9)
    assert side_by_side(range(9), lambda n: n * n, along) == [n * n for n in range(9)]
    assert heard == [(n, 9) for n in range(10)]
    assert side_by_side((), str, Along()) == []


def test_stopped_it_begins_nothing_more_and_says_that_nothing_is_kept():
    along, begun = Along("autumn"), []

    def work(n: int) -> int:
        begun.append(n)
        along.stop()
        return n

    with pytest.raises(InputToMend, match=r"autumn: it was stopped.*Nothing of it is kept"):
        side_by_side(range(100), work, along)
    assert len(begun) <= 4


def test_an_error_ends_it_and_reaches_whoever_waits():
    def refuse(n: int) -> int:
        raise TrialError("row", f"{n} is none")

    with pytest.raises(TrialError, match="row"):
        side_by_side(range(100), refuse, Along())


@pytest.mark.filterwarnings("ignore::pytest.PytestUnhandledThreadExceptionWarning")
def test_what_nobody_foresaw_is_our_fault_and_never_a_wait_without_end():
    with pytest.raises(OurFault, match="ZeroDivisionError"):
        side_by_side([0], lambda n: 1 // n, Along("autumn"))
    assert threading.main_thread().is_alive()
