"""Searches for plans that run while their page waits, their progress read by every look at the page."""

from __future__ import annotations

from collections.abc import Callable
from concurrent.futures import Future, ThreadPoolExecutor, wait
from contextvars import copy_context
from dataclasses import dataclass

from breadline.jobs.rounds import RoundsAnswer
from breadline.jobs.searches import Searches
from breadline.plan.search import Look

ROOM = 12  # searches kept, unless more yards are picked together
AT_ONCE = 2  # that run side by side
Work = Callable[[Callable[[Look], None]], RoundsAnswer]


@dataclass(frozen=True)
class PlanSearch:
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

    def leave(self) -> None:
        """Nothing: it ends by itself, and a page that waits for it gets its answer."""


class PlanSearches(Searches[PlanSearch]):
    """The searches for plans of one running program."""

    def __init__(self) -> None:
        super().__init__(ROOM)
        self._hands = ThreadPoolExecutor(AT_ONCE, "plans")

    def make_room(self, yards: int) -> None:
        """Keep the searches of so many yards, whose sheets are asked for together."""
        self.room = max(self.room, yards)

    def of_plan(self, question: tuple[str, ...], work: Work) -> PlanSearch:
        """The search for a plan, begun where there is none yet; ``work`` tells of each look."""
        return self.of(question, lambda: self._begun(work))

    def _begun(self, work: Work) -> PlanSearch:
        looks: list[Look] = []
        # in the language, too, and the measures in which it was asked
        return PlanSearch(looks, self._hands.submit(copy_context().run, work, looks.append))
