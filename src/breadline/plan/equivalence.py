"""From the belief to a pollen-equivalence: what a gram of feed must be worth for the model to show it.

Each draw of the belief is a gain in bees. In the reference run of the situation the model shows a gain
for each pollen-equivalence; the draw gets the least one that shows its own gain. A draw at or below 0
gets 0 and keeps its whole gain as a loss; one beyond what any feed can do in this model gets the least
that does the most, and keeps the rest as a gain. So no part of the belief is lost on the way.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from breadline.belief.gain import SITUATIONS, Situation
from breadline.errors import OurFault
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.season import Block, lived
from breadline.span import FloatArray

RUNGS = 13  # equivalences tried, from 0 to the most that a feed is believed to be worth
CLOSER = 5  # times that a crossing is narrowed, by chord and by half in turn; the last is a chord
AS_GOOD = 0.002  # of the log ratio; a curve this near its top has reached it
LEAST_BEES = 1.0  # a colony that died out still has a logarithm [bees]


@dataclass(frozen=True)
class FeedWorth:
    """What a feed is worth in one forage situation, draw by draw; every array has shape (draws,).

    In the reference run the model at ``equivalence`` with ``remainder`` laid on gives ``gain`` back.
    """

    situation: Situation
    gain: FloatArray  # the belief: bees of fed over bees of unfed colonies [log ratio]
    equivalence: FloatArray  # pollen that a gram of feed replaces [g/g]
    remainder: FloatArray  # what the model does not show: a loss below 0, a gain above [log ratio]
    reached: np.ndarray  # whether an equivalence shows the gain; False where draw or model falls short
    eaten_g: FloatArray  # feed eaten in the reference run [g]
    others: tuple[FeedWorth, ...] = ()  # the same feed in other situations of the season, draw by draw

    def in_situation(self, situation: Situation) -> FeedWorth:
        """What it is worth in a situation; where that was not drawn, what it is worth in its own."""
        return next((one for one in self.others if one.situation == situation), self)

    @property
    def by_situation(self) -> tuple[FeedWorth, ...]:
        """What it is worth in each, in the order of ``SITUATIONS``."""
        return tuple(self.in_situation(situation) for situation in SITUATIONS)

    def take(self, index: np.ndarray) -> FeedWorth:
        """The draws at ``index``, in that order."""
        parts = ("gain", "equivalence", "remainder", "reached", "eaten_g")
        others = tuple(one.take(index) for one in self.others)
        return replace(self, others=others, **{name: getattr(self, name)[index] for name in parts})

    def laid_on(self, adults: FloatArray, eaten_g: FloatArray) -> FloatArray:
        """Bees of fed colonies with the remainder on them.

        Parameters
        ----------
        adults
            As the model has them with the feed at its equivalence, shape (…, draws). [bees]
        eaten_g
            Feed eaten until then, shape (…, draws). A colony that ate half of what it would have eaten
            in the reference run gets half of the remainder, one that ate none gets none. [g]

        Returns
        -------
        FloatArray
            Shape (…, draws). [bees]
        """
        had = np.minimum(1.0, eaten_g / np.maximum(self.eaten_g, 1.0))
        return np.asarray(adults * np.exp(self.remainder * had))

    @property
    def adds_nothing(self) -> float:
        """Share of draws in which the feed does nothing or harm. [share]"""
        return float((self.gain <= 0).mean())

    @property
    def beyond(self) -> float:
        """Share of draws whose gain is more than this model can show. [share]"""
        return float(((self.gain > 0) & ~self.reached).mean())

    @property
    def notes(self) -> tuple[str, ...]:
        """What has to be said beside any plan that rests on it."""
        nothing, beyond = (5 * round(20 * share) for share in (self.adds_nothing, self.beyond))
        said = [
            say(
                "By what is believed of feeds, this one adds no bees or costs some in about "
                "{nothing} of 100 seasons; they are in every plan.",
                nothing=nothing,
            )
        ]
        if beyond:
            said.append(
                say(
                    "In about {beyond} of 100 the gain believed is more than this season "
                    "model can show for any feed in such a time; what is left over is added "
                    "to the bees as it was believed.",
                    beyond=beyond,
                )
            )
        return tuple(said)


def feed_worth(reference: Block, situation: Situation, gain: FloatArray, reader: Reader) -> FeedWorth:
    """What a feed is worth, so that the reference run gives the belief back.

    Parameters
    ----------
    reference
        The reference run of the situation, one member a draw; see ``plan.reference``.
    situation
        Which one it is.
    gain
        Draws of the belief, shape (draws,). [log ratio]
    reader
        The shelf: the most that a gram of feed is believed to be worth, ``feed.equivalence``.

    Errors
    ------
    OurFault
        If there is not one member a draw.
    """
    if gain.shape != reference.equivalence.shape or not np.isfinite(gain).all():
        raise OurFault("feed worth", f"{gain.size} draws of belief, {reference.equivalence.size} colonies",
                       "a finite draw for each colony")  # fmt: skip
    unfed = shown(reference, np.zeros(gain.shape))
    equivalence, seen, reached = np.zeros(gain.shape), np.zeros(gain.shape), np.zeros(gain.shape, dtype=bool)
    up = np.flatnonzero(gain > 0)
    if up.size:
        found = _least(_part(reference, up), gain[up], unfed.adults[up], reader.span("feed.equivalence").high)
        equivalence[up], seen[up], reached[up] = found
    eaten = shown(reference, equivalence).eaten_g
    return FeedWorth(situation, gain, equivalence, gain - seen, reached, eaten)


@dataclass(frozen=True)
class Shown:
    """The end of a reference run; shape (draws,)."""

    adults: FloatArray  # [bees]
    eaten_g: FloatArray  # [g]


def shown(reference: Block, equivalence: FloatArray) -> Shown:
    """The end of the reference run with a gram of feed worth ``equivalence``, shape (draws,). [g/g]"""
    course = lived(replace(reference, equivalence=equivalence), ("adults", "eaten_g"))
    return Shown(np.maximum(course.adults[-1], LEAST_BEES), course.eaten_g.sum(0))


def _part(reference: Block, index: np.ndarray) -> Block:
    return Block(
        reference.start.part(index),  # type: ignore[arg-type]
        replace(reference.drivers, path=reference.drivers.path[index]),
        reference.par.take(index),
        reference.const,
        reference.equivalence[index],
    )


def _least(
    reference: Block, gain: FloatArray, unfed: FloatArray, most: float
) -> tuple[FloatArray, FloatArray, np.ndarray]:
    """The least equivalence that shows each gain, what it shows, and whether that is the gain.

    The curve need not rise everywhere: the first crossing counts, and where there is none the least
    rung as good as the best.
    """

    def ratio(equivalence: FloatArray) -> FloatArray:
        return np.asarray(np.log(shown(reference, equivalence).adults / unfed))

    rungs = most * np.linspace(0.0, 1.0, RUNGS) ** 2  # closer together where a gain begins
    curve = np.stack([np.zeros(gain.size), *(ratio(np.full(gain.size, rung)) for rung in rungs[1:])])
    crossed = np.asarray(curve >= gain)
    reached: np.ndarray = np.any(crossed, axis=0)
    rung = np.where(reached, crossed.argmax(0), (curve >= curve.max(0) - AS_GOOD).argmax(0))
    each = np.arange(gain.size)
    high, at_high = rungs[rung], curve[rung, each]
    below = np.maximum(rung - 1, 0)
    low, at_low = rungs[below], curve[below, each]
    for turn in range(CLOSER):
        step = (gain - at_low) / np.maximum(at_high - at_low, 1e-12)
        if turn % 2:
            step = np.full(gain.size, 0.5)  # a bent curve holds the chord back on one side
        tried = np.where(reached, low + np.clip(step, 0.0, 1.0) * (high - low), high)
        seen = ratio(tried)
        over = seen >= gain
        high, at_high = np.where(over, tried, high), np.where(over, seen, at_high)
        low, at_low = np.where(over, low, tried), np.where(over, at_low, seen)
    return tried, seen, reached
