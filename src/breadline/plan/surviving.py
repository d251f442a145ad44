"""What feeding does to losses: the belief about survival, laid on the losses that are taken to come."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri

from breadline.belief.gain import SITUATIONS, SURVIVAL, Scored, Situation
from breadline.knowledge.shelf import Reader
from breadline.plan.costs import Feed
from breadline.plan.plans import Plan
from breadline.span import Z95, FloatArray


@dataclass(frozen=True)
class Survival:
    """What is believed of feeding and survival in one situation."""

    log_odds: Scored  # fed less unfed [log odds]
    days: float  # that feeding was tried for [d]


def survival_belief(reader: Reader, learnt: Mapping[Situation, Scored] | None = None) -> tuple[Survival, ...]:
    """It in each of ``SITUATIONS``; ``learnt`` is what own check groups made of it, where they did.

    Sources: [feeding_trials]; ``belief.survival_gain``, ``belief.survival_dearth_gain``.
    """
    return tuple(
        Survival(
            (learnt or {}).get(one) or reader.span(SURVIVAL[one]), reader.typical(f"reference.{one}_days")
        )
        for one in SITUATIONS
    )


def survival_draws(feed: Feed, belief: Sequence[Survival]) -> FloatArray:
    """The same draw by draw of a feed, shape (situations, draws). [log odds]

    A draw of the belief has one luck: where it is high for bees it is high for survival, by its rank.
    Nothing is drawn anew, so that plans go on meeting the same seasons.
    """
    gain = feed.worth.gain
    rank = np.empty(gain.size)
    rank[np.argsort(gain, kind="stable")] = np.arange(gain.size)
    z = np.asarray(ndtri((rank + 0.5) / gain.size))
    return np.stack([one.log_odds.at(z) for one in belief])


def kept_alive(alive: float, shift: FloatArray) -> FloatArray:
    """Fed colonies alive for one that lives unfed, where ``alive`` [share] of the unfed do [ratio].

    ``shift`` is what feeding does to survival [log odds]; the answer has its shape.
    """
    return np.asarray(1.0 / (alive + (1.0 - alive) * np.exp(-shift)))


def kept_alive_ends(alive: float, believed: Scored) -> tuple[float, float, float]:
    """``kept_alive`` at the low end, the middle and the high end of a belief, nine in ten within [ratio].

    For beliefs told by their ends. One luck for bees and for survival, as in a plan, so that low is laid on
    low; a whole trial's feed. ``alive`` is of unfed colonies [share], ``believed`` in log odds.
    """
    low, middle, high = kept_alive(alive, believed.at(np.array([-Z95, 0.0, Z95]))).tolist()
    return low, middle, high


def kept(
    plans: Sequence[Plan], log_odds: Sequence[FloatArray], had: FloatArray, draw: np.ndarray, alive: float
) -> FloatArray:
    """Colonies alive on the day under each plan for one that would be unfed; shape (plans, members). [ratio]

    Never more than lives where nothing dies, and never less than nothing. A colony that ate half of what
    it would have in the reference run has half of the belief; one that ate a whole one's in two situations
    has their mean, not their sum.

    Parameters
    ----------
    plans
        Moving and doing nothing keep their losses.
    log_odds
        Of ``survival_draws``, feed by feed. [log odds]
    had
        Of ``share_of_trial``, shape (situations, plans, members). [share]
    draw
        Which draw of a feed's worth each member has.
    alive
        Of unfed colonies, on the day. [share]
    """
    ratio = np.ones(had.shape[1:])
    if alive >= 1.0:
        return ratio
    for k, plan in enumerate(plans):
        if plan.pieces:
            of = had[:, k] / np.maximum(1.0, had[:, k].sum(axis=0))
            shift = (log_odds[plan.feed][:, draw] * of).sum(axis=0)
            ratio[k] = kept_alive(alive, shift)
    return ratio


def share_of_trial(
    plans: Sequence[Plan], belief: Sequence[Survival], had: FloatArray, last: int
) -> FloatArray:
    """How much of a whole trial a colony had: of its feed, and of its days from the first piece on. [share]

    A piece on the eve of the date saves nobody: begun half a trial before it, a plan has half of it.

    Parameters
    ----------
    plans, belief
        When each begins, and how long feeding was tried for.
    had
        Of ``believed.share_had``, shape (situations, plans, members); so is the answer. [share]
    last
        The day that matters. [d]
    """
    since = np.array([0 if plan.start is None else max(0, last - plan.start) for plan in plans])
    days = np.array([one.days for one in belief])
    return np.asarray(had * np.minimum(1.0, since / days[:, None])[:, :, None])
