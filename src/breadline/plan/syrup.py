"""Syrup beside the protein: how much in each round, from stores and brood; and when it is refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np

from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.season_tree import Leg, walk
from breadline.need.strength import bread_g
from breadline.need.yard import Yard
from breadline.plan.ensemble import WEEK, Ensemble, block_part
from breadline.plan.plans import Plan
from breadline.plan.tried import Question, times_of

MEMBERS = 300  # as those that classes are worked out in, which an answer keeps


@dataclass(frozen=True)
class SyrupRound:
    """Sugar for the average colony in one round."""

    day: int  # of the ensemble
    stores_kg: float  # on that morning, as dry sugar, in the middle season [kg]
    sugar_kg: float  # to give [kg]
    syrup_kg: float  # the same as syrup; 0 where it is too cold for syrup [kg]
    litres: float  # of syrup [L]
    dry: bool  # too cold for syrup in most seasons: dry sugar or candy on top


@dataclass(frozen=True)
class Kind:
    """The syrup that is given."""

    sugar: float  # dry sugar in it [share]
    kg_litre: float  # [kg/L]


def syrup_possible(yard: Yard, plan: Plan, reader: Reader) -> None:
    """Nothing, where syrup has bread, protein feed or pollen coming in beside it.

    Syrup makes a colony go on rearing brood while there is no protein for it; it then uses up its bread
    and after that itself. Sources: [au_feeding].

    Errors: PlanError, with that reason.
    """
    if plan.pieces or yard.forage.coming_in in ("little", "plenty") or yard.forage.fresh_arcs:
        return
    cells, a_cell = reader.typical("bread.cells_per_deep_frame"), reader.typical("bread.g_per_cell")
    least = reader.typical("ladder.bread_frame_low") * cells * a_cell
    if bread_g(yard.count.bread, yard.count.bread_unit, a_cell, cells) >= least:
        return
    raise PlanError(
        "syrup",
        say(
            "no bread, no protein feed and no pollen coming in beside it: syrup keeps them "
            "rearing brood, they use up the last bread and then their own bodies, and the "
            "colony falls"
        ),
        say("bread of half a frame or more, a protein feed in the plan, or pollen coming in"),
        say("Put a protein feed into the plan, or give only a light colony sugar, as candy or dry"),
    )


def syrup_rounds(
    question: Question, plan: Plan, days: Sequence[int], kind: Kind, reader: Reader
) -> tuple[SyrupRound, ...]:
    """What to give on each of the ``days`` so that stores last to the next one with a reserve.

    Parameters
    ----------
    question
        With stores that are known, else there is nothing to go by.
    plan
        Of protein; extra bees and brood eat too.
    days
        Of the rounds, in order. [d]
    kind
        The syrup.
    reader
        ``plan.reserve_kg``, ``ladder.syrup_c``.

    Errors
    ------
    PlanError
        If stores are not known, or the syrup cannot be.
    """
    if question.watch.honey_g > 1e6:
        raise PlanError("stores", say("not known"), say("kg of honey of the average colony"),
                        say("Heft or weigh some hives and enter what they have"))  # fmt: skip
    if not 0.2 <= kind.sugar <= 0.85:
        raise PlanError("sugar of the syrup", f"{kind.sugar:g}", say("a share from 0.2 to 0.85"))
    ensemble, reserve = question.ensemble, reader.typical("plan.reserve_kg")
    used = _used_kg(question, plan, days)
    stores, found = question.watch.honey_g / 1000.0, []
    for k, day in enumerate(days):
        stores = max(0.0, stores - used[k])
        wanted = max(0.0, used[k + 1] + reserve - stores)
        dry = _too_cold(ensemble, day, reader)
        syrup = 0.0 if dry else wanted / kind.sugar
        found.append(SyrupRound(day, stores, wanted, syrup, syrup / kind.kg_litre, dry))
        stores += wanted
    return tuple(found)


def _used_kg(question: Question, plan: Plan, days: Sequence[int]) -> list[float]:
    """Dry sugar taken from stores up to the first of the ``days``, between them, and after the last. [kg]

    In the middle season. A piece does what is believed of the time in which it is eaten, as in the search;
    days with nectar leave stores alone, and nothing is counted that fills them.
    """
    ensemble = question.ensemble
    index, feed = ensemble.few(MEMBERS), question.prices.feeds[plan.feed]
    put = {day: sum(piece.grams for piece in plan.pieces if piece.day == day) for day in range(ensemble.days)}
    cuts = sorted({0, *days, *(piece.day for piece in plan.pieces), ensemble.days})
    legs = [
        Leg(first, last, grams=put[first], by_rule=plan.by_rule, way=way)
        for way, (first, last) in enumerate(pairwise(cuts))
    ]
    watch = replace(question.watch.of(index), feed_sugar=feed.sugar, nectar_bee_g=0.0)
    go, times = ensemble.go(question.rule_from), times_of(ensemble, feed.worth, index)
    drawn = walk(block_part(ensemble.block, index), go, legs, watch, times=times).drawn_g
    to = {cuts[0]: np.zeros(index.size), **{leg.last: drawn[leg.way] for leg in legs}}
    ends = [to[day] for day in (cuts[0], *days, ensemble.days)]
    return [float(np.median(then - before)) / 1000.0 for before, then in pairwise(ends)]


def _too_cold(ensemble: Ensemble, day: int, reader: Reader) -> bool:
    week = ensemble.tmax_c[:, day : day + WEEK]
    warm = np.mean(week.max(axis=1) >= reader.typical("ladder.syrup_c")) if week.size else 1.0
    return bool(warm < reader.typical("plan.opening_paths"))
