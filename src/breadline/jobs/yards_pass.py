"""The list of yards worked out beside its page, yard by yard, so that a long one shows how far it is."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextvars import copy_context
from dataclasses import dataclass, field

from breadline.jobs.book import Book, YardLine
from breadline.jobs.rounds_book import RoundsBook
from breadline.measures import Measures, told_to

Each = Callable[[], Iterable[YardLine]]


def each_with_plans(book: Book) -> Iterator[YardLine]:
    """The yards as they are worked out, and before the last is through their plans made ready too."""
    yield from book.each_yard()
    RoundsBook(book.path, book.today).plans()


@dataclass
class Pass:
    """One way through the yards: what it goes by, the lines so far, and its end or its error."""

    stand: str
    lines: list[YardLine] = field(default_factory=list)
    coming: Future[None] | None = None
    left: bool = False

    def done(self, seconds: float | None) -> bool:
        """Whether it is through after waiting so long, None to its end; an error is raised here. [s]"""
        assert self.coming is not None
        wait([self.coming], seconds)
        if self.coming.done():
            self.coming.result()
            return True
        return False


class Passes:
    """The ways through the yards of one running program, one at a time, each told to one kind of reader.

    The lines of the last one hold as long as the book stands as it did when it began; where it does not
    any more, one that is still on its way is left.
    """

    def __init__(self) -> None:
        self._hands = ThreadPoolExecutor(1, "yards")
        self._beginning = threading.Lock()
        self._going: dict[tuple[str, Measures], Pass] = {}  # by whom its lines are told

    def lines(self, each: Each, stand: str, seconds: float | None) -> tuple[list[YardLine], bool]:
        """The lines of a list and whether they are all of them, after waiting so long at most.

        Parameters
        ----------
        stand
            What the lines go by, in a word that changes when any of it does.
        seconds
            The longest wait; None waits for the end. [s]
        """
        with self._beginning:
            to = told_to()
            going = self._going.get(to)
            if going is None or going.stand != stand:
                going = self._going[to] = self._begun(each, stand, going)
        try:
            whole = going.done(seconds)
        except BaseException:
            with self._beginning:
                if self._going.get(to) is going:
                    del self._going[to]  # the next page tries again
            raise
        return list(going.lines), whole

    def _begun(self, each: Each, stand: str, earlier: Pass | None) -> Pass:
        if earlier is not None:
            earlier.left = True
        made = Pass(stand)

        def work() -> None:
            for line in each():
                if made.left:
                    return
                made.lines.append(line)

        made.coming = self._hands.submit(copy_context().run, work)
        return made
