"""Plans tried in the seasons of a yard: what each one brings and costs, season by season."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np

from breadline.need.season import Block
from breadline.need.season_tree import FIELDS, Ends, Leg, Times, Watch, walk
from breadline.plan.believed import Fade, last_fed, left_over, no_more_than_believed, share_had
from breadline.plan.costs import Prices, labour_a_round, travel_a_round
from breadline.plan.ensemble import Ensemble, block_part
from breadline.plan.equivalence import FeedWorth
from breadline.plan.plans import Plan
from breadline.plan.starving import Stores, starved
from breadline.plan.surviving import Survival, kept, share_of_trial, survival_draws
from breadline.plan.targets import Frames, HoneyFlow, Target
from breadline.plan.tree import Tree, tree
from breadline.plan.value import Reached, Spread, worth
from breadline.span import FloatArray

LANE = 32  # members of a part are a multiple of it, so that no work is done twice
Spreading = Callable[[Callable[[Any], Any], Sequence[Any]], Iterable[Any]]  # map, or one over processes


@dataclass(frozen=True)
class Question:
    """All that a plan's worth rests on."""

    ensemble: Ensemble
    target: Target
    spread: Spread
    prices: Prices
    watch: Watch
    unfed_frames: FloatArray | None  # where no frames are foretold on the day, shape (members,) [frames]
    rule_from: float  # pollen from which a round by rule is left out [-]
    fades_days: float  # after the last round, of what the belief adds to the model [d]
    crop_power: FloatArray  # how a crop goes with field bees, shape (columns of the place,) [log a log]
    stores: Stores  # how they lie between colonies, and whether sugar comes with the rounds
    close: float  # nearer than this plans are the same [money/colony]
    survival: tuple[Survival, ...] | None = None  # of ``survival_belief``; None: nothing is believed

    def of(self, index: np.ndarray) -> Question:
        """The same in the members at ``index``, as many of every weather path."""
        unfed = None if self.unfed_frames is None else self.unfed_frames[index]
        ensemble = self.ensemble.of(index)
        return replace(self, ensemble=ensemble, watch=self.watch.of(index), unfed_frames=unfed)


@dataclass(frozen=True)
class Tried:
    """Arrays of shape (plans, members) unless said; the first plan is "do nothing"."""

    plans: tuple[Plan, ...]
    frames: FloatArray  # of bees on the day [frames]
    brood: FloatArray  # [frames]
    nurses: FloatArray  # bees ten days old or younger [frames]
    starved: FloatArray  # of the colonies, before the day [share]
    kept: FloatArray  # alive of what does not starve them, for one alive where nothing is fed [ratio]
    value: FloatArray  # [money/colony]
    making: FloatArray  # [share]
    rounds: FloatArray  # really given [rounds]
    grams: FloatArray  # put on a colony [g]
    sugar_g: FloatArray  # eaten beyond what the unfed colony eats [g]
    costs: Costs
    bare_on: FloatArray  # day [d]
    crowded_on: FloatArray  # day [d]
    gain: FloatArray  # the belief that each member holds, shape (feeds, members) [log ratio]
    tree: Tree
    as_one: bool = False  # the yard is paid by a sample, all of it or none

    @property
    def money(self) -> FloatArray:
        """Value less all costs. [money/colony]"""
        return self.value - self.costs.total

    @property
    def left(self) -> FloatArray:
        """Colonies there on the day for one that would be, unfed and with plenty of stores. [ratio]"""
        return np.asarray(self.kept * (1.0 - self.starved))

    def of(self, members: np.ndarray) -> Tried:
        """The same in some of its members: their places, or which of them, shape (members,)."""
        some: dict[str, Any] = {
            f.name: getattr(self, f.name)[:, members]
            for f in fields(self)
            if isinstance(getattr(self, f.name), np.ndarray)
        }
        costs = Costs(*(getattr(self.costs, f.name)[:, members] for f in fields(Costs)))
        return replace(self, costs=costs, **some)

    def with_more(self, other: Tried) -> Tried:
        """These plans and those of ``other``, tried in the same members; its first, "do nothing", once."""
        both: dict[str, Any] = {
            name: np.concatenate([getattr(self, name), getattr(other, name)[1:]])
            for name in (f.name for f in fields(self))
            if name != "gain" and isinstance(getattr(self, name), np.ndarray)
        }
        costs = [np.concatenate([getattr(self.costs, f.name), getattr(other.costs, f.name)[1:]])
                 for f in fields(Costs)]  # fmt: skip
        return replace(self, plans=self.plans + other.plans[1:], costs=Costs(*costs), **both)


