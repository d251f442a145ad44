"""What a person is told about a yard's rounds, and everything it rests on."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from breadline.belief.carried import Carried
from breadline.belief.gain import Situation
from breadline.errors import PlanError
from breadline.jobs.kept_back import Kept
from breadline.jobs.rounds_file import PlanFile
from breadline.jobs.rounds_portions import Allowed
from breadline.jobs.season import FigureUsed
from breadline.knowledge.calendars import calendar
from breadline.knowledge.countries import law_of
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.advice import Advice, advise
from breadline.need.fit.last_look import as_last_looked
from breadline.need.yard import Yard
from breadline.plan.classes import Classes
from breadline.plan.plans import Way
from breadline.plan.ranked import Ranked
from breadline.plan.rounds import Answer
from breadline.plan.why import best_fed

CLOSE_CHANCE = 0.02  # plans whose chance is nearer than this are one on a list [share]
NOT_ITS_WORTH = noted(
    "An analysis does not say what a feed is worth to a colony; what is believed is of feeds as such."
)


@dataclass(frozen=True)
class RoundsAnswer:
    """What a person is told about a yard's rounds, and everything it rests on."""

    yard: Yard
    plan: PlanFile
    answer: Answer
    season: Advice  # what the yard's facts say, without the seasons ahead
    allowed: Allowed
    situation: Situation
    frames: float  # of bees, of the average colony on the last look [frames]
    notes: tuple[str, ...]
    figures: tuple[FigureUsed, ...]
    seed: int
    reader: Reader = field(repr=False, compare=False)
    likely: str = ""  # the belief about feeding in this situation, as a sentence
    learnt: Carried | None = None  # what one's own seasons made of it
    threshold: float = 0.0  # bees with pollen at the entrance from which feeding stops [share]
    kept: tuple[Kept, ...] = ()  # what check groups that run in the yard keep back
    who: Mapping[tuple[int, Way], Classes] = field(default_factory=dict, repr=False)  # of the plans, by feed

    @property
    def feeds_said(self) -> tuple[str, ...]:
        """What recipes and labels say of the feeds, and what they shift; empty where prices were typed."""
        units = self.allowed.patty.units
        said = [one.known.said(units) for one in self.plan.feeds if one.known is not None]
        return (say(NOT_ITS_WORTH), *said) if said else ()

    @property
    def before(self) -> Advice | None:
        """What speaks against any round now; None where nothing does."""
        return self.season if no_round(self.yard, self.season) else None

    @property
    def plans(self) -> tuple[Ranked, ...]:
        """The plans worth looking at, "do nothing" first, then as last year, then by money."""
        return worth_a_look(self.answer)

    @property
    def best_at(self) -> int:
        """Which of ``plans`` is the best one."""
        best = self.answer.found.best.plan
        return next(k for k, one in enumerate(self.plans) if one.plan.key == best.key)

    def taken(self, at: int | None) -> Ranked:
        """One of the plans by its number, the best where none is named.

        Errors: PlanError for a number that is not in the list, or for a plan that is struck out.
        """
        if at is None:
            return self.plans[self.best_at]
        where = say("plan of {yard}", yard=self.yard.name)
        if not 0 <= at < len(self.plans):
            raise PlanError(
                where,
                say("there is no number {at}", at=at),
                say("0 to {plans}", plans=len(self.plans) - 1),
                say("The list of breadline rounds search numbers them"),
            )
        if why := self.plans[at].struck:
            raise PlanError(
                where,
                say("number {at} is struck out: {why}", at=at, why=why),
                say("a plan that is not"),
                say("Take another plan of the list"),
            )
        return self.plans[at]


def worth_a_look(answer: Answer) -> tuple[Ranked, ...]:
    """The plans of an answer worth looking at, "do nothing" first, then as last year, then by money."""
    found = answer.found
    shown = [found.nothing, *([found.last_year] if found.last_year else [])]
    if not found.best.plan.pieces and (nearest := best_fed(found)) is not None:
        shown.append(nearest)  # of which the sentences above the list speak
    shown = list({one.plan.key: one for one in shown}.values())
    ways, chance = {one.plan.key for one in shown}, max(found.best.chance, found.nothing.chance)
    for one in (found.best, *found.frontier):
        again = one.plan.key in ways or not one.plan.pieces
        if again or (one is not found.best and one.chance < chance + CLOSE_CHANCE):
            continue
        ways.add(one.plan.key)
        shown.append(one)
        chance = max(chance, one.chance)
    if answer.move is not None:
        shown.append(answer.move)
    return tuple(shown)


def day_of(told: RoundsAnswer, day: int) -> date:
    """Date of a day of the answer's seasons. [d]"""
    return told.answer.question.ensemble.on(day)


def season_says(yard: Yard, reader: Reader) -> Advice:
    """What a yard's facts say before any plan: mites, queens, stores, law, and pollen as it is seen."""
    starter = calendar(yard.place.region) if yard.place.region else None
    return advise(as_last_looked(yard, None), None, reader, law_of(yard.place.country), starter)


def no_round(yard: Yard, said: Advice) -> bool:
    """Whether the facts alone speak against any round now, whatever it costs."""
    if said.answer == "something_first" or said.state == "stop" or said.rung == "law":
        return True
    # Fed in a flow colonies gained nothing: plenty in fresh arcs is "stop" where feed is on, no start here.
    if said.answer == "no_need" and yard.forage.coming_in == "plenty" and yard.forage.fresh_arcs:
        return True
    # Fall feeding for winter bees was tried and did nothing; a bare comb is another matter.
    return said.answer == "no_need" and yard.goal is not None and yard.goal.aim == "winter_bees"
