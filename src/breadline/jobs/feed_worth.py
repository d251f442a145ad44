"""What a feed is worth at a yard in a forage situation: belief, reference run and weather together."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from breadline.belief.gain import NO_SHIFT, Scored, Situation, gain_draws
from breadline.jobs.season import limits
from breadline.knowledge.shelf import Reader
from breadline.need.forecast import constants
from breadline.need.parameters import Parameters
from breadline.need.yard import Yard
from breadline.plan.equivalence import FeedWorth, feed_worth
from breadline.plan.reference import reference_run, reference_span
from breadline.weather.table import WeatherFile
from breadline.weather.years import season_weather


@dataclass(frozen=True)
class Fed:
    """A feed in a situation; ``shift`` is what its own analysis moves the belief by, mean and spread.

    ``learnt`` is the belief after one's own seasons where there are any; elsewhere the shelf's holds.
    """

    situation: Situation
    shift: tuple[float, float] = NO_SHIFT  # [log ratio]
    also: tuple[Situation, ...] = ()  # other situations of the same season
    learnt: Mapping[Situation, Scored] = field(default_factory=dict)


def feed_worth_at(
    yard: Yard, weather: WeatherFile, par: Parameters, fed: Fed, reader: Reader, rng: np.random.Generator
) -> FeedWorth:
    """What the feed is worth with this yard's model, one draw for each of ``par``.

    Feeds and situations asked with generators of the same seed share their luck, draw by draw, and so
    can be compared; so do the situations of one feed.

    Errors
    ------
    WeatherError
        If the file does not cover the season of the reference run in one past year.
    FigureError
        If the shift is more than an analysis may say.
    """
    seeds = rng.bit_generator.seed_seq.spawn(2)  # type: ignore[attr-defined]
    found = [
        _worth_in(situation, fed, (yard, weather, par), reader, seeds)
        for situation in (fed.situation, *fed.also)
    ]
    return replace(found[0], others=tuple(found[1:]))


def _worth_in(
    situation: Situation,
    fed: Fed,
    at: tuple[Yard, WeatherFile, Parameters],
    reader: Reader,
    seeds: Sequence[np.random.SeedSequence],
) -> FeedWorth:
    """In one situation; the same seeds give the same luck in each."""
    for_weather, for_belief = (np.random.default_rng(seed) for seed in seeds)
    (yard, weather, par), latitude = at, at[0].place.latitude
    span = reference_span(situation, latitude, yard.today, reader)
    ahead = season_weather(
        weather, span.first, span.days, latitude=latitude, limits=limits(reader), rng=for_weather
    )
    reference = reference_run(span, latitude, ahead.flight_h, (par, constants(reader)), reader)
    gain = gain_draws(situation, reader, for_belief, par.draws, fed.shift, fed.learnt.get(situation))
    return feed_worth(reference, situation, gain, reader)
