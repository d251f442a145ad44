"""Which plan is worth its money: all of them in a few seasons, the better ones in more.

Every plan meets the same seasons, so what differs between two plans is the plan.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from breadline.errors import PlanError
from breadline.language import say
from breadline.plan.flips import Flips, flips, last_to_turn
from breadline.plan.plans import NOTHING, Plan, Way, changed
from breadline.plan.ranked import Ranked, frontier, ranked
from breadline.plan.ruled_out import STORES, Bars
from breadline.plan.tried import Question, Spreading, Tried, tried

FIRST_LOOK, SECOND_LOOK = 300, 3000  # members; the last look takes all
KEPT, LAST = 100, 20  # plans that get a second look, and the last one
BY_CHANCE = 0.2  # of them kept for their chance rather than their money [share]
OF_EACH_FEED = 4  # plans of a feed kept where several are compared
NEARBY = 3  # times that the best plan gives way to one beside it
WORTH_A_LOOK = 0.1  # money more for which it does [money/colony]
NEVER_GIVEN = 0.5  # rounds; a plan that comes to less is no plan of feeding
IDLE = "pollen is in before its first round in most seasons"  # never shown
SHOWN_STRUCK = 4  # plans struck out that are shown


@dataclass(frozen=True)
class Look:
    """One look of the search, for progress and for the record."""

    plans: int
    members: int
    portions_g: tuple[tuple[float, ...], ...]  # among them, of each feed [g]
    saving: float  # colony-days had each plan been run alone, against those run [ratio]
    best: Ranked


@dataclass(frozen=True)
class Beside:
    """The best plan with one thing changed."""

    what: str  # "a week later"
    told: Ranked
    more: float  # money more than the best, in the same seasons [money/colony]


@dataclass(frozen=True)
class Found:
    """The answer of a search; plans of all lists are told from the last look they got.

    The best of many plans looks better in the seasons that chose it than it is. So plans are chosen in
    one half of the seasons and told by the other, which had no say.
    """

    nothing: Ranked
    last_year: Ranked | None
    best: Ranked  # may be "do nothing"
    chosen: Ranked  # the same plan in the seasons that chose it; not to be told
    frontier: tuple[Ranked, ...]  # the few worth looking at, most money first
    finalists: tuple[Ranked, ...]  # of the last look, most money first
    struck: tuple[Ranked, ...]  # the best of those struck out, with their reason
    flips_of: tuple[Flips, ...]  # where the answer turns, by the plans of each feed
    flips_told: int  # of which feed that is told first
    missed: tuple[Ranked, ...]  # the best plan with one round missed, in order; gain is what that loses
    beside: tuple[Beside, ...]  # what changing one thing in it does
    looks: tuple[Look, ...]
    last: Tried  # the last look itself
    fresh: Tried  # the same in the seasons that tell
    in_choosing: Mapping[tuple[int, Way], float]  # of the last look, where it chose [money/colony]

    @property
    def flips(self) -> Flips:
        """Where the answer turns, by the plans of the feed that is told first."""
        return self.flips_of[self.flips_told]

    def told(self) -> Found:
        """The same without the seasons themselves, which is all that words and sheets need."""
        nobody = np.arange(0)
        return replace(self, last=self.last.of(nobody), fresh=self.fresh.of(nobody))

    def told_as(self, given: Mapping[tuple[int, Way], Ranked]) -> Found:
        """The same with some of the plans, by their key, told otherwise."""

        def of(one: Ranked) -> Ranked:
            return given.get(one.plan.key, one) if one.plan.pieces and one.plan.kind != "move" else one

        best, last_year = of(self.best), None if self.last_year is None else of(self.last_year)
        frontier, finalists = (
            tuple(sorted(map(of, told), key=lambda one: -one.money))
            for told in (self.frontier, self.finalists)
        )
        struck = tuple(map(of, self.struck))
        return replace(self, best=best, last_year=last_year, frontier=frontier, finalists=finalists,
                       struck=struck)  # fmt: skip

    @property
    def saving(self) -> float:
        """Of the whole search. [ratio]"""
        alone = sum(look.plans * look.members for look in self.looks)
        return alone / sum(look.plans * look.members / look.saving for look in self.looks)


@dataclass(frozen=True)
class Search:
    """How it is gone about."""

    question: Question
    bars: Bars
    stores: Callable[[Tried], tuple[str, ...]]  # reasons against plans that run out of stores
    spreading: Spreading = map
    parts: int = 1  # in how many parts the members are worked; the answer is the same
    on_look: Callable[[Look], None] | None = None
    hold_start: bool = False  # the keeper's own first round does not move

    @property
    def choosing(self) -> np.ndarray:
        """The members that plans are chosen in; the others tell what the chosen ones bring."""
        return self.question.ensemble.half(self.question.prices.feeds[0].worth.gain)

    def look(
        self, plans: Sequence[Plan], members: int, among: np.ndarray | None = None
    ) -> tuple[Tried, tuple[str, ...]]:
        """Plans tried in about so many members, of those named, and the reason against each."""
        index = self.question.ensemble.few(members, among)
        done = tried(self.question, plans, index, self.spreading, self.parts)
        stores = self.stores(done)
        given = done.rounds.mean(1)
        idle = ["" if not plan.pieces or given[k] >= NEVER_GIVEN else IDLE for k, plan in enumerate(plans)]
        return done, tuple(self.bars.why(plan) or idle[k] or stores[k] for k, plan in enumerate(plans))


def search(way: Search, plans: Sequence[Plan]) -> Found:
    """The best plans.

    Parameters
    ----------
    way
        What they are tried in, and how.
    plans
        All different; "do nothing" is the first.

    Errors
    ------
    PlanError
        If there is no plan beside "do nothing".
    """
    if not plans or plans[0].pieces or len(plans) < 2:
        raise PlanError(
            "plans",
            say("there is nothing to choose from"),
            say("a feed, a portion and a day to begin"),
            say("Look at the target date, the portions and the days hives can be opened"),
        )
    looks: list[Look] = []
    choosing, everyone = way.choosing, way.question.ensemble.members
    done, struck = way.look(plans, FIRST_LOOK, choosing)
    _told(way, looks, done, struck)
    done, struck = way.look([done.plans[k] for k in _kept(done, struck, KEPT)], SECOND_LOOK, choosing)
    _told(way, looks, done, struck)
    done, struck = way.look([done.plans[k] for k in _kept(done, struck, LAST)], everyone)
    _told(way, looks, done, struck)
    for _ in range(NEARBY):
        better = _better_nearby(way, done.of(choosing), struck, looks[0].portions_g)
        if not better:
            break
        more, why = way.look([NOTHING, *better], everyone)
        done, struck = done.with_more(more), (*struck, *why[1:])
    return _found(way, done, struck, tuple(looks))


def brute_force(
    way: Search, plans: Sequence[Plan], among: np.ndarray | None = None
) -> tuple[list[float], list[str]]:
    """Expected money of every plan over all members [money/colony], and the reason against each.

    ``among`` names the members instead, shape (members,).
    """
    members = way.question.ensemble.members
    money: list[float] = []
    against: list[str] = []
    for first in range(1, len(plans), KEPT):
        done, struck = way.look([NOTHING, *plans[first : first + KEPT]], members, among)
        begin = 0 if first == 1 else 1
        money += [float(m) for m in done.money.mean(1)[begin:]]
        against += struck[begin:]
    return money, against


def _told(way: Search, looks: list[Look], done: Tried, struck: tuple[str, ...]) -> None:
    means = np.where([bool(why) for why in struck], -np.inf, done.money.mean(1))
    portions = [
        tuple(sorted({piece.grams for plan in done.plans for piece in plan.pieces
                      if plan.kind == "search" and plan.feed == feed}))
        for feed in range(len(way.question.prices.feeds))
    ]  # fmt: skip
    best = ranked(done, int(means.argmax()))
    look = Look(len(done.plans), done.value.shape[1], tuple(portions), done.tree.saving, best)
    looks.append(look)
    if way.on_look is not None:
        way.on_look(look)


def _kept(done: Tried, struck: tuple[str, ...], keep: int) -> list[int]:
    """Best by money, some by chance or because they pay longest, a few struck out, nothing and last year."""
    money, chance = done.money.mean(1), done.making.mean(1)
    fair = [k for k in range(len(struck)) if not struck[k]]
    by_money = sorted(fair, key=lambda k: (-money[k], k))
    by_chance = sorted(fair, key=lambda k: (-chance[k], -money[k], k))
    out = sorted((k for k in range(len(struck)) if struck[k] not in ("", IDLE)), key=lambda k: (-money[k], k))
    always = [0, *(k for k, p in enumerate(done.plans) if p.kind == "last_year")]
    many = round(keep * BY_CHANCE)
    some = [*by_money[: keep - many], *by_chance[:many], *last_to_turn(done, fair)]
    each = _of_each_feed(done, by_money) if len({p.feed for p in done.plans if p.pieces}) > 1 else []
    chosen = dict.fromkeys([*always, *some, *each, *_of_each_reason(out, struck)])
    return list(chosen)


def _of_each_feed(done: Tried, by_money: Sequence[int]) -> list[int]:
    """The best few plans of each feed, so that a dearer one is told by its best and not by what was left."""
    fed = [k for k in by_money if done.plans[k].pieces]
    feeds = {done.plans[k].feed for k in fed}
    return [
        k for feed in sorted(feeds) for k in [k for k in fed if done.plans[k].feed == feed][:OF_EACH_FEED]
    ]


def _of_each_reason(out: Sequence[int], struck: Sequence[str]) -> list[int]:
    """The best of the plans that are struck out for each reason, best first."""
    first: dict[str, int] = {}
    for k in out:
        first.setdefault(say(STORES) if say(STORES) in struck[k] else struck[k], k)
    return list(first.values())[:SHOWN_STRUCK]


def _found(way: Search, done: Tried, struck: tuple[str, ...], looks: tuple[Look, ...]) -> Found:
    choosing, close = way.choosing, way.question.close
    fresh = done.of(~choosing)
    told, chosen = _all_ranked(fresh, struck), _all_ranked(done.of(choosing), struck)
    fair = sorted((one for one in told if not one.struck), key=lambda one: -one.money)
    pay = [k for k, one in enumerate(told) if not one.struck and one.gain > close]
    at = max(pay, key=lambda k: chosen[k].money, default=0)
    best = told[at]
    missed, near = _about(way, best, looks[0].portions_g)
    few, feeds = {one.plan for one in frontier(chosen)}, range(len(way.question.prices.feeds))
    return Found(
        nothing=told[0],
        last_year=next((one for one in told if one.plan.kind == "last_year"), None),
        best=best,
        chosen=chosen[at],
        frontier=tuple(sorted((one for one in told if one.plan in few), key=lambda one: -one.money)),
        finalists=tuple(fair),
        struck=tuple(one for one in told if one.struck not in ("", IDLE)),
        flips_of=tuple(flips(fresh, feed, tuple(not why for why in struck), close) for feed in feeds),
        flips_told=_feed_told(best, fair),
        missed=missed,
        beside=near,
        looks=looks,
        last=done,
        fresh=fresh,
        in_choosing={one.plan.key: one.money for one in chosen},
    )


def with_best(way: Search, found: Found, best: Ranked) -> Found:
    """The same answer with another of its plans, or "do nothing", as the best one."""
    at = found.last.plans.index(best.plan)
    missed, near = _about(way, best, found.looks[0].portions_g)
    chosen, feed = ranked(found.last.of(way.choosing), at), _feed_told(best, found.finalists)
    return replace(found, best=best, chosen=chosen, missed=missed, beside=near, flips_told=feed)


def _all_ranked(done: Tried, struck: tuple[str, ...]) -> list[Ranked]:
    return [ranked(done, k, why) for k, why in enumerate(struck)]


def _feed_told(best: Ranked, fair: Sequence[Ranked]) -> int:
    """Of which feed the turning points are told: the best plan's, else that of the best plan of feeding."""
    if best.plan.pieces:
        return best.plan.feed
    return next((one.plan.feed for one in fair if one.plan.pieces), 0)


