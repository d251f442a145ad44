"""The cheapest mix for a page: at once, or, where whole things count, in a search that can be watched."""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping
from contextvars import copy_context
from dataclasses import dataclass, field, replace
from uuid import uuid4

from breadline.errors import BreadlineError, OurFault, RecipeError
from breadline.jobs.ration import Quotes
from breadline.jobs.ration_terms import offered, problem_of
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_refusals import refuse_pollen
from breadline.jobs.recipe_written import RecipeFile, Solving
from breadline.jobs.searches import Searches
from breadline.knowledge.ingredient import Ingredient, Price
from breadline.knowledge.shelf import Reader, Shelf
from breadline.language import say
from breadline.ration.ends import Ends, ends
from breadline.ration.model import Progress
from breadline.ration.problem import Counted, Making, Problem
from breadline.ration.solver import Conflict, Solved, cheapest, first_look, so_far
from breadline.ration.standing import Standing, standing
from breadline.ration.targets import Target

FIRST_S = 0.3  # how long the first look may take before a search goes on beside the page [s]
STANDING_S = 3.0  # most for working out how firmly a mix of whole things stands [s]
NEAR = 1e-9  # of a cost: nearer than this is the same
AT_ONCE = 12  # ingredients; with more, how firmly a mix stands is worked out beside the page
AFTER_PAGE_S = 0.05  # so that the page is written and sent before the work beside it takes its turns [s]
ROOM = 24  # searches kept, most of them ended at once; an older one is stopped and forgotten


@dataclass
class Search:
    """One search that goes on while its page is looked at.

    Parameters
    ----------
    file, problem
        What was asked.
    known
        The last whole answer.
    told
        How the search stands, with its best recipe so far; ``None`` before its first word.
    passed
        Every mix that was the best for a while, as the search stood when it came.
    stands
        How firmly the answer stands, once worked out.
    """

    file: RecipeFile
    problem: Problem
    known: Solved | Conflict
    key: str = field(default_factory=lambda: uuid4().hex)
    told: Progress | None = None
    stands: Standing | None = None
    both: Ends | None = None  # how it does at both ends of what sources say of its protein
    trouble: BreadlineError | None = None
    sought: bool = False  # the search has ended; how firmly its answer stands may still be open
    done: bool = False
    began: float = field(default_factory=time.monotonic)
    passed: list[Progress] = field(default_factory=list)
    _stop: threading.Event = field(default_factory=threading.Event)
    _left: bool = False
    _shown: tuple[Progress, Solved] | None = None  # how the search stood at the last look

    def __post_init__(self) -> None:
        if isinstance(first := self.known, Solved):
            self.passed.append(Progress(0.0, first.cost_per_kg, first.gap, first.shares_of_mixer))

    @property
    def found(self) -> Solved | Conflict:
        """The whole answer, or, while the search goes on, the best recipe so far."""
        told, known = self.told, self.known
        if self.sought or told is None or _cheaper(known, told.cost):
            return known
        if self._shown is None or self._shown[0].shares_of_mixer != told.shares_of_mixer:
            self._shown = told, so_far(self.problem, told)
        return self._shown[1]

    @property
    def seconds(self) -> float:
        """Since it began. [s]"""
        return time.monotonic() - self.began

    @property
    def limit(self) -> float:
        """How long it may go on. [s]"""
        return self.problem.making.time_limit_s

    @property
    def ended(self) -> bool:
        """Whether it seeks no more, or was told to stop."""
        return self.sought or self._stop.is_set()

    @property
    def unsaid(self) -> bool:
        """Whether it ended with its gap open, or before all was said of its mix."""
        if not self.ended:
            return False
        cut_short = self._left and self.done and self.stands is None and isinstance(self.known, Solved)
        return cut_short or _open(self.found)

    def stop(self) -> None:
        """Stay with the best mix so far."""
        self._stop.set()

    def wait(self, seconds: float) -> None:
        """Until it is done, but no longer than this. [s]"""
        until = time.monotonic() + seconds
        while not self.done and time.monotonic() < until:
            time.sleep(0.02)

    def leave(self) -> None:
        """Stop for good: a newer search has taken its place, and nobody asks how firmly this one stands."""
        self._left = True
        self.stop()

    def go_on(self) -> None:
        """Search in a thread of its own; HiGHS lets go of Python's lock meanwhile.

        The program waits for it as it ends, since HiGHS cut off halfway would abort it; so the search
        itself ends where the program does. A server's threads are not waited for, and would hand that on.
        """
        threading.Thread(
            target=copy_context().run, args=(self._run,), name="cheapest mix", daemon=False
        ).start()

    def _run(self) -> None:
        self._stop.wait(AFTER_PAGE_S)
        try:
            first = self.known
            if self.problem.making.counts_whole_things and _open(first):
                begin = first.shares_of_mixer if isinstance(first, Solved) else None
                now = cheapest(self.problem, start=begin, watch=self._watch, stop=self._stops)
                self.known = _better(first, now)
            self.sought = True
            self._stand()
        except BreadlineError as error:
            self.trouble = error
        except Exception as error:  # the page is told as well as the log
            self.trouble = OurFault(self.file.name, f"the search broke ({type(error).__name__})", "a mix")
            raise
        finally:
            self.sought = self.done = True

    def _stand(self) -> None:
        """How firmly the answer stands, and whether it keeps its targets at both ends."""
        if isinstance(self.known, Solved) and not (self._left or _ending()):
            brief = _brief(self.known)
            self.stands, self.both = standing(brief), ends(brief)

    def _watch(self, told: Progress) -> None:
        self.told = told
        if not self.passed or told.cost < self.passed[-1].cost * (1 - NEAR):
            self.passed.append(told)

    def _stops(self) -> bool:
        return self._stop.is_set() or _ending()


