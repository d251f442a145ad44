"""What the belief adds to, and takes from, the bees that the season model has."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from breadline.plan.costs import Feed
from breadline.plan.plans import Plan
from breadline.span import FloatArray


def share_had(
    plans: Sequence[Plan], feeds: Sequence[Feed], eaten_g: FloatArray, draw: np.ndarray
) -> FloatArray:
    """How much of what was eaten in the reference run a colony ate, at most 1; shape of ``eaten_g``. [share]

    Parameters
    ----------
    plans, feeds
        Which feed each plan uses.
    eaten_g
        Under each plan, shape (plans, members). [g]
    draw
        Which draw of a feed's worth each member has.
    """
    of = np.stack([feeds[plan.feed].worth.eaten_g[draw] for plan in plans])
    return np.asarray(np.minimum(1.0, eaten_g / np.maximum(of, 1.0)))


def left_over(
    plans: Sequence[Plan],
    feeds: Sequence[Feed],
    had: FloatArray,
    draw: np.ndarray,
    last: int,
    fades_days: float,
) -> FloatArray:
    """Bees for a bee of the model: what is believed and the model does not show; shape of ``had``. [ratio]

    A loss where the feed does harm, a gain where it does more than the model can. A colony that ate
    half of what it would have in the reference run has half of it, and it fades once the feed is gone.

    Parameters
    ----------
    plans, feeds
        Which feed each plan uses, and its last day.
    had
        Of ``share_had``. [share]
    draw
        Which draw of a feed's worth each member has.
    last
        Day on which it is looked at. [d]
    fades_days
        After the last round, in which it falls to 37 in 100. [d]
    """
    log_ratio = np.zeros(had.shape)
    for k, plan in enumerate(plans):
        if plan.pieces:
            since = max(0, last - plan.pieces[-1].day - (plan.interval or 7))
            log_ratio[k] = feeds[plan.feed].worth.remainder[draw] * had[k] * np.exp(-since / fades_days)
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
        Of ``share_had``. [share]
    draw
        Which draw of a feed's worth each member has.
    """
    most = np.full(ratio.shape, np.inf)
    for k, plan in enumerate(plans):
        if plan.pieces:
            most[k] = np.exp(np.maximum(feeds[plan.feed].worth.gain[draw], 0.0) * had[k])
    return np.asarray(np.minimum(ratio, most))
