"""What the belief adds to, and takes from, the bees that the season model has."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.belief.gain import SITUATIONS
from breadline.plan.costs import Feed
from breadline.plan.plans import Plan
from breadline.span import FloatArray


def share_had(
    plans: Sequence[Plan], feeds: Sequence[Feed], eaten_g: FloatArray, draw: np.ndarray
) -> FloatArray:
    """How much of what was eaten in the reference run a colony ate, situation by situation. [share]

    At most 1 in each: who ate half of a dearth's feed and half of a spring's has half of each belief, and
    a second series in spring takes nothing from what the first did in a dearth.

    Parameters
    ----------
    plans, feeds
        Which feed each plan uses.
    eaten_g
        Under each plan in each situation, shape (situations, plans, members). [g]
    draw
        Which draw of a feed's worth each member has.

    Returns
    -------
    FloatArray
        The shape of ``eaten_g``. [share]
    """
    of = np.stack([np.maximum(one.eaten_g[draw], 1.0) for feed in feeds for one in feed.worth.by_situation])
    of = of.reshape(len(feeds), len(SITUATIONS), draw.size)
    had = eaten_g / of[[plan.feed for plan in plans]].swapaxes(0, 1)
    return np.asarray(np.minimum(1.0, had))


@dataclass(frozen=True)
class Fade:
    """What is believed beyond the model goes, once the feed is gone."""

    last: int  # day on which it is looked at [d]
    days: float  # after the last round, in which it falls to 37 in 100 [d]


def last_fed(plans: Sequence[Plan], situation: np.ndarray) -> FloatArray:
    """Day on which the last piece put on in each situation is gone, 0 where none was. [d]

    ``situation`` is which of ``SITUATIONS`` each day is, shape (days, columns); the answer has shape
    (situations, plans, columns).
    """
    found = np.zeros((len(SITUATIONS), len(plans), situation.shape[1]))
    column = np.arange(situation.shape[1])
    for k, plan in enumerate(plans):
        for piece in plan.pieces:
            found[situation[piece.day], k, column] = piece.day + (plan.interval or 7)
    return found


def left_over(
    plans: Sequence[Plan],
    feeds: Sequence[Feed],
    had: FloatArray,
    draw: np.ndarray,
    fed_until: FloatArray,
    fade: Fade,
) -> FloatArray:
    """Bees for a bee of the model: what is believed and the model does not show. [ratio]

    A loss where the feed does harm, a gain where it does more than the model can. A colony that ate
    half of what it would have in the reference run has half of it, and it fades once the feed is gone.
    Of each situation there is as much as was eaten in it. Shape (plans, members).

    Parameters
    ----------
    plans, feeds
        Which feed each plan uses, and its last day.
    had
        Of ``share_had``, shape (situations, plans, members). [share]
    draw
        Which draw of a feed's worth each member has.
    fed_until
        Of ``last_fed``, for the members: shape (situations, plans, members). [d]
    fade
        How fast it fades.
    """
    log_ratio = np.zeros(had.shape[1:])
    left = [[one.remainder[draw] for one in feed.worth.by_situation] for feed in feeds]
    for k, plan in enumerate(plans):
        if plan.pieces:
            since = np.maximum(0.0, fade.last - fed_until[:, k])
            of = np.stack(left[plan.feed]) * had[:, k] * np.exp(-since / fade.days)
            log_ratio[k] = of.sum(axis=0)
    return np.exp(log_ratio)


def no_more_than_believed(
    plans: Sequence[Plan], feeds: Sequence[Feed], ratio: FloatArray, had: FloatArray, draw: np.ndarray
) -> FloatArray:
    """Fed bees over unfed ones where the season model may draw no frames; shape of ``ratio``. [ratio]

    The model then only shares out the believed gain: by the days and pieces of a plan it may be less,
    never more, and a plan of half the feed has half of it at most.

    Parameters
    ----------
    plans, feeds
        Which feed each plan uses; moving is no feeding and keeps its ratio.
    ratio
        By the model, with what is left over. [ratio]
    had
        Of ``share_had``, shape (situations, plans, members). [share]
    draw
        Which draw of a feed's worth each member has.
    """
    most = np.full(ratio.shape, np.inf)
    gains = [[np.maximum(one.gain[draw], 0.0) for one in feed.worth.by_situation] for feed in feeds]
    for k, plan in enumerate(plans):
        if plan.pieces:
            most[k] = np.exp(sum(of * share for of, share in zip(gains[plan.feed], had[:, k], strict=True)))
    return np.asarray(np.minimum(ratio, most))
