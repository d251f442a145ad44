"""At what price, fee or belief the answer turns to "do nothing", or away from it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.plan.tried import Tried
from breadline.span import FloatArray

FARTHEST = 4.0  # standard deviations of the belief; beyond it too few draws speak [-]
LONGEST = 3  # plans kept of those that pay longest
STEPS = 60  # halvings of an interval
FEWEST = 30  # draws of the belief that have to speak


@dataclass(frozen=True)
class Flips:
    """Where the best of the plans is no better than "do nothing"; None where there is no such place."""

    feeding_now: bool  # whether a plan is better now
    feed_price: float | None  # times the price asked [ratio]
    pays: float | None  # fee, premium and values, times what they are [ratio]
    belief: float | None  # mean gain in bees from feeding, against unfed [ratio]
    believed: float  # the same as it is believed now [ratio]
    feed: int  # of which this is told
    free: float = 0.0  # what the best of them brings where feed costs nothing [money/colony]
    any_left: bool = True  # whether a plan of this feed is left that is not struck out


def flips(tried: Tried, feed: int, fair: tuple[bool, ...], close: float) -> Flips:
    """Where the answer turns.

    Parameters
    ----------
    tried
        The plans, "do nothing" first.
    feed
        Whose plans are asked about.
    fair
        Which plans may be chosen.
    close
        What a plan has to bring more than nothing. [money/colony]
    """
    at = [k for k in range(1, len(tried.plans)) if fair[k] and tried.plans[k].feed == feed]
    belief = tried.gain[feed]
    if not at:
        return Flips(False, None, None, None, float(np.exp(belief.mean())), feed, any_left=False)
    more = (tried.value[at] - tried.value[0]).mean(1)
    bought = tried.costs.feed[at].mean(1)
    rest = tried.costs.total[at].mean(1) - bought + close
    now = bool((more - bought - rest).max() > 0)
    over = tried.money[at] - tried.money[0] - close
    return Flips(
        now, _price(more - rest, bought), _pays(more, bought + rest), belief_turns(((over, belief),), now),
        float(np.exp(belief.mean())), feed, float((more - rest).max()) + close,
    )  # fmt: skip


def last_to_turn(tried: Tried, fair: Sequence[int]) -> list[int]:
    """The plans that still pay at the highest price of feed, and at the least fee; a few of each."""
    fed = [k for k in fair if tried.plans[k].pieces]
    more = tried.value.mean(1) - tried.value[0].mean()
    feed, total = tried.costs.feed.mean(1), tried.costs.total.mean(1)
    by_price = sorted(fed, key=lambda k: (-(more[k] - total[k] + feed[k]) / max(feed[k], 1e-9), k))
    by_fee = sorted(fed, key=lambda k: (-more[k] / max(total[k], 1e-9), k))
    return [*by_price[:LONGEST], *by_fee[:LONGEST]]


def _price(left: FloatArray, feed: FloatArray) -> float | None:
    """Below it some plan pays: the largest ratio of what is left for feed to what feed costs."""
    costs = feed > 0
    if not costs.any():
        return None
    best = float((left[costs] / feed[costs]).max())
    return best if best > 0 else None


def _pays(more: FloatArray, cost: FloatArray) -> float | None:
    """Above it some plan pays: the least ratio of cost to what feeding brings more."""
    brings = more > 0
    return float((cost[brings] / more[brings]).min()) if brings.any() else None


def belief_turns(parts: Sequence[tuple[FloatArray, FloatArray]], now: bool) -> float | None:
    """The mean of the belief at which the best plan is worth as much as nothing, its width kept.

    The draws are weighed anew, as those of a normal belief with another mean would lie; so no season is
    run again. No answer where more than ``FARTHEST`` standard deviations would be needed, or too few
    draws would speak.

    Parameters
    ----------
    parts
        What plans bring above what they have to, shape (plans, members) [money/colony], and the belief that
        these members hold, shape (members,) [log ratio]; what a plan brings is the sum of its parts, each the
        mean of its own members.
    now
        Whether one of them pays now.
    """
    belief = parts[0][1]
    mean, sd = float(belief.mean()), float(belief.std())
    if sd < 1e-9:
        return None

    def weight(of: FloatArray, shift: float) -> FloatArray:
        return np.asarray(np.exp(shift * (of - mean) / sd - shift * shift / 2))

    def best(shift: float) -> float:
        weights = [weight(of, shift) for _, of in parts]
        return float(sum(over @ w / w.sum() for (over, _), w in zip(parts, weights, strict=True)).max())

    low, high = (-FARTHEST, 0.0) if now else (0.0, FARTHEST)
    if (best(low) > 0) == (best(high) > 0):
        return None
    for _ in range(STEPS):
        middle = (low + high) / 2
        low, high = (low, middle) if best(middle) > 0 else (middle, high)
    found = (low + high) / 2
    weights = weight(belief, found)
    # A draw that many seasons share speaks once.
    drawn = np.unique(belief).size / belief.size
    enough = drawn * float(weights.sum() ** 2 / (weights**2).sum()) >= FEWEST
    return float(np.exp(mean + sd * found)) if enough else None
