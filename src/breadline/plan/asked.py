"""What a keeper wants planned, and what cannot be asked."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from breadline.belief.gain import Scored, Situation
from breadline.errors import OurFault, PlanError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.need.yard import Given, Yard
from breadline.plan.clears import Clears
from breadline.plan.costs import Prices
from breadline.plan.ensemble import Ensemble
from breadline.plan.money import Amount, one_money
from breadline.plan.move import Move
from breadline.plan.plans import INTERVALS
from breadline.plan.ruled_out import start_possible
from breadline.plan.syrup import Kind
from breadline.plan.targets import MOST_FRAMES, Target, amounts, checked, last_day


@dataclass(frozen=True)
class Asked:
    """What a keeper wants planned, beside the yard."""

    target: Target
    prices: Prices
    portions_g: tuple[float, ...]  # a colony and round, as beetles and bees allow [g]
    intervals: tuple[int, ...] = INTERVALS  # [d]
    own_portions_g: tuple[tuple[float, ...], ...] = ()  # of each feed, where they differ [g]
    clears: Clears | None = None  # what colonies clear of a piece while it lies, where that is known
    most_rounds: int = 8
    rule: bool = True  # also plans whose rounds are left out while pollen comes in
    start: date | None = None  # the keeper's own first round, the only one then
    last_year: tuple[Given, ...] = ()  # on this year's dates
    last_year_feed: int = 0
    graded: tuple[float, ...] = ()  # frames of bees of single colonies [frames]
    names: tuple[str, ...] = ()  # of the colonies graded, in their order; none where they have none
    losses: float | None = None  # until the date; None takes the shelf's [share]
    honey_kg: float | None = None  # stores of the average colony, as sugar; None goes by "light" [kg]
    unfed_frames: float | None = None  # usual count on the date without feed, where none is foretold [frames]
    syrup: Kind | None = None  # given with the rounds, where stores are known
    sugar_beside: bool = False  # sugar or syrup goes on with the rounds, amounts told elsewhere
    move: Move | None = None  # the other place, as one more plan
    survival: Mapping[Situation, Scored] = field(default_factory=dict)  # learnt from own deaths [log odds]


def checked_asked(yard: Yard, asked: Asked, ensemble: Ensemble, reader: Reader) -> Asked:
    """The same, if it can be.

    Errors: PlanError for a target before today, no feed, a price of 0, a rate in another unit, a start
    before hives can be opened; OurFault where a feed's worth was drawn for another ensemble.
    """
    checked(asked.target, yard.today)
    asked.prices.checked()
    one_money((*amounts(asked.target), Amount(1.0, asked.prices.money, 2000)))
    for feed in asked.prices.feeds:
        if feed.worth.equivalence.shape != (ensemble.par.draws,):
            raise OurFault(f"feed {feed.name}", f"has {feed.worth.equivalence.size} draws of its worth",
                           f"{ensemble.par.draws}, one for each draw of the model")  # fmt: skip
    if asked.honey_kg is not None and not 0.0 <= asked.honey_kg <= 150.0:
        raise PlanError(
            "stores",
            say("{honey_kg:g} kg a colony", honey_kg=asked.honey_kg),
            say("0 to 150 kg a colony"),
            say("If you typed pounds, 60 lb is 27 kg"),
        )
    if asked.own_portions_g and len(asked.own_portions_g) != len(asked.prices.feeds):
        raise OurFault("pieces", f"of {len(asked.own_portions_g)} feeds", f"of {len(asked.prices.feeds)}")
    if asked.names and len(asked.names) != len(asked.graded):
        raise PlanError(
            "colonies graded",
            say("{names} names for {graded} of them", names=len(asked.names), graded=len(asked.graded)),
            say("a name for each, or none"),
        )
    if len(asked.names) > yard.colonies:
        raise PlanError(
            "colonies graded",
            say(
                "{names} of the {colonies} of {name}",
                names=len(asked.names),
                colonies=yard.colonies,
                name=yard.name,
            ),
            say("no more than stand there"),
            say("Leave out those that are gone"),
        )
    if any(not 0.0 <= frames <= MOST_FRAMES for frames in asked.graded):
        raise PlanError(
            "frames of a colony",
            f"{max(asked.graded):g}",
            say("0 to {most_frames:g} frames", most_frames=MOST_FRAMES),
        )
    if asked.start is not None:
        if asked.start < yard.today:
            raise PlanError(
                "start", say("{day} lies before today", day=day_and_year(asked.start)), say("today or later")
            )
        if asked.start >= last_day(asked.target):
            raise PlanError(
                "start",
                say("{day} is not before the day it is for", day=day_and_year(asked.start)),
                say("before {day}", day=day_and_year(last_day(asked.target))),
            )
        start_possible(ensemble, ensemble.day(asked.start), reader, yard.place.country)
    return asked
