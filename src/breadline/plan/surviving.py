"""What feeding does to losses: the belief about survival, laid on the losses that are taken to come."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from scipy.special import ndtri

from breadline.belief.gain import SITUATIONS, Situation
from breadline.knowledge.shelf import Reader
from breadline.plan.costs import Feed
from breadline.plan.plans import Plan
from breadline.span import FloatArray, Span

# Trials of a severe dearth read otherwise than all others; the shelf has one figure for each.
FIGURES: dict[Situation, str] = {
    "dearth": "belief.survival_dearth_gain",
    "poor_spring": "belief.survival_gain",
    "pollen": "belief.survival_gain",
}


@dataclass(frozen=True)
class Ahead:
    """The days on which a colony may die."""

    today: int  # [d]
    last: int  # [d]

    def after(self, plan: Plan) -> float:
        """Share of them that come after a plan's first piece: who dies before it dies fed or not. [share]"""
        if plan.start is None or self.last <= self.today:
            return 0.0
        return min(1.0, max(0.0, (self.last - plan.start) / (self.last - self.today)))


def survival_belief(reader: Reader) -> tuple[Span, ...]:
    """Log odds of survival, fed less unfed, in each of ``SITUATIONS``. [log odds]

    Sources: [feeding_trials]; ``belief.survival_gain``, ``belief.survival_dearth_gain``.
    """
    return tuple(reader.span(FIGURES[situation]) for situation in SITUATIONS)


def survival_draws(feed: Feed, belief: Sequence[Span]) -> FloatArray:
    """The same draw by draw of a feed, shape (situations, draws). [log odds]

    A draw of the belief has one luck: where it is high for bees it is high for survival, by its rank.
    Nothing is drawn anew, so that plans go on meeting the same seasons.
    """
    gain = feed.worth.gain
    rank = np.empty(gain.size)
    rank[np.argsort(gain, kind="stable")] = np.arange(gain.size)
    z = np.asarray(ndtri((rank + 0.5) / gain.size))
    return np.stack([span.at(z) for span in belief])


def kept(
    plans: Sequence[Plan],
    log_odds: Sequence[FloatArray],
    had: FloatArray,
    draw: np.ndarray,
    alive: float,
    ahead: Ahead,
) -> FloatArray:
    """Colonies alive on the day under each plan for one that would be unfed; shape (plans, members). [ratio]

    Never more than lives where nothing dies, and never less than nothing. A colony that ate half of what
    it would have in the reference run has half of the belief; one that ate a whole one's in two situations
    has their mean, not their sum. Only losses after the first piece are touched.

    Parameters
    ----------
    plans
        Moving and doing nothing keep their losses.
    log_odds
        Of ``survival_draws``, feed by feed. [log odds]
    had
        Of ``believed.share_had``, shape (situations, plans, members). [share]
    draw
        Which draw of a feed's worth each member has.
    alive
        Of unfed colonies, on the day. [share]
    ahead
        From today to the day.
    """
    ratio = np.ones(had.shape[1:])
    if alive >= 1.0:
        return ratio
    for k, plan in enumerate(plans):
        if plan.pieces:
            ate = had[:, k] / np.maximum(1.0, had[:, k].sum(axis=0))
            shift = (log_odds[plan.feed][:, draw] * ate).sum(axis=0)
            fed = 1.0 / (1.0 + (1.0 - alive) / alive * np.exp(-shift))
            ratio[k] = 1.0 + ahead.after(plan) * (fed / alive - 1.0)
    return ratio
