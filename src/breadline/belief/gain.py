"""The likely gain from feeding, from published trials, in the situation a yard is in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, Protocol, get_args

import numpy as np
from scipy.special import ndtri

from breadline.errors import FigureError
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say, say_as
from breadline.span import Z95, FloatArray

Situation = Literal["dearth", "poor_spring", "pollen"]
SITUATIONS: tuple[Situation, ...] = get_args(Situation)
NO_SHIFT = (0.0, 0.0)
ROUNDING = 0.005  # of the log ratio, as the range of a figure is written
IN_WORDS: dict[Situation, str] = {
    "dearth": noted("through a real pollen dearth"),
    "poor_spring": noted("in a late winter or early spring of poor flying weather"),
    "pollen": noted("while pollen comes in"),
}
# Trials of a severe dearth read otherwise than all others; the shelf has one figure for each.
SURVIVAL: dict[Situation, str] = {
    "dearth": "belief.survival_dearth_gain",
    "poor_spring": "belief.survival_gain",
    "pollen": "belief.survival_gain",
}


class Scored(Protocol):
    """A belief by its values at standard normal scores: a range of the shelf, or what was learnt since."""

    def at(self, z: FloatArray) -> FloatArray:
        """Values at scores ``z`` [sd]; the shape of ``z``. [log ratio]"""
        ...


@dataclass(frozen=True)
class LikelyGain:
    """Bees of fed colonies over those of unfed ones; nine in ten trials lie within. [ratio]"""

    situation: Situation
    low: float  # 5th percentile
    typical: float  # median
    high: float  # 95th percentile

    @property
    def sentence(self) -> str:
        """As it is told, with its range."""
        usual = (
            say("{by_per_cent} bees than", by_per_cent=by_per_cent(self.typical))
            if round(100 * (self.typical - 1))
            else say("as many bees as")
        )
        return say(
            "In published trials colonies fed {in_words} had {usual} unfed ones in the middle "
            "case, and anything from {by_per_cent} to {by_per_cent2} (our judgement of those "
            "trials).",
            in_words=say(IN_WORDS[self.situation]),
            usual=usual,
            by_per_cent=by_per_cent(self.low),
            by_per_cent2=by_per_cent(self.high),
        )


def likely_gain(situation: Situation, reader: Reader) -> LikelyGain:
    """What feeding is likely to add in a ``situation``; the shelf's ``belief.<situation>_gain``."""
    span = reader.span(f"belief.{situation}_gain")
    low, typical, high = (float(np.exp(v)) for v in (span.low, span.typical, span.high))
    return LikelyGain(situation, low, typical, high)


def gain_draws(
    situation: Situation,
    reader: Reader,
    rng: np.random.Generator,
    n: int,
    shift: tuple[float, float] = NO_SHIFT,
    learnt: Scored | None = None,
) -> FloatArray:
    """The belief as draws, bees of fed over bees of unfed colonies at the end of feeding.

    Parameters
    ----------
    situation
        What the place gives while the feed is on.
    reader
        The shelf; the figure is ``belief.<situation>_gain``.
    rng
        The only source of chance. The same generator gives the same scores in each situation.
    n
        How many. [-]
    shift
        Mean and standard deviation of what the feed's own analysis moves the belief by, drawn apart
        from it; nothing where nothing is known. [log ratio]
    learnt
        The belief after one's own seasons, in place of the shelf's; None where there are none.

    Returns
    -------
    FloatArray
        Shape (n,). [log ratio]

    Errors
    ------
    FigureError
        If the shift is no shift, or more than an analysis may say: the shelf's
        ``analysis.product_contrast``.
    """
    mean, sd = shift
    if shift != NO_SHIFT:
        most = reader.span("analysis.product_contrast")
        most_sd = (most.high - most.low) / (2.0 * Z95)
        if not (abs(mean) <= most.typical + ROUNDING and 0 <= sd <= most_sd + ROUNDING):
            raise FigureError(
                "shift of the belief",
                say("an analysis cannot shift it by {mean:g} with a spread of {sd:g}", mean=mean, sd=sd),
                say(
                    "at most {typical:.2g} with a spread of {most_sd:.2g}",
                    typical=most.typical,
                    most_sd=most_sd,
                ),
                say("What a feed is worth is learnt from your own check group"),
            )
    belief: Scored = learnt or reader.span(f"belief.{situation}_gain")
    believed = belief.at(even_scores(rng, n))
    return np.asarray(believed + mean + sd * even_scores(rng, n))


def even_scores(rng: np.random.Generator, n: int) -> FloatArray:
    """Normal scores in any order, one from each n-th of the chance; shape (n,). [sd]

    Drawn freely, the mean of 500 beliefs is out by a per cent of bees, and every plan's money with it.
    """
    rank = (rng.permutation(n) + rng.uniform(1e-9, 1.0, n)) / n
    return np.asarray(ndtri(np.minimum(rank, 1.0 - 1e-12)))


def by_per_cent(ratio: float) -> str:
    """A ratio [ratio] of fed to unfed in words: "25 % more", "10 % fewer"."""
    per_cent = round(100 * abs(ratio - 1))
    if ratio < 1:
        return say_as("bees", "{n} % fewer", n=per_cent)
    return say_as("bees", "{n} % more", n=per_cent)
