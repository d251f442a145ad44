"""Where the answer turns, of plans as their classes give them: what is told of them is what turns."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from breadline.plan.flips import Flips, belief_turns
from breadline.plan.money import Amount
from breadline.plan.ranked import Ranked
from breadline.plan.search import Found
from breadline.plan.targets import Target
from breadline.plan.tried import Question
from breadline.span import FloatArray

STEPS = 60  # looks for one turning point, at most
NEAR = 1e-6  # times a price; nearer two of them are one [ratio]
LEAST_COST = 0.01  # times what a plan costs; a fee that has to be farther off is none [ratio]
Over = Callable[[float], tuple[float, float]]  # above what a plan has to bring, and how that falls


@dataclass(frozen=True)
class Given:
    """A plan as its classes give it."""

    told: Ranked
    more: FloatArray  # than a full piece for all, season by season, shape (members,) [money/colony]
    belief: FloatArray  # that each of these seasons holds, shape (members,) [log ratio]


Give = Callable[[Question, Ranked], Given]  # a plan of the search, under the prices of the question


def turning_points(question: Question, found: Found, give: Give) -> tuple[Flips, ...]:
    """Where the answer turns, by the plans of each feed, each given by the classes that its prices make best.

    Parameters
    ----------
    question
        Of the search.
    found
        Its answer, told of a full piece for every colony, with the seasons that tell.
    give
        How a plan is given under other prices.
    """
    return tuple(_of_feed(question, found, give, feed) for feed in range(len(question.prices.feeds)))


def at_prices(question: Question, feed: float = 1.0, pays: float = 1.0) -> Question:
    """The same where feed costs and the target pays so many times as much. [ratio]"""
    feeds = tuple(replace(one, price=_times(one.price, feed)) for one in question.prices.feeds)
    return replace(
        question, prices=replace(question.prices, feeds=feeds), target=_paying(question.target, pays)
    )


def told_at(at: Ranked, nothing: Ranked, feed: float = 1.0, pays: float = 1.0) -> Ranked:
    """A plan under such prices, from what is told of it: both enter its mean in a straight line. [ratio]"""
    cost = replace(at.cost, feed=at.cost.feed * feed)
    gain = pays * (at.gain + at.cost.total) - cost.total
    return replace(at, cost=cost, gain=gain, money=pays * nothing.money + gain)


def _of_feed(question: Question, found: Found, give: Give, feed: int) -> Flips:
    fair = [one for one in found.finalists if one.plan.pieces and one.plan.feed == feed]
    belief = found.fresh.gain[feed]
    believed = float(np.exp(belief.mean()))
    if not fair:
        return Flips(False, None, None, None, believed, feed, any_left=False)
    given = [give(question, one) for one in fair]
    now = max(of.told.gain for of in given) > question.close
    prices = [_by_price(question, found, give, one) for one in fair]
    fees = [_by_fee(question, found, give, one) for one in fair]
    gains = [of.told.gain - question.close for of in given]
    costs = [(of.told.cost.feed, of.told.cost.total + question.close) for of in given]
    price = _last(prices, [1 + g / max(c, 1e-9) for g, (c, _) in zip(gains, costs, strict=True)], 0.0)
    told_first = feed == found.flips_told
    cost = _last(fees, [1 + g / max(c, 1e-9) for g, (_, c) in zip(gains, costs, strict=True)], LEAST_COST)
    free = 0.0 if price is not None else max(over(0.0)[0] for over in prices) + question.close
    return Flips(
        now, price, None if cost is None or not told_first else 1.0 / cost,
        _belief(question, found, fair, given, now), believed, feed, free,
    )  # fmt: skip


def _by_price(question: Question, found: Found, give: Give, one: Ranked) -> Over:
    """By so many times the price of feed."""

    def over(times: float) -> tuple[float, float]:
        of = give(at_prices(question, feed=times), told_at(one, found.nothing, feed=times)).told
        return of.gain - question.close, -one.cost.feed * of.piece

    return over


def _by_fee(question: Question, found: Found, give: Give, one: Ranked) -> Over:
    """By so many times all that it costs, which turns where the fee is as many times less."""

    def over(times: float) -> tuple[float, float]:
        pays = 1.0 / times
        of = give(at_prices(question, pays=pays), told_at(one, found.nothing, pays=pays)).told
        return (of.gain - question.close) * times, -(of.cost.total + question.close)

    return over


def _last(overs: Sequence[Over], starts: Sequence[float], least: float) -> float | None:
    """The highest price at which one of the plans still pays; None where none does at the ``least``."""
    found: float | None = None
    for k in sorted(range(len(overs)), key=lambda k: -starts[k]):
        if found is not None and overs[k](found)[0] <= 0.0:
            continue
        mine = turning(overs[k], max(starts[k], least, found or 0.0), least)
        found = mine if found is None else max(found, mine or 0.0)
    return found


def turning(over: Over, start: float, least: float) -> float | None:
    """Where a plan stops paying, from ``start`` on: by straight lines, since classes change seldom.

    Where classes change and its money with them in a step, the last price at which it pays. None where it
    does not even at the ``least``, or costs nothing. All of them in times of what it costs. [ratio]
    """
    low, high, x, pays = least, np.inf, start, False
    for _ in range(STEPS):
        above, slope = over(x)
        if above > 0.0:
            low, pays = x, True
        else:
            high = x
        then = x - above / slope if slope < 0.0 else np.inf
        if high <= least or (pays and np.isinf(high) and np.isinf(then)):
            return None
        if low < then < high and abs(then - x) > NEAR * max(1.0, x):
            x = then
        elif abs(then - x) <= NEAR * max(1.0, x) or (pays and high - low <= NEAR * high):
            return low if pays and not low <= then <= high else float(then)
        else:
            x = (low + high) / 2.0 if pays else least
    return low if pays else None


def _belief(
    question: Question, found: Found, fair: Sequence[Ranked], given: Sequence[Given], now: bool
) -> float | None:
    """By the belief, who gets it being as it is: what classes change is weighed in its own seasons."""
    fresh = found.fresh
    at = [fresh.plans.index(one.plan) for one in fair]
    more = np.stack([of.more for of in given])
    told = np.array([of.told.gain for of in given])
    over = fresh.money[at] - fresh.money[0]
    over = over + (told - over.mean(1) - more.mean(1) - question.close)[:, None]
    return belief_turns(((over, fresh.gain[fair[0].plan.feed]), (more, given[0].belief)), now)


def _times(amount: Amount, times: float) -> Amount:
    return replace(amount, amount=amount.amount * times)


def _paying(target: Target, times: float) -> Target:
    """The target with every price in it so many times as high. [ratio]"""
    names = ("fee", "premium", "below", "value", "price")
    now = {name: getattr(target, name, None) for name in names}
    paid: dict[str, Any] = {name: _times(of, times) for name, of in now.items() if of is not None}
    return replace(target, **paid)