@dataclass(frozen=True)
class Costs:
    """Of a plan, season by season; arrays of shape (plans, members)."""

    feed: FloatArray  # [money/colony]
    labour: FloatArray  # [money/colony]
    travel: FloatArray  # [money/colony]
    syrup: FloatArray  # [money/colony]

    @property
    def total(self) -> FloatArray:
        """[money/colony]"""
        return self.feed + self.labour + self.travel + self.syrup


@dataclass(frozen=True)
class _Part:
    block: Block
    go: FloatArray
    legs: tuple[Leg, ...]
    watch: Watch
    times: Times


def _walked(part: _Part) -> Ends:
    return walk(part.block, part.go, part.legs, part.watch, times=part.times)


def tried(
    question: Question, plans: Sequence[Plan], index: np.ndarray, spreading: Spreading = map, parts: int = 1
) -> Tried:
    """Try plans, the first of them "do nothing", in the members at ``index``.

    Parameters
    ----------
    question
        What their worth rests on.
    plans
        Two that are the same are walked once.
    index
        Members of the ensemble.
    spreading
        A ``map``, or one that spreads the parts over processes; the answer is the same.
    parts
        In how many parts the members are worked.
    """
    ends, whole = ways_ended(question, plans, index, spreading, parts)
    return judged(question, plans, index, ends, whole)


def judged(
    question: Question, plans: Sequence[Plan], index: np.ndarray, ends: Ends, whole: Tree, load: float = 0.0
) -> Tried:
    """What plans that ended so are worth; the first is "do nothing".

    ``load`` is what moving costs, for plans of that kind. [money/colony]
    """
    ensemble, feeds = question.ensemble, question.prices.feeds
    draw = ensemble.draw[index]
    had = share_had(plans, feeds, ends.eaten_by_kind_g, draw)
    column = ensemble.block.drivers.path[index]
    fed_until = last_fed(plans, ensemble.by_day(feeds[0].worth.situation))[:, :, column]
    more = left_over(plans, feeds, had, draw, fed_until, Fade(ensemble.days - 1, question.fades_days))
    adults = ends.adults * more * ensemble.bees_times[index]
    brood, field = ends.brood * more * ensemble.brood_times[index], ends.flow_field * more
    base = adults / ensemble.bees_a_frame
    if question.unfed_frames is not None:
        ratio = adults / np.maximum(adults[:1], 1.0)
        base = question.unfed_frames[index] * no_more_than_believed(plans, feeds, ratio, had, draw)
    scale = base / np.maximum(adults / ensemble.bees_a_frame, 1e-9)
    flow = np.maximum(field, 1e-9) / np.maximum(field[:1], 1e-9)
    if question.unfed_frames is not None:
        flow = no_more_than_believed(plans, feeds, flow, had, draw)
    flow = flow ** question.crop_power[ensemble.block.drivers.path[index]]
    in_frames = np.asarray(brood / ensemble.cells_a_frame * scale)
    nurses = np.asarray(ends.nurses * more * ensemble.bees_times[index] / ensemble.bees_a_frame * scale)
    seen = worth(question.target, Reached(base, in_frames, flow, nurses), question.spread)
    gone = starved(plans, ends, question.watch, question.stores, ensemble.days - 1)
    more_live = _kept(question, plans, had, draw)
    counts_colonies = not isinstance(question.target, HoneyFlow) and not _as_one(question.target)
    rounds, grams = _given(question, plans, index)
    sugar = _sugar(question.watch.of(index), question, plans, ends)
    return Tried(
        plans=tuple(plans),
        frames=base,
        brood=in_frames,
        nurses=nurses,
        starved=gone,
        kept=more_live,
        value=seen.money * more_live * (1.0 - gone),
        making=seen.making * (1.0 - gone) * (more_live if counts_colonies else 1.0),
        rounds=rounds,
        grams=grams,
        sugar_g=sugar,
        costs=_costs(question, plans, rounds, grams, sugar, load),
        bare_on=ends.bare_on.copy(),  # a view would keep all that the walk left behind
        crowded_on=ends.crowded_on.copy(),
        gain=np.stack([feed.worth.gain[draw] for feed in question.prices.feeds]),
        tree=whole,
        as_one=_as_one(question.target),
    )


def _as_one(target: Target) -> bool:
    """Whether the yard is paid by a sample, all of it or none."""
    return isinstance(target, Frames) and target.paid == "sample_average"


