"""The list of yards worked out beside its page, yard by yard, so that a long one shows how far it is."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from dataclasses import dataclass, field

from breadline.jobs.book import YardLine

Each = Callable[[], Iterable[YardLine]]


@dataclass
class Pass:
    """One way through the yards: the lines so far, and its end or its error."""

    lines: list[YardLine] = field(default_factory=list)
    coming: Future[None] | None = None

    def done(self, seconds: float) -> bool:
        """Whether it is through after waiting so long; an error is raised here. [s]"""
        assert self.coming is not None
        wait([self.coming], seconds)
        if self.coming.done():
            self.coming.result()
            return True
        return False


class Passes:
    """The ways through the yards of one running program, one at a time.

    Answers are kept by what they rest on, so that a second way through is quick; only one that began
    with the page that shows it counts, since the book may have changed under an earlier one.
    """

    def __init__(self) -> None:
        self._hands = ThreadPoolExecutor(1, "yards")
        self._beginning = threading.Lock()
        self._going: Pass | None = None

    def lines(self, each: Each, seconds: float) -> tuple[list[YardLine], bool]:
        """The lines of a list and whether they are all of them, after waiting so long at most. [s]"""
        with self._beginning:
            earlier = self._going
            going = earlier if earlier is not None and not _through(earlier) else self._begun(each)
        if not going.done(seconds):
            return list(going.lines), False
        if going is earlier:  # it began before this page was asked for
            with self._beginning:
                going = self._begun(each)
            if not going.done(seconds):
                return list(going.lines), False
        return list(going.lines), True

    def _begun(self, each: Each) -> Pass:
        made = Pass()

        def work() -> None:
            for line in each():
                made.lines.append(line)

        made.coming = self._hands.submit(work)
        self._going = made
        return made


def _through(one: Pass) -> bool:
    return one.coming is None or one.coming.done()
