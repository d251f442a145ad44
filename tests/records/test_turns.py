"""Threads of one program take turns in the order in which they came."""

from __future__ import annotations

import time
from threading import Thread

from breadline.records.turns import Turns


def test_first_come_first_served() -> None:
    turns, order = Turns(), list[int]()
    assert turns.take(1)

    def wait(number: int) -> None:
        assert turns.take(30)
        order.append(number)
        turns.pass_on()

    threads = [Thread(target=wait, args=(number,)) for number in range(8)]
    for number, thread in enumerate(threads, 1):
        thread.start()
        until = time.monotonic() + 30
        while len(turns._waiting) < number and time.monotonic() < until:
            time.sleep(0.001)
    turns.pass_on()
    for thread in threads:
        thread.join()
    assert order == list(range(8))
    assert turns.take(0), "nobody holds it any more"


def test_who_has_waited_long_enough_leaves_and_is_passed_over() -> None:
    turns = Turns()
    assert turns.take(1)
    assert not turns.take(0.01)
    turns.pass_on()
    assert turns.take(0)
