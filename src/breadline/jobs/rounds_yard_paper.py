"""What the sheets of one yard's plan are printed from: its rounds, feed, driving order and days.

Nothing of the search is in it, so that it can be kept with the plan that was chosen, and the sheets had
again when weather, prices and counts have moved on; ``rounds_paper_kept`` writes it out.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Literal

from breadline.jobs.recipe_written import RecipeFile
from breadline.jobs.rounds import USUAL_SYRUP_KG_L, syrup_beside
from breadline.jobs.rounds_answered import RoundsAnswer
from breadline.jobs.rounds_feeds import Quotes
from breadline.jobs.rounds_file import FeedAsked
from breadline.jobs.rounds_given import bare_visit, visits_given, who_gets_it
from breadline.jobs.rounds_stop_day import stop_day
from breadline.language import noted, say
from breadline.need.yard import Place
from breadline.plan.costs import labour_a_round, travel_a_round
from breadline.plan.money import Amount
from breadline.plan.order import SyrupToOrder
from breadline.plan.paper import RoundVisit, usual_spare
from breadline.plan.ranked import Ranked
from breadline.plan.truck_days import AS_THEY_COME, Drive
from breadline.sheets.syrup_words import poured, weighed

Source = Literal["quote", "recipe", "label"]


@dataclass(frozen=True)
class FeedPaper:
    """The feed as it was chosen."""

    name: str
    price: Amount  # [money/kg]
    box_kg: float | None = None  # it is sold in [kg]
    by: Source = "quote"
    version: str = ""  # of the recipe
    recipe: RecipeFile | None = None  # to be mixed by, as it was
    quotes: Quotes = field(default_factory=dict)  # of what it is mixed from, as they were


@dataclass(frozen=True)
class YardPaper:
    """What the sheets of one yard's plan are printed from.

    Parameters
    ----------
    yard, country
        Its name, and whose paper is usual there.
    visits
        Its rounds; none where the plan is to do nothing or to move.
    feed, syrup
        What is fed, and the syrup beside it; None where there is none.
    spare
        Loaded on top. [share]
    drive, mix_days_before
        The driving order, and how long before a round is mixed. [d]
    hives
        Those that were graded, with their frames of bees. [frames]
    stop_from, moved_on
        From when it is asked whether to stop; the first morning at the place it is moved to.
    round_labour, round_travel
        What one round costs beside the feed: labour [money/colony], and the way there and back for the
        whole yard [money].
    """

    yard: str
    country: str | None
    visits: tuple[RoundVisit, ...] = ()
    feed: FeedPaper | None = None
    syrup: SyrupToOrder | None = None
    spare: float = 0.0
    drive: Drive = AS_THEY_COME
    mix_days_before: int = 0
    hives: tuple[tuple[str, float], ...] = ()
    stop_from: date | None = None
    moved_on: date | None = None
    round_labour: float = 0.0
    round_travel: float = 0.0


def yard_paper(told: RoundsAnswer, at: Ranked) -> YardPaper:
    """What the sheets of a plan of the answer are printed from.

    Errors
    ------
    PlanError
        If a piece is smaller than people cut, or its syrup would have nothing beside it.
    """
    yard, plan = told.yard, told.plan
    rounds = plan.rounds
    moved_on = plan.move.on if at.plan.kind == "move" and plan.move is not None else None
    if not at.plan.pieces:
        return YardPaper(yard.name, yard.place.country, moved_on=moved_on)
    return YardPaper(
        yard=yard.name,
        country=yard.place.country,
        visits=visits_of(told, at),
        feed=_feed(plan.feeds[at.plan.feed]),
        syrup=_syrup(told),
        spare=rounds.spare if rounds.spare is not None else usual_spare(told.reader),
        drive=plan.drive,
        mix_days_before=rounds.mix_days_before,
        hives=plan.hives,
        stop_from=stop_day(told, at),
        round_labour=labour_a_round(plan.work),
        round_travel=travel_a_round(plan.work, 1),
    )


def visits_of(told: RoundsAnswer, at: Ranked) -> tuple[RoundVisit, ...]:
    """The rounds of a yard, with who gets what, the syrup beside them and what to look at."""
    may, who = told.allowed, who_gets_it(told, at)
    yard = replace(
        bare_visit(told, at, who),
        beetle_rule=may.limit.rule.why,
        look_at=_looks(told, at),
        rim=may.rim.needed if told.plan.rounds.rim is None else told.plan.rounds.rim,
        place=Place(told.yard.place.latitude, told.yard.place.longitude),
        feed=told.plan.feeds[at.plan.feed].name,
    )
    visits = visits_given(told, at, who, yard)
    beside = syrup_beside(told, at)
    if not beside:
        return visits
    return tuple(
        replace(visit, light=visit.colonies if sugar.sugar_kg else 0,
                syrup_each_l=poured(sugar.litres, yard.patty.units),
                dry_sugar_each_g=weighed(1000.0 * sugar.sugar_kg, yard.patty.units) if sugar.dry else 0.0)
        for visit, sugar in zip(visits, beside, strict=True)
    )  # fmt: skip


def _looks(told: RoundsAnswer, at: Ranked) -> tuple[str, ...]:
    rule = (
        (noted("a fresh arc of pollen: no piece for that hive"),)
        if at.plan.by_rule
        else (noted("fresh arcs of pollen"),)
    )
    beetles = (noted("maggots in what is left"),) if told.allowed.beetles != "none" else ()
    return (*rule, noted("what is left of the last piece"), *beetles)


def _feed(feed: FeedAsked) -> FeedPaper:
    known = feed.known
    if known is None:
        return FeedPaper(feed.name, feed.price, feed.box_kg)
    return FeedPaper(feed.name, feed.price, feed.box_kg, known.kind, known.version, known.file, known.quotes)


def _syrup(told: RoundsAnswer) -> SyrupToOrder | None:
    syrup = told.plan.syrup
    if syrup is None:
        return None
    kg = told.plan.syrup_kg_litre or USUAL_SYRUP_KG_L  # as its litres are worked out
    a_litre = Amount(syrup.price.amount * kg, syrup.price.money, syrup.price.year)
    return SyrupToOrder(syrup_name(round(100 * syrup.sugar)), a_litre)


def syrup_name(pct: int) -> str:
    """What the syrup of a plan is called: "syrup, 67 % sugar"."""
    return say("syrup, {pct} % sugar", pct=pct)
