"""One piece of work that goes on beside its page: begun once for a question, looked at, left."""

from __future__ import annotations

import contextvars
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Generic, TypeVar
from uuid import uuid4

from breadline.errors import BreadlineError, OurFault, RecordError
from breadline.going_on import ROWS, NobodyWaits, watched
from breadline.jobs.searches import Searches
from breadline.language import say

ROOM = 8  # kept; an older one is left
T = TypeVar("T")


@dataclass
class Beside(Generic[T]):
    """A piece of work, in the language of whoever asked for it.

    Parameters
    ----------
    what
        What is being done, in words.
    work
        Does it; is told how to find out whether anybody still wants it.
    address
        Where its answer belongs; "" where it has no address of its own.
    seen
        Whether its answer was handed out: what has an address is handed out once, then asked anew.
    far
        How many of its parts are done, of how many; 0 of 0 where it does not say.
    far_said
        The sentence that says so.
    """

    what: str
    work: Callable[[Callable[[], bool]], T]
    key: str = field(default_factory=lambda: uuid4().hex)
    came: T | None = None
    trouble: BreadlineError | None = None
    left: bool = False
    address: str = ""
    seen: bool = False
    far: tuple[int, int] = (0, 0)
    far_said: str = ROWS
    began: float = field(default_factory=time.monotonic)  # by a clock that is never set
    _over: threading.Event = field(default_factory=threading.Event)

    def go_on(self) -> Beside[T]:
        """Begin, in a thread of its own."""
        context = contextvars.copy_context()
        threading.Thread(target=context.run, args=(self._run,), name="beside", daemon=True).start()
        return self

    def done(self, seconds: float) -> bool:
        """Whether it is done after waiting no longer than this. [s]"""
        return self._over.wait(seconds)

    def seconds(self) -> int:
        """How long it has gone on. [s]"""
        return int(time.monotonic() - self.began)

    def leave(self) -> None:
        """Nobody wants it any more: what is not written down yet is not."""
        self.left = True

    def _going(self, done: int, of: int, far_said: str) -> bool:
        if of:
            self.far, self.far_said = (done, of), far_said
        return not self.left

    def _run(self) -> None:
        try:
            with watched(self._going):
                self.came = self.work(lambda: not self.left)
        except NobodyWaits:
            self.trouble = RecordError(say("this page"), say("nobody waits for it any more"), "")
        except BreadlineError as error:
            self.trouble = error
        except Exception as error:  # the page is told as well as the log
            self.trouble = OurFault(self.what, f"it broke ({type(error).__name__})", "an answer")
            raise
        finally:
            self._over.set()


class Besides(Searches[Beside[T]]):
    """The pieces of work of one running program."""

    def __init__(self) -> None:
        super().__init__(ROOM)

    def begin(
        self, question: object, what: str, work: Callable[[Callable[[], bool]], T], address: str = ""
    ) -> Beside[T]:
        """The work for a question; sent twice while it goes on, it is one."""
        return self.of(
            question,
            lambda: Beside(what, work, address=address).go_on(),
            lambda there: there.left or (there.done(0) and (there.seen or not there.address)),
        )

    def by_key(self, key: str) -> Beside[T] | None:
        """A piece of work by its key; None where it is forgotten."""
        return next((one for one in self.kept() if one.key == key), None)
