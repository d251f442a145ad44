"""Syrup beside the protein: how much in each round, from stores and brood; and when it is refused."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from breadline.errors import PlanError
from breadline.knowledge.shelf import Reader
from breadline.need.season import lived
from breadline.need.strength import bread_g
from breadline.need.yard import Yard
from breadline.plan.ensemble import WEEK, Ensemble, block_part
from breadline.plan.plans import Plan
from breadline.plan.tried import Question
from breadline.span import FloatArray

MEMBERS = 300


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
        "no bread, no protein feed and no pollen coming in beside it: syrup keeps them rearing brood, they "
        "use up the last bread and then their own bodies, and the colony falls",
        "bread of half a frame or more, a protein feed in the plan, or pollen coming in",
        "Put a protein feed into the plan, or give only a light colony sugar, as candy or dry",
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
        raise PlanError("stores", "not known", "kg of honey of the average colony",
                        "Heft or weigh some hives and enter what they have")  # fmt: skip
    if not 0.2 <= kind.sugar <= 0.85:
        raise PlanError("sugar of the syrup", f"{kind.sugar:g}", "a share from 0.2 to 0.85")
    ensemble, reserve = question.ensemble, reader.typical("plan.reserve_kg")
    used = _used_kg(question, plan)
    stores, before, found = question.watch.honey_g / 1000.0, ensemble.today, []
    for k, day in enumerate(days):
        stores = max(0.0, stores - float(used[before:day].sum()))
        until = days[k + 1] if k + 1 < len(days) else ensemble.days
        wanted = max(0.0, float(used[day:until].sum()) + reserve - stores)
        dry = _too_cold(ensemble, day, reader)
        syrup = 0.0 if dry else wanted / kind.sugar
        found.append(SyrupRound(day, stores, wanted, syrup, syrup / kind.kg_litre, dry))
        stores, before = stores + wanted, day
    return tuple(found)


def _used_kg(question: Question, plan: Plan) -> FloatArray:
    """Dry sugar taken from stores on each day in the middle season, shape (days,). [kg]"""
    ensemble, watch = question.ensemble, question.watch
    index = ensemble.few(MEMBERS)
    block = block_part(ensemble.block, index)
    feed = question.prices.feeds[plan.feed]
    put = block.drivers.put_on_g.copy()
    for piece in plan.pieces:
        put[piece.day] += piece.grams
    fed = replace(
        block,
        drivers=replace(block.drivers, put_on_g=put),
        equivalence=feed.worth.equivalence[ensemble.draw[index]],
    )
    course = lived(fed, ("adults", "brood", "eaten_g"))
    used = watch.sugar_bee_g * course.adults + watch.sugar_cell_g * course.brood - feed.sugar * course.eaten_g
    drawn = np.where(fed.drivers.nectar[:, fed.drivers.path] < watch.nectar_from, np.maximum(0.0, used), 0.0)
    return np.asarray(np.median(drawn, axis=1) / 1000.0)


def _too_cold(ensemble: Ensemble, day: int, reader: Reader) -> bool:
    week = ensemble.tmax_c[:, day : day + WEEK]
    warm = np.mean(week.max(axis=1) >= reader.typical("ladder.syrup_c")) if week.size else 1.0
    return bool(warm < reader.typical("plan.opening_paths"))
