"""One yard's season: from counts, weather and forage to an outlook."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np

from breadline.belief.gain import likely_gain
from breadline.errors import CountTooOld, YardError
from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.dearth import frames_end
from breadline.need.missed_checks import missed_words
from breadline.need.outlook import Outlook
from breadline.need.parameters import NAMES, Parameters, joint_draws
from breadline.need.place_drivers import SEASON_NAMES, Columns, WeatherAhead, place_drivers
from breadline.need.season import Block, Constants, lived
from breadline.need.season_signal import BroodEnd, last_brood_date
from breadline.need.seen_pollen import seen_bloom
from breadline.need.shortfall import ledger, short_rule
from breadline.need.start import start_colony
from breadline.need.starting_count import counted_draws
from breadline.need.streams import Streams
from breadline.need.summary import SHOWN, SHOWN_FED, Told, summary
from breadline.need.words import day_and_year
from breadline.need.yard import Yard
from breadline.span import FloatArray

LEAVES_OUT = (
    noted("varroa"), noted("swarming"), noted("queen failure"), noted("nectar limits"), noted("drones"),
    noted("disease"),
)  # fmt: skip
DRAWS = 500  # a weather path
OLDEST_COUNT = 45  # days; about two brood cycles, after which a count says little


@dataclass(frozen=True)
class Ends:
    """Where an outlook ends and why."""

    on: date  # last day
    because: str
    beyond: tuple[str, ...] = ()  # what can be said of the time after it


def outlook_ends(start: date, latitude: float, reader: Reader) -> Ends:
    """The last day an outlook may cover, at a latitude in [°].

    It stops before winter unless the season model has passed its own check there.

    Errors
    ------
    YardError
        If the last brood before winter has already emerged: then only a count
        after midwinter starts an honest outlook.
    """
    longest = start + timedelta(days=int(reader.typical("outlook.longest_days")) - 1)
    at_most = Ends(longest, say("half a year ahead is as far as this outlook goes"))
    if reader.checks.trusts("winter"):
        return at_most
    typical = {n: reader.typical(f"season.{n}") for n in SEASON_NAMES}
    rule = BroodEnd(
        reader.typical("outlook.laying_stops_share"), reader.typical("outlook.winter_laying_share"), 21
    )
    stop = last_brood_date(np.datetime64(start), latitude, typical, rule)
    if stop is None or stop.astype(date) > longest:
        return at_most
    last: date = stop.astype(date)
    if last - start < timedelta(days=7):
        raise YardError(
            "today",
            say(
                "on {day_and_year} the last sizeable brood before winter has emerged or is about to",
                day_and_year=day_and_year(start),
            ),
            say("a date between midwinter and the last brood"),
            say(
                "No outlook is drawn across winter, because the season model fails its own check there; "
                "count again when brood begins. {more}",
                more=" ".join(across_winter(reader)[1:]),
            ),
        )
    return Ends(
        last,
        say("the last sizeable brood before winter has emerged; no outlook is drawn across winter"),
        across_winter(reader),
    )


def across_winter(reader: Reader) -> tuple[str, ...]:
    """Why no frames are foretold across winter, and what feeding before it is likely to add instead."""
    return (
        say(
            "No bees or frames are foretold across winter: {missed_words}.",
            missed_words=missed_words("winter", reader.checks),
        ),
        likely_gain("dearth", reader).sentence,
        likely_gain("pollen", reader).sentence,
    )


def forecast(
    yard: Yard, weather: WeatherAhead, reader: Reader, streams: Streams, draws: int = DRAWS
) -> Outlook:
    """The outlook of a yard's average colony.

    Parameters
    ----------
    yard
        Counts, place and bloom.
    weather
        Must cover the days from the count to the end of the outlook; where it begins
        earlier, degree-day sums begin there.
    reader
        The shelf, which notes what is used.
    streams
        The only source of chance; the same seed gives the same outlook, and another
        count under it the same weather, bloom and parameters.
    draws
        Parameter draws a weather path. [-]
    """
    count_age(yard)
    today = (yard.today - yard.count.on).days
    ends = outlook_ends(yard.today, yard.place.latitude, reader)
    days = (ends.on - yard.count.on).days + 1
    paths = weather.flight_h.shape[0]
    path = np.repeat(np.arange(paths), draws)
    base = season_parameters(reader, streams.parameters, draws)
    members = base.take(np.tile(np.arange(draws), paths))
    const = constants(reader)
    counted = counted_draws(yard.count, yard.colonies, reader, streams.count, paths * draws)
    seen = seen_bloom(yard.forage, reader, streams.seen, paths)
    columns = Columns(np.arange(paths), _shifts(weather, reader, streams.bloom), seen)
    place = place_drivers(yard, weather, reader, days, columns, path)
    start = start_colony(counted.state, members, const)
    unfed = Block(start, place, members, const, np.zeros(paths * draws))
    course = lived(unfed, SHOWN)
    fed = None
    if any(g.on >= yard.count.on for g in yard.given):
        equivalence = reader.draws("feed.equivalence", streams.feed, draws)[np.tile(np.arange(draws), paths)]
        fed = lived(replace(unfed, equivalence=equivalence), SHOWN_FED)
    book = ledger(course, counted.state.bread_g, members, short_rule(reader), today)
    told = Told(
        start=yard.count.on,
        today=today,
        bees_a_frame=counted.bees_a_frame,
        stops_because=ends.because,
        beyond=ends.beyond,
        weather_label=weather.label,
        weather_years=weather.paths_are_years,
        few_years=None if weather.paths_are_years else weather.years,
        leaves_out=LEAVES_OUT,
        notes=(
            *counted.notes,
            *((seen.note,) if seen else ()),
            *feed_notes(yard),
            *_as_pollen(yard, reader),
            *unrecorded_feed(yard),
        ),
        frames_end=frames_end(book, course.need_g, yard.count.on, reader),
    )
    return summary(course, book, fed, told).with_figures(reader.used)


def season_parameters(reader: Reader, rng: np.random.Generator, draws: int) -> Parameters:
    """The shipped sets of parameters, as the shelf's edits leave them, shape (draws,)."""
    return joint_draws(
        shipped_draws(),
        {n: reader.span(f"season.{n}") for n in NAMES},
        {n for n in NAMES if reader.figure(f"season.{n}").edited},
        rng,
        draws,
    )


