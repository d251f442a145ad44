"""Long work on many things, a few of them at once, with a word after each and a way to stop."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator, Sequence
from contextvars import copy_context
from dataclasses import dataclass, field
from typing import Generic, TypeVar

from breadline.errors import BreadlineError, InputToMend, OurFault
from breadline.language import say

A = TypeVar("A")
B = TypeVar("B")
MOST_HANDS = 4  # at once, where the machine has as many: memory goes with them
LOOK_S = 0.1  # a wait without an end cannot be broken off everywhere [s]


@dataclass
class Along:
    """How far a long work is, and a way to stop it.

    Parameters
    ----------
    what
        What is worked on, in the user's words.
    done, of
        How many things are through, of how many.
    heard
        Told after each of them.
    """

    what: str = ""
    done: int = 0
    of: int = 0
    heard: Callable[[Along], None] | None = None
    _stop: threading.Event = field(default_factory=threading.Event)

    @property
    def stopped(self) -> bool:
        """Whether it was told to stop, or the program is on its way out and waits for its threads."""
        return self._stop.is_set() or not threading.main_thread().is_alive()

    def stop(self) -> None:
        """Begin nothing more."""
        self._stop.set()

    def go_on(self) -> None:
        """Nothing, unless it was stopped.

        Errors
        ------
        InputToMend
            If it was.
        """
        if self.stopped:
            raise InputToMend(
                self.what, say("it was stopped"), say("its end"), say("Nothing of it is kept; begin it again")
            )

    def begin(self, what: str, of: int) -> None:
        """Another piece of work, of so many things."""
        self.what, self.done, self.of = what, 0, of
        self._tell()

    def another(self) -> None:
        """One more is through."""
        self.done += 1
        self._tell()

    def _tell(self) -> None:
        if self.heard is not None:
            self.heard(self)


def side_by_side(items: Sequence[A], work: Callable[[A], B], along: Along) -> list[B]:
    """What the work makes of each, in their order; what it raises is raised here.

    In plain threads: the program waits for them as it ends, and they end with what they have in hand. Once
    it is stopped nobody waits for that, and nothing of it counts.

    Errors
    ------
    InputToMend
        If it was stopped, even where the last were in hand by then.
    """
    line = _Line(items, work, along)
    hands = min(len(items), MOST_HANDS, os.cpu_count() or 1)
    threads = [  # each says what it says in the language of whoever asked
        threading.Thread(target=copy_context().run, args=(line.hand,), name=f"side by side {n}")
        for n in range(hands)
    ]
    for thread in threads:
        thread.start()
    try:
        for thread in threads:
            while thread.is_alive() and not along.stopped:
                thread.join(LOOK_S)
    finally:
        line.over.set()  # also where somebody broke off the wait
    if line.trouble:
        raise line.trouble[0]
    along.go_on()
    return [line.found[n] for n in range(len(items))]


class _Line(Generic[A, B]):
    """Things in a line, and what was made of them."""

    def __init__(self, items: Sequence[A], work: Callable[[A], B], along: Along) -> None:
        self.found: dict[int, B] = {}
        self.trouble: list[BreadlineError] = []
        self.over = threading.Event()
        self._work, self._along, self._turn = work, along, threading.Lock()
        self._waiting: Iterator[tuple[int, A]] = iter(enumerate(items))

    def hand(self) -> None:
        """Take one after the other, until none is left or it is stopped."""
        while not self.over.is_set() and not self._along.stopped:
            with self._turn:
                one = next(self._waiting, None)
            if one is None:
                return
            try:
                made = self._work(one[1])
            except BreadlineError as error:
                self.trouble.append(error)
            except Exception as error:  # the log has the trace
                self.trouble.append(
                    OurFault(self._along.what, f"it broke ({type(error).__name__})", "an end")
                )
                raise
            finally:
                if self.trouble:
                    self.over.set()
            if not self.over.is_set():
                with self._turn:
                    self.found[one[0]] = made
                    self._along.another()
