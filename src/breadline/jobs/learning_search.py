"""Learning from one's own trials beside its page: how far it is, a way to stop, and what came of it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Sequence
from contextvars import copy_context
from dataclasses import dataclass, field
from uuid import uuid4

from breadline.errors import BreadlineError, OurFault
from breadline.jobs.searches import Searches
from breadline.jobs.side_by_side import Along
from breadline.jobs.trial_file import TrialFile
from breadline.jobs.trial_lessons import Learning, learn_from
from breadline.language import say

ROOM = 8  # kept; an older one that still goes on ends by itself


@dataclass
class LearningSearch:
    """One learning that goes on while its page is looked at.

    Parameters
    ----------
    files, to
        What is learnt from, and where the lessons go.
    along
        How far it is.
    kept
        Names of the trials whose lessons are in the book.
    notes
        What could not be asked of the season model.
    trouble
        What stopped it, if anything did.
    """

    files: tuple[TrialFile, ...]
    to: Learning
    key: str = field(default_factory=lambda: uuid4().hex)
    along: Along = field(default_factory=Along)
    kept: list[str] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    trouble: BreadlineError | None = None
    done: bool = False

    def stop(self) -> None:
        """Keep no more lessons; those that are kept stay."""
        self.along.stop()

    def leave(self) -> None:
        """Nothing: whoever asked for it wants the lesson kept, looked at or not."""

    def wait(self, seconds: float) -> bool:
        """Whether it is done after waiting no longer than this. [s]"""
        until = time.monotonic() + seconds
        while not self.done and time.monotonic() < until:
            time.sleep(0.02)
        return self.done

    def go_on(self) -> None:
        """Learn in a thread of its own, which the program waits for: it ends soon after it is stopped."""
        work = copy_context().run  # what it says is said in the language of whoever asked
        threading.Thread(target=work, args=(self._run,), name="learning", daemon=False).start()

    def _run(self) -> None:
        try:
            for file in self.files:
                self.along.what = self.along.what or file.name
                self.notes.extend(learn_from(file, self.to, self.along).notes)
                self.kept.append(file.name)
        except BreadlineError as error:
            self.trouble = error
        except Exception as error:  # the page is told as well as the log
            self.trouble = OurFault(
                self.files[0].name,
                say("learning broke ({kind})", kind=type(error).__name__),
                say("a lesson"),
            )
            raise
        finally:
            self.done = True


class LearningSearches(Searches[LearningSearch]):
    """The learnings of one running program."""

    def __init__(self) -> None:
        super().__init__(ROOM)

    def begin(self, files: Sequence[TrialFile], to: Learning) -> LearningSearch:
        """The learning from these trials; sent twice while it goes on, it is one."""
        question = (tuple(one.digest for one in files), to)
        return self.of(question, _begun(tuple(files), to), lambda there: there.done)

    def under_way(self) -> tuple[LearningSearch, ...]:
        """The learnings that still go on: what they teach is in no belief yet."""
        return tuple(one for one in self.kept() if not one.done)

    def by_key(self, key: str) -> LearningSearch | None:
        """A learning by its key; None where it is forgotten."""
        return next((one for one in self.kept() if one.key == key), None)


def _begun(files: tuple[TrialFile, ...], to: Learning) -> Callable[[], LearningSearch]:
    def begun() -> LearningSearch:
        made = LearningSearch(files, to)
        made.go_on()
        return made

    return begun