def count_age(yard: Yard) -> int:
    """Days from the last look into the hives, count or inspection, to today. [d]

    Errors
    ------
    YardError
        If that lies ahead of today or is too old to start from.
    """
    last = max([yard.count.on, *(i.on for i in yard.inspections if i.on <= yard.today)])
    age = (yard.today - last).days
    if age > OLDEST_COUNT:
        raise CountTooOld.of(last, day_and_year(last), age, OLDEST_COUNT)
    if age < 0:
        raise YardError(
            say("count"),
            say("the count of {day} lies {days} days ahead", day=day_and_year(last), days=-age),
            say("a count from the last {days} days", days=OLDEST_COUNT),
        )
    return age


def constants(reader: Reader) -> Constants:
    """The constants of the season model from the shelf."""
    return Constants(
        egg_survival=reader.typical("season.egg_survival"),
        larva_survival=reader.typical("season.larva_survival"),
        sealed_survival=reader.typical("season.sealed_survival"),
        load_g=reader.typical("season.load_g"),
        phi=reader.typical("season.phi"),
        wk=tuple(reader.typical(f"season.wk{k}") for k in range(1, 7)),
        reference_load=reader.typical("season.reference_load"),
        lean_days=reader.typical("season.lean_days"),
        recruit_hours=reader.typical("season.recruit_hours"),
    )


def feed_notes(yard: Yard) -> tuple[str, ...]:
    """What has to be said of feed put on before the count."""
    if any(one.on < yard.count.on for one in yard.given):
        return (say("Feed put on before the count is left out: what is left of it is not known."),)
    return ()


def _as_pollen(yard: Yard, reader: Reader) -> tuple[str, ...]:
    """What feed that was given counts as, where nothing is fitted."""
    if not any(one.on >= yard.count.on for one in yard.given):
        return ()
    worth = reader.span("feed.equivalence")
    low, middle, high = (f"{100 * share:.0f}" for share in (worth.low, worth.typical, worth.high))
    return (
        say(
            "Of feed that was given 100 g count as {middle} g of pollen, {low} to {high}: one "
            "wide belief for every feed. What trials found in seasons like yours is in the plans "
            "of Rounds, not here.",
            middle=middle,
            low=low,
            high=high,
        ),
    )


def unrecorded_feed(yard: Yard) -> tuple[str, ...]:
    """What has to be said, where nothing is fitted, of feed that nobody wrote down."""
    if yard.fed_without_record:
        return (
            say(
                "The yard was fed since the count and nobody wrote down what: this outlook reckons "
                "without that feed, so the yard may be short later than it says."
            ),
        )
    return ()


def _shifts(weather: WeatherAhead, reader: Reader, rng: np.random.Generator) -> FloatArray:
    """How early or late bloom by date is on each path. [d]

    Drawn, not taken from the path's own warmth; a single path gets none, because one
    draw would move the whole calendar by chance.
    """
    paths = weather.flight_h.shape[0]
    return np.asarray(rng.normal(0.0, reader.typical("forage.shift_days") if paths > 1 else 0.0, paths))
