"""Feed or move: the other place, as one more plan."""

from __future__ import annotations

from dataclasses import dataclass, fields, replace
from math import ceil

import numpy as np

from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.place_drivers import Columns, WeatherAhead, place_drivers
from breadline.need.season import Drivers
from breadline.need.season_tree import Ends, Leg, walk
from breadline.need.yard import Bloom, Place, Yard
from breadline.plan.ensemble import Ensemble, block_part
from breadline.plan.money import Amount
from breadline.plan.plans import NOTHING, Plan
from breadline.plan.ranked import Ranked, ranked
from breadline.plan.tree import Tree
from breadline.plan.tried import Question, judged
from breadline.span import FloatArray

MOVE = Plan("move")


@dataclass(frozen=True)
class Load:
    """A load of colonies there, and back if they come back."""

    cost: Amount  # of one load, all told [money/load]
    colonies: int  # it takes

    def a_colony(self, colonies: int) -> float:
        """Whole loads, shared by the ``colonies`` moved. [money/colony]

        Errors: PlanError for a load of no colonies or no price.
        """
        self.cost.checked(say("cost of a load"))
        if self.colonies < 1:
            raise PlanError(
                "load", say("takes {colonies} colonies", colonies=self.colonies), say("1 or more")
            )
        return self.cost.amount * ceil(colonies / self.colonies) / colonies


@dataclass(frozen=True)
class There:
    """Where they would go, and when."""

    day: int  # of the ensemble, on whose morning they stand there
    drivers: Drivers  # of the other place, for the members of the ensemble


@dataclass(frozen=True)
class Move:
    """Feed or move: where to, when, and for how much."""

    there: There
    load: Load


def other_place(
    yard: Yard,
    place: Place,
    bloom: tuple[Bloom, ...],
    weather: WeatherAhead,
    ensemble: Ensemble,
    reader: Reader,
) -> Drivers:
    """What the other place does to the colonies, over the days and members of the ensemble.

    Errors: PlanError where it has another number of weather paths, YardError where weather is too short.
    """
    if weather.flight_h.shape[0] != ensemble.paths:
        raise PlanError(
            "weather of the other place",
            say("has {shape} seasons", shape=weather.flight_h.shape[0]),
            say("{paths}, as here", paths=ensemble.paths),
            say("Use the same years for both places"),
        )
    there = replace(yard, place=place, bloom=bloom, given=())
    columns = Columns(np.arange(ensemble.paths), np.zeros(ensemble.paths))
    return place_drivers(there, weather, reader, ensemble.days, columns, ensemble.block.drivers.path)


def moved(question: Question, there: There, load: Load, index: np.ndarray) -> Ranked:
    """What moving brings, told as a plan, in the members at ``index``."""
    ensemble = question.ensemble
    here = block_part(ensemble.block, index)
    gone = replace(here, drivers=_from_day(here.drivers, there))
    legs, go = (Leg(0, ensemble.days, way=0),), ensemble.go(question.rule_from)
    both = [walk(block, go, legs, question.watch.of(index)) for block in (here, gone)]
    joined = {f.name: np.concatenate([getattr(one, f.name) for one in both]) for f in fields(Ends)}
    tree = Tree(legs, 2 * ensemble.days, 2 * ensemble.days)
    cost = load.a_colony(question.spread.colonies)
    return ranked(judged(question, (NOTHING, MOVE), index, Ends(**joined), tree, cost), 1)


def _from_day(here: Drivers, there: There) -> Drivers:
    other = there.drivers

    def joined(first: FloatArray, then: FloatArray) -> FloatArray:
        return np.concatenate([first[: there.day], then[there.day :]])

    return replace(
        here,
        flight_h=joined(here.flight_h, other.flight_h),
        pollen=joined(here.pollen, other.pollen),
        quality=joined(here.quality, other.quality),
        nectar=joined(here.nectar, other.nectar),
    )
