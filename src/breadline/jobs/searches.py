"""Searches that go on beside their pages: each question begun once, then only looked at."""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import Generic, Protocol, TypeVar


class Going(Protocol):
    """A search that may still go on."""

    def leave(self) -> None:
        """Nobody looks at it any more: what can be stopped of it stops."""
        ...


S = TypeVar("S", bound=Going)


class Searches(Generic[S]):
    """The searches of one running program, the one asked for last at the end.

    Pages are answered in threads of the server: two that ask one question at once begin one search.
    ``room`` is how many are kept; the one that was asked for longest ago is left and forgotten.
    """

    def __init__(self, room: int) -> None:
        self.room = room
        self._kept: tuple[tuple[object, S], ...] = ()
        self._beginning = threading.Lock()

    def of(self, question: object, begin: Callable[[], S], again: Callable[[S], bool] | None = None) -> S:
        """The search for a question, begun where there is none yet.

        Parameters
        ----------
        question
            All that the answer hangs on; an equal one finds the same search.
        again
            Whether one that is there is not good enough, so that another begins.
        """
        with self._beginning:
            same = [search for asked, search in self._kept if asked == question]
            search = begin() if not same or (again is not None and again(same[-1])) else same[-1]
            kept = [one for one in self._kept if one[1] is not search]
            over = max(0, len(kept) + 1 - self.room)
            self._kept = (*kept[over:], (question, search))
            for _, old in kept[:over]:
                old.leave()
            return search

    def kept(self) -> tuple[S, ...]:
        """All that are remembered, the one asked for last at the end."""
        return tuple(search for _, search in self._kept)
