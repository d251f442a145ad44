"""The belief that is carried into the next season's plan, and the words for how it moved."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from scipy.special import ndtr

from breadline.belief.gain import IN_WORDS, SURVIVAL, Situation, by_per_cent
from breadline.belief.season_called import season_said, which_season
from breadline.belief.season_effects import Before, Learnt, SeasonResult, by_season, learnt
from breadline.belief.survival_learnt import NOT_APART, SurvivalLearnt, survival_learnt
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.span import FloatArray

SCORES = np.linspace(-4.0, 4.0, 161)  # at which the carried belief is kept [sd]
RANGE = np.array([0.05, 0.5, 0.95])  # low, middle, high [share]
MOST = 2.0  # beyond a sevenfold colony, or a seventh of one, a season effect is cut off [log ratio]


@dataclass(frozen=True)
class Ends:
    """Low, middle and high of a belief, nine in ten within. [log ratio]"""

    low: float
    middle: float
    high: float

    @property
    def words(self) -> str:
        """As it is told: "25 % more bees (10 % fewer to 73 % more)"."""
        low, middle, high = (float(np.exp(v)) for v in (self.low, self.middle, self.high))
        ends = {"low": by_per_cent(low), "high": by_per_cent(high)}
        if not round(100 * (middle - 1)):
            return say("as many bees ({low} to {high})", **ends)
        return say("{typical} bees ({low} to {high})", typical=by_per_cent(middle), **ends)


@dataclass(frozen=True)
class Carried:
    """What an operation believes of feeding in one situation after its own seasons.

    Parameters
    ----------
    situation
        The only one that it holds for.
    results
        What it was learnt from, one a season.
    before, after
        Of μ, the mean over seasons. [log ratio]
    next_before, next_after
        Of next season: μ and a new season effect. [log ratio]
    season_sd
        τ, the scale of season effects, after. [log ratio]
    expected
        Mean of next season's result. [log ratio]
    values
        Next season's belief at ``SCORES``. [log ratio]
    survival
        What the same trials taught of survival; None where there is no trial. [log odds]
    """

    situation: Situation
    results: tuple[SeasonResult, ...]
    before: Ends
    after: Ends
    next_before: Ends
    next_after: Ends
    season_sd: Ends
    expected: float
    values: tuple[float, ...]
    survival: SurvivalLearnt | None = None

    def at(self, z: FloatArray) -> FloatArray:
        """Next season's belief at standard normal scores ``z`` [sd]; the shape of ``z``. [log ratio]"""
        return np.asarray(np.interp(z, SCORES, self.values))

    @property
    def moved(self) -> str:
        """What the own seasons taught, in words."""
        seen = _seen(self.results)
        moved = say(
            "So the belief about feeding {forage}, over the seasons, moved from {before} to {after}.",
            forage=say(IN_WORDS[self.situation]), before=self.before.words, after=self.after.words,
        )  # fmt: skip
        return f"{seen}. {moved}"

    @property
    def sentence(self) -> str:
        """The whole of it, as it stands under a plan."""
        survival = "" if self.survival is None else f" {self.survival.sentence}"
        return f"{self.moved} {self.next_told}{survival}"

    @property
    def next_told(self) -> str:
        """What is believed of next season."""
        return say("Next season, with its own luck: {believed}.", believed=self.next_after.words)

    @property
    def put_down_to_the_season(self) -> float | None:
        """Share of a single season's surprise that did not move μ; None with several seasons, or no surprise.

        Of what the result lies off the middle believed before. [share]
        """
        if len(self.results) != 1:
            return None
        surprise = self.results[0].log_ratio - self.before.middle
        if abs(surprise) < 0.02:
            return None
        return float(np.clip(1.0 - (self.after.middle - self.before.middle) / surprise, 0.0, 1.0))


def before_own_seasons(situation: Situation, reader: Reader) -> Before:
    """The shelf's belief in a situation, taken as that of μ, with the spread of seasons about it."""
    mean = reader.span(f"belief.{situation}_gain")
    return Before(mean, reader.typical("belief.season_sd"))


def carried(situation: Situation, results: Sequence[SeasonResult], reader: Reader) -> Carried:
    """The belief of the shelf with an operation's own results of the same situation on it.

    Parameters
    ----------
    situation
        What the place gave while the feed was on, in every one of the results.
    results
        Of fair trials; results of one season share its effect.
    reader
        The shelf: ``belief.<situation>_gain``, ``belief.season_sd``, what is believed of survival and
        ``belief.survival_season_share``.
    """
    bees = _carried(situation, by_season(results), before_own_seasons(situation, reader))
    return replace(bees, survival=_survival(situation, results, reader))


def _survival(situation: Situation, results: Sequence[SeasonResult], reader: Reader) -> SurvivalLearnt | None:
    """What the deaths taught; nothing is laid on losses where a result has its dead in it as 0."""
    if not results:
        return None
    if any(one.deaths is None for one in results):
        return NOT_APART
    by_yard = [(which_season(one.season), of) for one in results for of in one.deaths or ()]
    share = reader.typical("belief.survival_season_share")
    return survival_learnt(reader.span(SURVIVAL[situation]), share, by_yard)


def of_situation(
    results: Mapping[Situation, Sequence[SeasonResult]], reader: Reader
) -> dict[Situation, Carried]:
    """The carried belief of every situation that has a result; the others stay as on the shelf."""
    return {s: carried(s, each, reader) for s, each in results.items() if each}


@lru_cache(maxsize=64)
def _carried(situation: Situation, results: tuple[SeasonResult, ...], before: Before) -> Carried:
    first, then = learnt(before, ()), learnt(before, results)
    values = np.clip(then.next_at(ndtr(SCORES)), -MOST, MOST)
    return Carried(
        situation,
        results,
        _of_mean(first),
        _of_mean(then),
        _of_next(first),
        _of_next(then),
        Ends(*then.spread_at(RANGE).tolist()),
        then.expected,
        tuple(values.tolist()),
    )


def _of_mean(of: Learnt) -> Ends:
    return Ends(*of.mean_at(RANGE).tolist())


def _of_next(of: Learnt) -> Ends:
    return Ends(*np.clip(of.next_at(RANGE), -MOST, MOST).tolist())


def _seen(results: Sequence[SeasonResult]) -> str:
    each = [by_per_cent(float(np.exp(one.log_ratio))) for one in results]
    living = any(one.of_living for one in results)
    if len(each) == 1:
        told = {"more": each[0], "season": season_said(results[0].season)}
        if living:
            return say("In your own check group fed colonies that lived had {more} bees ({season})", **told)
        return say("In your own check group fed colonies had {more} bees ({season})", **told)
    said = [f"{more} ({season_said(one.season)})" for more, one in zip(each, results, strict=True)]
    both = {"some": ", ".join(said[:-1]), "last": said[-1]}
    if living:
        return say("In your own check groups fed colonies that lived had, of bees, {some} and {last}", **both)
    return say("In your own check groups fed colonies had, of bees, {some} and {last}", **both)