def _kept(question: Question, plans: Sequence[Plan], had: FloatArray, draw: np.ndarray) -> FloatArray:
    """What is believed of feeding and survival, on the losses of the yard; shape (plans, members). [ratio]"""
    if question.survival is None:
        return np.ones(had.shape[1:])
    log_odds = [survival_draws(feed, question.survival) for feed in question.prices.feeds]
    of_trial = share_of_trial(plans, question.survival, had, question.ensemble.days - 1)
    return kept(plans, log_odds, of_trial, draw, question.spread.alive)


def ways_ended(
    question: Question, plans: Sequence[Plan], index: np.ndarray, spreading: Spreading = map, parts: int = 1
) -> tuple[Ends, Tree]:
    """How the seasons ended under each plan, and the tree they were walked in; arguments as in ``tried``.

    One tree for each feed that is worth something else; the ways are put back into the order of plans.
    """
    ensemble, feeds = question.ensemble, question.prices.feeds
    out = np.empty((len(FIELDS), len(plans), index.size))
    go, alone, shared = ensemble.go(question.rule_from), 0, 0
    legs: list[Leg] = []
    block = block_part(ensemble.block, index)
    of = {id(feed.worth): feed for feed in reversed(feeds)}
    for worth_id, feed in of.items():
        mine = [k for k, p in enumerate(plans) if id(feeds[p.feed].worth) == worth_id]
        if not mine:
            continue
        ways = {plans[k].way: None for k in mine}
        at = {way: n for n, way in enumerate(ways)}
        grown = tree(tuple(ways), ensemble.days)
        times = times_of(ensemble, feed.worth, index)
        watch = replace(question.watch.of(index), feed_sugar=feed.sugar)
        some = [
            _Part(
                block_part(block, part),
                go,
                grown.legs,
                watch.of(part),
                replace(times, worth=times.worth[:, part]),
            )
            for part in _parts(index.size, parts)
        ]
        done = list(spreading(_walked, some))
        for f, name in enumerate(FIELDS):
            each_way = np.concatenate([getattr(one, name) for one in done], axis=1)
            out[f, mine] = each_way[[at[plans[k].way] for k in mine]]
        legs, alone, shared = [*legs, *grown.legs], alone + grown.days_alone, shared + grown.days_shared
    return Ends(**dict(zip(FIELDS, out, strict=True))), Tree(tuple(legs), alone, shared)


def times_of(ensemble: Ensemble, worth: FeedWorth, index: np.ndarray) -> Times:
    """What a feed is worth day by day to the members at ``index``: by the situation that holds on a day."""
    return Times(
        ensemble.by_day(worth.situation),
        np.stack([one.equivalence[ensemble.draw[index]] for one in worth.by_situation]),
    )


def _parts(members: int, parts: int) -> list[np.ndarray]:
    size = -(-members // max(1, parts))
    size = -(-size // LANE) * LANE
    return [np.arange(first, min(first + size, members)) for first in range(0, members, size)]


def _given(question: Question, plans: Sequence[Plan], index: np.ndarray) -> tuple[FloatArray, FloatArray]:
    """Rounds, and feed put on [g], of each plan in each season."""
    go = question.ensemble.go(question.rule_from)
    column = question.ensemble.block.drivers.path[index]
    rounds, grams = np.zeros((len(plans), index.size)), np.zeros((len(plans), index.size))
    for k, plan in enumerate(plans):
        for piece in plan.pieces:
            on = go[piece.day, column] if plan.by_rule else 1.0
            rounds[k] += on
            grams[k] += on * piece.grams
    return rounds, grams


def _sugar(watch: Watch, question: Question, plans: Sequence[Plan], ends: Ends) -> FloatArray:
    feeds = question.prices.feeds
    spared = np.array([feeds[plan.feed].sugar for plan in plans])[:, None] * ends.eaten_g
    used = watch.sugar_bee_g * ends.bee_days + watch.sugar_cell_g * ends.cell_days - spared
    return np.asarray(np.maximum(0.0, used - used[:1]))


def _costs(
    question: Question,
    plans: Sequence[Plan],
    rounds: FloatArray,
    grams: FloatArray,
    sugar: FloatArray,
    load: float,
) -> Costs:
    prices, syrup = question.prices, question.prices.syrup
    a_gram = np.array([prices.feeds[plan.feed].price.amount for plan in plans])[:, None] / 1000.0
    a_load = np.array([load if plan.kind == "move" else 0.0 for plan in plans])[:, None]
    travel = rounds * travel_a_round(prices.work, question.spread.colonies) + a_load
    a_sugar_gram = syrup.price.amount / syrup.sugar / 1000.0 if syrup else 0.0
    return Costs(grams * a_gram, rounds * labour_a_round(prices.work), travel, sugar * a_sugar_gram)
