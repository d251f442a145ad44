"""Draws weighed by how well they agree with counts, and moved where too few do.

Why so and not by jitter alone: docs/decisions/0007-fitting-by-small-steps.md.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from scipy.special import logsumexp

from breadline.need.fit.unknowns import times
from breadline.span import FloatArray

ENOUGH = 200  # draws by weight above which weighing alone will do
HALF = 0.5  # of the draws, by weight, that one small step keeps
MOST_STEPS = 14
MOVES = 5  # tries to move a draw after a small step
WISHED = 0.3  # share of tries that should succeed
UNTOLD = 0.3  # a direction whose variance differs less from 1 than this was told nothing

Likelihood = Callable[[FloatArray], FloatArray]


@dataclass(frozen=True)
class Cloud:
    """Draws, how well each agrees with each day's counts, and its weight."""

    scores: FloatArray  # shape (unknowns, draws) [-]
    agrees: FloatArray  # log-likelihood of each day of inspection, shape (days, draws) [-]
    log_weight: FloatArray  # shape (draws,) [-]
    powers: FloatArray  # how far each day has been taken into account, 0 to 1, shape (days,) [share]
    reach: float  # of a move: 1 forgets where the draw was [share]
    moved: bool

    @property
    def weights(self) -> FloatArray:
        """Adds up to one, shape (draws,). [share]"""
        return np.asarray(np.exp(self.log_weight - logsumexp(self.log_weight)))

    @property
    def effective(self) -> float:
        """Effective number of draws; copies of one draw count once. [draws]"""
        _, same = np.unique(self.scores, axis=1, return_inverse=True)
        return effective_number(np.asarray(np.bincount(np.ravel(same), self.weights), dtype=np.float64))


def effective_number(weights: FloatArray) -> float:
    """As many draws of equal weight would be as sure: (Σw)² / Σw². [draws]

    ``weights`` [-] need not add up to one.
    """
    return float(weights.sum() ** 2 / (weights**2).sum())


def begun(scores: FloatArray, agrees: FloatArray) -> Cloud:
    """The draws before any count is taken into account; shapes as in ``Cloud``, both [-]."""
    days, draws = agrees.shape
    return Cloud(scores, agrees, np.zeros(draws), np.zeros(days), 0.6, False)


def weighed(cloud: Cloud, powers: FloatArray, look: Likelihood, rng: np.random.Generator) -> Cloud:
    """The draws with more of the counts taken into account.

    Weighing alone where at least ``ENOUGH`` draws by weight are left. Otherwise the counts
    are let in by small steps, each of which keeps half of the draws; after each, draws are
    chosen by weight and moved so that what they stand for stays the same.

    Parameters
    ----------
    powers
        How far each day is to be taken into account, shape (days,). [share]
    look
        Log-likelihood of each day at scores of shape (unknowns, draws); shape (days, draws).
    """
    straight = _with(cloud, powers)
    if straight.effective >= ENOUGH:
        return straight
    aim, draws = powers - cloud.powers, cloud.log_weight.shape[0]
    begin, done = cloud.powers, 0.0
    for _ in range(MOST_STEPS):
        step = _step(cloud, aim, 1.0 - done, HALF * draws)
        done = min(1.0, done + step)
        cloud = _moved(_chosen(_with(cloud, begin + done * aim), rng), look, rng)
        if done >= 1.0:
            return cloud
    return _with(cloud, powers)  # what is left comes in at once, and shows in the effective number


def _with(cloud: Cloud, powers: FloatArray) -> Cloud:
    gained = (powers - cloud.powers) @ cloud.agrees
    return replace(cloud, log_weight=cloud.log_weight + gained, powers=powers)


def _step(cloud: Cloud, aim: FloatArray, most: float, keep: float) -> float:
    """The largest step that keeps as many draws by weight."""
    gain = aim @ cloud.agrees

    def left(step: float) -> float:
        raised = cloud.log_weight + step * gain
        return effective_number(np.exp(raised - raised.max()))

    if left(most) >= keep:
        return most
    low, high = 0.0, most
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if left(middle) >= keep else (low, middle)
    return max(low, 1e-4)


def chosen(weights: FloatArray, count: int, rng: np.random.Generator) -> np.ndarray:
    """Which draws are kept, each as often as its weight [share] says but for one; shape (count,)."""
    at = (rng.random() + np.arange(count)) / count
    return np.minimum(np.searchsorted(np.cumsum(weights), at), len(weights) - 1)


def _chosen(cloud: Cloud, rng: np.random.Generator) -> Cloud:
    kept = chosen(cloud.weights, cloud.log_weight.shape[0], rng)
    return replace(
        cloud,
        scores=cloud.scores[:, kept],
        agrees=cloud.agrees[:, kept],
        log_weight=np.zeros_like(cloud.log_weight),
        moved=True,
    )


def _moved(cloud: Cloud, look: Likelihood, rng: np.random.Generator) -> Cloud:
    """Every draw tried at new places; the rule of Metropolis and Hastings keeps what they stand for.

    A new place is proposed from the normal law that the draws make up now, part of the way;
    that law is left as it is by the proposal, so the rule only weighs prior and
    likelihood against it.
    """
    middle, square_root, inverse = _law(cloud.scores)
    scores, agrees, reach = cloud.scores, cloud.agrees, cloud.reach

    def worth(at: FloatArray, agreed: FloatArray) -> FloatArray:
        off = at - middle
        law = -0.5 * (off * times(inverse, off)).sum(0)
        return np.asarray(cloud.powers @ agreed - 0.5 * (at**2).sum(0) - law)

    for _ in range(MOVES):
        fresh = times(square_root, rng.standard_normal(scores.shape))
        tried = middle + np.sqrt(1 - reach**2) * (scores - middle) + reach * fresh
        would = look(tried)
        taken = np.log(rng.random(scores.shape[1])) < worth(tried, would) - worth(scores, agrees)
        scores, agrees = np.where(taken, tried, scores), np.where(taken, would, agrees)
        reach = float(np.clip(reach * np.exp(taken.mean() - WISHED), 0.05, 1.0))
    return replace(cloud, scores=scores, agrees=agrees, reach=reach)


def _law(scores: FloatArray) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Mean, square root and inverse of the covariance of the draws.

    Directions that the counts told nothing about keep the variance they began with: what
    the draws show there is chance.
    """
    middle = scores.mean(axis=1, keepdims=True)
    off = scores - middle
    values, vectors = np.linalg.eigh(times(off, off.T.copy()) / (scores.shape[1] - 1))
    values = np.where(np.abs(values - 1.0) < UNTOLD, 1.0, np.maximum(values, 1e-4))
    return middle, vectors * np.sqrt(values), (vectors / values) @ vectors.T
