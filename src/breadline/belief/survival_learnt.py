"""What the deaths of an operation's own check groups teach of feeding and survival, apart from the bees.

A trial's result is told twice over where both parts are known: bees of the colonies that lived, and how
many lived. Each moves its own belief, so that a colony that feeding kept alive counts once.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log, sqrt

import numpy as np
from scipy.special import gammaln, ndtr

from breadline.errors import TrialError
from breadline.language import noted, say, say_counted
from breadline.span import Z95, FloatArray, Span

SCORES = np.linspace(-4.0, 4.0, 161)  # at which the belief is kept [sd]
NODES = np.linspace(-6.0, 6.0, 241)  # of the mean over seasons, and of a season's effect [sd]
STEP = float(NODES[1] - NODES[0])  # between them; what lies between two nodes is spread out by as much [sd]
LEAST_MOVED = 0.0005  # of deaths, below which a belief stands as before [share]
TOLD_AT = 0.10  # losses of unfed colonies at which the belief is put in words [share]


@dataclass(frozen=True)
class Deaths:
    """Colonies of one yard of a trial whose end is known, and how many of them were lost."""

    fed: int
    fed_lost: int
    check: int
    check_lost: int

    def __post_init__(self) -> None:
        if not (0 <= self.fed_lost <= self.fed and 0 <= self.check_lost <= self.check):
            what = say(
                "{fed_lost} of {fed} fed, {check_lost} of {check} check",
                fed_lost=self.fed_lost, fed=self.fed, check_lost=self.check_lost, check=self.check,
            )  # fmt: skip
            raise TrialError(say("colonies lost"), what, say("no more than there were"))

    @property
    def tells(self) -> bool:
        """Whether it can move the belief: some were lost, some lived, and both arms had colonies."""
        lost, all_of_them = self.fed_lost + self.check_lost, self.fed + self.check
        return min(self.fed, self.check) > 0 and 0 < lost < all_of_them


def in_all(each: Iterable[Deaths]) -> Deaths:
    """Those of all yards together, to be told; what they teach goes by the yard."""
    rows = [(of.fed, of.fed_lost, of.check, of.check_lost) for of in each]
    return Deaths(*(sum(column) for column in zip((0, 0, 0, 0), *rows, strict=True)))


@dataclass(frozen=True)
class SurvivalLearnt:
    """The belief about survival after own check groups; ``values`` at ``SCORES``. [log odds]"""

    values: tuple[float, ...]
    said: str

    @property
    def sentence(self) -> str:
        """What moved it, and how far."""
        return say(self.said)

    def at(self, z: FloatArray) -> FloatArray:
        """Next season's belief at standard normal scores ``z`` [sd]; the shape of ``z``. [log odds]"""
        return np.asarray(np.interp(z, SCORES, self.values))


NOT_APART = SurvivalLearnt(
    (0.0,) * SCORES.size,
    noted(
        "Colonies that died stand in these results as 0, so nothing more is laid on losses. Learning from a "
        "trial of an older book again sets them apart, save where whole yards were drawn or too few lived."
    ),
)


def likelihood(deaths: Deaths, log_odds: FloatArray) -> FloatArray:
    """Chance of these deaths at each log odds ratio of survival, fed to check; its shape. [share]

    Given how many were lost in both arms together (Fisher's noncentral hypergeometric), so that how
    deadly the season was has no part in it. ``log_odds`` in [log odds].
    """
    lost = deaths.fed_lost + deaths.check_lost
    ways = np.arange(max(0, lost - deaths.check), min(lost, deaths.fed) + 1)
    of = _log_choose(deaths.fed, ways) + _log_choose(deaths.check, lost - ways)
    each = of - np.asarray(log_odds)[..., None] * ways
    each = np.exp(each - each.max(axis=-1, keepdims=True))
    return np.asarray(each[..., deaths.fed_lost - ways[0]] / each.sum(axis=-1))


