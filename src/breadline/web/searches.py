"""Searches that run while their page waits: each asked once, its progress read by every look at the page."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import dataclass

from breadline.jobs.rounds import RoundsAnswer
from breadline.plan.search import Look

MOST = 12  # searches kept; the oldest that is done goes first
AT_ONCE = 2  # that run side by side
Key = tuple[str, ...]
Work = Callable[[Callable[[Look], None]], RoundsAnswer]


@dataclass(frozen=True)
class Search:
    """One search: looks so far, then its answer or its error."""

    looks: list[Look]
    coming: Future[RoundsAnswer]

    def done(self, seconds: float | None = None) -> bool:
        """Whether it is done after waiting so long, None as long as it takes. [s]"""
        wait([self.coming], seconds)
        return self.coming.done()

    @property
    def answer(self) -> RoundsAnswer:
        """The answer, waited for; its error is raised here."""
        return self.coming.result()


class Searches:
    """The searches of one app."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._hands = ThreadPoolExecutor(AT_ONCE, "search")
        self._all: OrderedDict[Key, Search] = OrderedDict()

    def of(self, key: Key, work: Work) -> Search:
        """The search of this key, begun where there is none yet."""
        with self._lock:
            if key not in self._all:
                looks: list[Look] = []
                self._all[key] = Search(looks, self._hands.submit(work, looks.append))
                over = max(0, len(self._all) - MOST)
                for old in [k for k, one in self._all.items() if one.coming.done()][:over]:
                    del self._all[old]
            self._all.move_to_end(key)
            return self._all[key]
