"""Whether anybody still waits for a piece of work, asked where it takes long; and how far it is.

Who begins the work says how to find out (``watched``); who does it asks at every step of a second or so
(``still_wanted``). Work that nobody watches, such as that of a command, goes on to its end.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from contextvars import ContextVar

from breadline.language import noted

# how many are done, of how many (0 of 0: not said), and the sentence that says so -> still wanted
Watch = Callable[[int, int, str], bool]
ROWS = noted("{n:,} of {all:,} rows.")
_WATCH: ContextVar[Watch | None] = ContextVar("watch", default=None)


class NobodyWaits(Exception):
    """Who asked for it has left: what is not saved yet is not.

    No error of the program: whoever takes an error for "this look cannot be had" must not take this for one.
    """


@contextmanager
def watched(watch: Watch) -> Iterator[None]:
    """All within is asked for by somebody who may leave."""
    before = _WATCH.set(watch)
    try:
        yield
    finally:
        _WATCH.reset(before)


def still_wanted(done: int = 0, of: int = 0, far: str = ROWS) -> None:
    """Go on, where somebody waits or nobody watches; ``done`` of so many is told to who waits, as ``far``.

    Errors
    ------
    NobodyWaits
        If nobody does any more.
    """
    watch = _WATCH.get()
    if watch is not None and not watch(done, of, far):
        raise NobodyWaits