def survival_learnt(
    before: Span, season_share: float, seasons: Sequence[tuple[str, Deaths]]
) -> SurvivalLearnt:
    """Next season's belief about survival with what own trials of one situation showed.

    Parameters
    ----------
    before
        The shelf's, of a further season. [log odds]
    season_share
        Of its variance that is the season's own, and drawn anew with each. [share]
    seasons
        The season and the deaths of each yard of each trial, as like is held against like within a yard;
        those of one season share its effect.
    """
    telling = [(season, of) for season, of in seasons if of.tells]
    lost = _lost_words([of for _, of in seasons], bool(telling))
    if not telling or before.low == before.high:
        return SurvivalLearnt(tuple(before.at(SCORES).tolist()), lost)
    sd = (before.high - before.low) / (2.0 * Z95)
    mean = before.typical + sqrt(1.0 - season_share) * (before.at(NODES) - before.typical)
    effect = sqrt(season_share) * sd
    weight = np.exp(-0.5 * NODES**2)
    luck = weight / weight.sum()
    for season in dict.fromkeys(season for season, _ in telling):
        at = mean[:, None] + effect * NODES[None, :]
        seen = np.prod([likelihood(of, at) for name, of in telling if name == season], axis=0)
        weight = weight * (seen @ luck)
    values = _next(mean, weight / weight.sum(), max(effect, STEP * sd))
    was, now = float(before.typical), float(np.interp(0.0, SCORES, values))
    return SurvivalLearnt(tuple(values.tolist()), f"{lost} {_moved(was, now)}")


def _next(mean: FloatArray, weight: FloatArray, effect: float) -> FloatArray:
    """Quantiles at ``SCORES`` of the mean over seasons with a new season's effect on it. [log odds]"""
    grid = np.linspace(mean[0] - 6.0 * effect, mean[-1] + 6.0 * effect, 1201)
    below = ndtr((grid[:, None] - mean[None, :]) / effect) @ weight
    return np.asarray(np.interp(ndtr(SCORES), below, grid))


def _log_choose(n: int, k: np.ndarray) -> FloatArray:
    return np.asarray(gammaln(n + 1.0) - gammaln(k + 1.0) - gammaln(n - k + 1.0))


def _lost_words(each: Sequence[Deaths], telling: bool) -> str:
    """ "Of 20 fed colonies 1 was lost, of 20 check colonies 4 (dead, gone, merged or under a frame)." """
    of = in_all(each)
    if not of.fed_lost + of.check_lost:
        return say("No colony was lost in them, so they say nothing of survival.")
    said = say_counted(
        "Of {fed} fed colonies {n} was lost, of {check} check colonies {check_lost} (dead, gone, merged or "
        "under a frame).",
        "Of {fed} fed colonies {n} were lost, of {check} check colonies {check_lost} (dead, gone, merged or "
        "under a frame).",
        of.fed_lost, fed=of.fed, check=of.check, check_lost=of.check_lost,
    )  # fmt: skip
    if telling:
        return said
    silent = say("No yard with both groups lost some and kept some, so that says nothing of survival.")
    return f"{said} {silent}"


def _moved(was: float, now: float) -> str:
    """Both beliefs in their middle, as deaths in a hundred where so many die unfed; in [log odds]."""
    unfed = round(100 * TOLD_AT)
    then, since = (f"{100 * _dying(value):.0f}" for value in (was, now))
    moved = abs(_dying(was) - _dying(now)) >= LEAST_MOVED
    before = (
        say("{n} before", n=then)
        if then != since
        else say("a little other than before")
        if moved
        else say("as before")
    )
    return say(
        "So where {unfed} in 100 die unfed, in the middle case {fed} are believed to die fed, {before}.",
        unfed=unfed, fed=since, before=before,
    )  # fmt: skip


def _dying(log_odds: float) -> float:
    """Of fed colonies where ``TOLD_AT`` of unfed ones die, at ``log_odds`` [log odds]. [share]"""
    return 1.0 / (1.0 + exp(log(1.0 / TOLD_AT - 1.0) + log_odds))
