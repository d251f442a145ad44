"""The cheapest mix for a page: at once, or, where whole things count, in a search that can be watched."""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from uuid import uuid4

from breadline.errors import BreadlineError, OurFault, RecipeError
from breadline.jobs.ration import Quotes
from breadline.jobs.ration_terms import offered, problem_of
from breadline.jobs.recipe_ingredients import all_ingredients
from breadline.jobs.recipe_refusals import refuse_pollen
from breadline.jobs.recipe_written import RecipeFile, Solving
from breadline.knowledge.shelf import Reader, Shelf
from breadline.ration.ends import Ends, ends
from breadline.ration.model import Progress
from breadline.ration.problem import Problem
from breadline.ration.solver import Conflict, Solved, cheapest, first_look, so_far
from breadline.ration.standing import Standing, standing

FIRST_S = 0.3  # how long the first look may take before a search goes on beside the page [s]
STANDING_S = 3.0  # most for working out how firmly a mix of whole things stands [s]
NEAR = 1e-9  # of a cost: nearer than this is the same
AT_ONCE = 12  # ingredients; with more, how firmly a mix stands is worked out beside the page
AFTER_PAGE_S = 0.05  # so that the page is written and sent before the work beside it takes its turns [s]
MOST_KEPT = 6  # searches; an older one is stopped and forgotten


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
        threading.Thread(target=self._run, name="cheapest mix", daemon=False).start()

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


class Searches:
    """The searches of one running program, newest last."""

    def __init__(self) -> None:
        self._kept: dict[str, Search] = {}
        self._one_at_a_time = threading.Lock()  # pages are answered in threads of the server
        self._beginning = threading.Lock()

    def begin(self, file: RecipeFile, quotes: Quotes, shelf: Shelf, *, by_hand: bool = False) -> Search:
        """A first answer, at once where it is the last word; else the search goes on beside the page.

        What is asked already is not searched for twice: a page that is loaded again, gone back to or
        opened beside finds the search for the same recipe, targets and prices, going on or ended.

        Parameters
        ----------
        by_hand
            Asked for by a form: older searches for the recipe stop, and one that ended with its gap
            open goes on from its mix.

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
                "targets", "none is written down", "at least one, such as protein",
                "Without one the cheapest mix is the cheapest ingredient",
            )  # fmt: skip
        problem = problem_of(file, quotes)
        with self._beginning:  # two pages of one question begin one search
            there = self._same(file, problem)
            if there is not None and not (by_hand and there.ended and _open(there.found)):
                return there
            return self._begun(file, problem, self._stop_others(file.name) if by_hand else None)

    def _begun(self, file: RecipeFile, problem: Problem, last: Mapping[str, float] | None) -> Search:
        counts = problem.making.counts_whole_things
        found = (
            first_look(problem, min(FIRST_S, problem.making.time_limit_s), last)
            if counts
            else cheapest(problem)
        )
        search = Search(file, problem, found)
        if counts or (len(problem.ingredients) > AT_ONCE and isinstance(found, Solved)):
            self._keep(search)
            search.sought = not (counts and _open(found))
            search.go_on()
            return search
        search._stand()
        search.sought = search.done = True
        return search

    def _same(self, file: RecipeFile, problem: Problem) -> Search | None:
        """The newest search for the same; one that broke is none."""
        with self._one_at_a_time:
            kept = [*self._kept.values()]
        return next(
            (s for s in reversed(kept) if s.trouble is None and _asks_the_same(s, file, problem)), None
        )

    def _stop_others(self, name: str) -> Mapping[str, float] | None:
        """Stop the searches of this recipe; its last mix, where the next may begin. [share of a mixer]"""
        last: Mapping[str, float] | None = None
        with self._one_at_a_time:
            for other in self._kept.values():
                if other.file.name == name:
                    other.leave()
                    last = other.found.shares_of_mixer if isinstance(other.found, Solved) else last
        return last

    def _keep(self, search: Search) -> None:
        with self._one_at_a_time:
            self._kept[search.key] = search
            while len(self._kept) > MOST_KEPT:
                self._kept.pop(next(iter(self._kept))).leave()

    def of(self, key: str) -> Search | None:
        """A search by its key; None where it is forgotten."""
        return self._kept.get(key)


def _asks_the_same(search: Search, file: RecipeFile, problem: Problem) -> bool:
    """Whether a search is for this: by its model, not by how the file came to say it."""
    mine, its = replace(file, quotes=(), aims=(), solving=Solving()), search.file
    if mine != replace(its, quotes=(), aims=(), solving=Solving()):
        return False
    one, other = search.problem, problem
    return (one.targets, one.making, one.counted) == (other.targets, other.making, other.counted) and (
        {i.key: (i, one.prices.get(i.key)) for i in one.ingredients}
        == {i.key: (i, other.prices.get(i.key)) for i in other.ingredients}
    )


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