@dataclass(frozen=True)
class _Question:
    """What a search is for: by its model, not by how the file came to say it."""

    file: RecipeFile  # but for its prices, targets and what the solver may use, which the rest says
    targets: tuple[Target, ...]
    making: Making
    counted: Counted
    on_offer: Mapping[str, tuple[Ingredient, Price | None]]


class MixSearches(Searches[Search]):
    """The searches for cheapest mixes of one running program."""

    def __init__(self) -> None:
        super().__init__(ROOM)

    def begin(self, file: RecipeFile, quotes: Quotes, shelf: Shelf, *, by_hand: bool = False) -> Search:
        """A first answer, at once where it is the last word; else the search goes on beside the page.

        What is asked already is not searched for twice: a page that is loaded again, gone back to or
        opened beside finds the search for the same recipe, targets and prices, going on or ended; one
        that broke is begun anew.

        Parameters
        ----------
        by_hand
            Asked for by a form: older searches for the recipe stop, and one that ended with its gap
            open, or before all was said of its mix, goes on from it.

        Errors
        ------
        FeedRefused
            Before anything is worked out, where real pollen on offer may not be fed.
        RecipeError
            If no target is written, or as of ``cheapest``.
        """
        refuse_pollen(file, offered(file), all_ingredients(file), Reader(shelf))
        if not file.aims:
            raise RecipeError(
                "targets", say("none is written down"), say("at least one, such as protein"),
                say("Without one the cheapest mix is the cheapest ingredient"),
            )  # fmt: skip
        problem = problem_of(file, quotes)

        def begun() -> Search:
            return _begun(file, problem, self._stop_others(file.name) if by_hand else None)

        return self.of(
            _question(file, problem), begun,
            lambda there: there.trouble is not None or (by_hand and there.unsaid),
        )  # fmt: skip

    def _stop_others(self, name: str) -> Mapping[str, float] | None:
        """Stop the searches of this recipe; its last mix, where the next may begin. [share of a mixer]"""
        others = [search for search in self.kept() if search.file.name == name]
        for other in others:
            other.leave()
        mixes = [found for other in others if isinstance(found := other.found, Solved)]
        return mixes[-1].shares_of_mixer if mixes else None

    def by_key(self, key: str) -> Search | None:
        """A search by its key; None where it is forgotten."""
        return next((search for search in self.kept() if search.key == key), None)


def _question(file: RecipeFile, problem: Problem) -> _Question:
    on_offer = {kind.key: (kind, problem.prices.get(kind.key)) for kind in problem.ingredients}
    asked = replace(file, quotes=(), aims=(), solving=Solving())
    return _Question(asked, problem.targets, problem.making, problem.counted, on_offer)


def _begun(file: RecipeFile, problem: Problem, last: Mapping[str, float] | None) -> Search:
    """A search with its first answer; it goes on by itself where that is not the last word."""
    counts = problem.making.counts_whole_things
    found = (
        first_look(problem, min(FIRST_S, problem.making.time_limit_s), last) if counts else cheapest(problem)
    )
    search = Search(file, problem, found)
    if counts or (len(problem.ingredients) > AT_ONCE and isinstance(found, Solved)):
        search.sought = not (counts and _open(found))
        search.go_on()
        return search
    search._stand()
    search.sought = search.done = True
    return search


def _cheaper(known: Solved | Conflict, cost: float) -> bool:
    """Whether an answer is a mix that costs no more than this. [money/kg]"""
    return isinstance(known, Solved) and known.cost_per_kg <= cost * (1 + NEAR)


def _open(found: Solved | Conflict) -> bool:
    """Whether more time could change the answer."""
    return found.stopped or found.gap > 0 if isinstance(found, Solved) else not found.proven


def _ending() -> bool:
    """Whether the program is on its way out and waits for its threads."""
    return not threading.main_thread().is_alive()


def _brief(solved: Solved) -> Solved:
    """The answer with little time for what is still asked of it, where whole things are counted."""
    making = replace(solved.problem.making, time_limit_s=min(STANDING_S, solved.problem.making.time_limit_s))
    return replace(solved, problem=replace(solved.problem, making=making))


def _better(before: Solved | Conflict, now: Solved | Conflict) -> Solved | Conflict:
    """The later answer, unless it has no mix and the earlier one had, or a dearer one."""
    if isinstance(before, Solved) and (
        isinstance(now, Conflict) or now.cost_per_kg > before.cost_per_kg * (1 + NEAR)
    ):
        return before
    return now
