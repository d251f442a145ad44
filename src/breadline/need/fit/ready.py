"""A yard made ready to be fitted: its days, its inspections and the ensemble before the fit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.dearth import dearth_begins
from breadline.need.fit import before
from breadline.need.fit.before import Stretch, would_count_all
from breadline.need.fit.checks import check_agreement, check_days
from breadline.need.fit.evidence import Seen, Spread, evidence, spread_of
from breadline.need.fit.notes import notes_on
from breadline.need.fit.told import What
from breadline.need.fit.unknowns import Unknowns, unknowns
from breadline.need.forecast import constants, feed_notes, outlook_ends, season_parameters
from breadline.need.missed_checks import missed_words
from breadline.need.parameters import Parameters
from breadline.need.place_drivers import WeatherAhead
from breadline.need.seen_pollen import seen_bloom
from breadline.need.shortfall import ledger, short_rule
from breadline.need.starting_count import counted_draws, frame_size
from breadline.need.streams import Streams
from breadline.need.words import day_and_year
from breadline.need.yard import Yard
from breadline.span import FloatArray

DRAWS = 2000


@dataclass(frozen=True)
class Case:
    """A yard made ready to be fitted."""

    yard: Yard
    at: Stretch
    seen: tuple[Seen, ...]
    spread: Spread
    days: tuple[int, ...]  # of the inspections, in order [d]
    all_of: Unknowns
    bees_a_frame: float  # by the count's definition [bees]
    cells_a_frame: float  # brood on a frame of brood [cells]
    notes: tuple[str, ...]

    def look(self, scores: FloatArray) -> FloatArray:
        """Log-likelihood of each day's counts at scores [-], shape (unknowns, draws); shape (days, draws)."""
        values = self.all_of.values(scores)
        out = np.zeros((len(self.days), scores.shape[1]))
        for one, would in zip(self.seen, would_count_all(self.seen, values, self.at), strict=True):
            out[self.days.index(one.day)] += one.log_likelihood(would)
        return out


def made_ready(
    yard: Yard,
    weather: WeatherAhead,
    reader: Reader,
    streams: Streams,
    par: Parameters | None = None,
    own_error: Mapping[What, float] | None = None,
) -> tuple[Case, FloatArray]:
    """The case, and how well each draw agrees with each day's counts before the fit [-].

    Parameters and errors as in ``fit``; ``own_error`` [-].
    """
    check_days(yard, weather)
    _one_season(yard, reader)
    spread_here = spread_of(yard, reader, own_error)
    seen = evidence(yard, reader, spread_here)
    check_agreement(yard, reader, spread_here, seen)
    looked = seen_bloom(yard.forage, reader, streams.seen, len(before.bloom_shifts(weather, reader)))
    at = before.stretch(yard, weather, reader, constants(reader), looked)
    par = par or parameters_before(reader, streams.parameters)
    counted = counted_draws(yard.count, yard.colonies, reader, streams.count, par.draws)
    all_of = unknowns(before.draws_before(par, counted, yard, reader, at, streams.fit), streams.fit)
    _no_dearth(yard, reader, at, all_of.values(all_of.drawn))
    days = tuple(sorted({one.day for one in seen}))
    filled = float(np.median(counted.filled))
    comb = reader.typical("frame_of_brood.cells_deep") * frame_size(yard.count, reader)
    pollen = (looked.note,) if looked else ()
    notes = (*counted.notes, *pollen, *feed_notes(yard), *notes_on(yard, reader, at.one_past))
    case = Case(yard, at, seen, spread_here, days, all_of, counted.bees_a_frame, comb * filled, notes)
    return case, case.look(all_of.drawn)


def parameters_before(reader: Reader, rng: np.random.Generator, draws: int = DRAWS) -> Parameters:
    """Parameters before the fit: the shipped sets, each with a site from its range; shape (draws,).

    The season model was never tried with a place poorer or richer than that range, so
    the tenth that a span would put outside stays at the ends.
    """
    par, site = season_parameters(reader, rng, draws), reader.span("season.site")
    return replace(par, site=np.clip(par.site, site.low, site.high))


def _one_season(yard: Yard, reader: Reader) -> None:
    last = max(one.on for one in yard.inspections)
    why = f"the season model is not good enough across winter, which lies before {day_and_year(last)}"
    try:
        ends = outlook_ends(yard.count.on, yard.place.latitude, reader)
    except YardError:
        raise _new_count(yard, why) from None
    if last > ends.on:
        half = "half a year" in ends.because
        raise _new_count(yard, "it lies more than half a year before the last inspection" if half else why)


def _no_dearth(yard: Yard, reader: Reader, at: Stretch, values: Mapping[str, FloatArray]) -> None:
    """Where the season model fails its check for a dearth, nothing is fitted across one."""
    if reader.checks.trusts("dearth"):
        return
    course = before.lived(values, at)
    book = ledger(course, values["bread_g"], before.parameters_of(values), short_rule(reader))
    begins = dearth_begins(book, course.need_g, reader.typical("dearth.most_income_share"))
    if begins is not None:
        on = yard.count.on + timedelta(days=begins)
        raise YardError(
            "count",
            say(
                "the fit cannot go from {count} to today: a pollen dearth begins about {day}, and {why}",
                count=day_and_year(yard.count.on),
                day=day_and_year(on),
                why=missed_words("dearth", reader.checks),
            ),
            say("a count from which no pollen dearth lies before today"),
            say("Make the last inspection the count, with afresh = true"),
        )


def _new_count(yard: Yard, why: str) -> YardError:
    return YardError(
        "count",
        say(
            "the fit cannot begin on {day_and_year}: {why}", day_and_year=day_and_year(yard.count.on), why=why
        ),
        say("a count of this season"),
        say("Make the first inspection after midwinter, or of the last half year, the count"),
    )