def _better_nearby(
    way: Search, done: Tried, struck: tuple[str, ...], portions_g: tuple[tuple[float, ...], ...]
) -> list[Plan]:
    """Plans between those of the grid that beat its best with one thing changed; at most the best of them."""
    money = np.where([bool(why) for why in struck], -np.inf, done.money.mean(1))
    best = done.plans[int(money.argmax())]
    if not best.pieces:
        return []
    ensemble = way.question.ensemble
    known = {(plan.feed, plan.way) for plan in done.plans}
    near = [p for _, p in changed(best, portions_g, ensemble.today, ensemble.days - 1)
            if (p.feed, p.way) not in known and not (way.hold_start and p.start != best.start)]  # fmt: skip
    tried_out, why = way.look([NOTHING, best, *near], SECOND_LOOK, way.choosing)
    more = tried_out.money.mean(1) - tried_out.money[1].mean()
    fair = [k for k in range(2, len(near) + 2) if not why[k] and more[k] > WORTH_A_LOOK]
    return [tried_out.plans[max(fair, key=lambda k: more[k])]] if fair else []


def _about(
    way: Search, best: Ranked, portions_g: tuple[tuple[float, ...], ...]
) -> tuple[tuple[Ranked, ...], tuple[Beside, ...]]:
    """The best plan with each of its rounds missed, and with one thing changed, beside itself."""
    plan, ensemble = best.plan, way.question.ensemble
    if not plan.pieces:
        return (), ()
    gaps = [plan.without(k) for k in range(plan.rounds)] if plan.rounds > 1 else []
    near = changed(plan, portions_g, ensemble.today, ensemble.days - 1)
    done, struck = way.look([NOTHING, plan, *gaps, *(other for _, other in near)], SECOND_LOOK)
    told = [ranked(done, k, why) for k, why in enumerate(struck)]
    itself, first = told[1], 2 + len(gaps)
    beside = tuple(
        Beside(what, one, one.money - itself.money) for (what, _), one in zip(near, told[first:], strict=True)
    )
    less = [replace(one, gain=one.money - itself.money) for one in told[2:first]]
    return tuple(less), beside
