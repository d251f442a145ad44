"""Dry feed in the open: a shelter, a little often, only on flying days, and who else eats it.

It feeds every colony in flight range, the neighbours' too. So inside that range nothing
can be a check group any more: ``NoCheckGroup`` carries that to the comparison.
Little of this was measured; every figure is the user's to change.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from math import asin, cos, radians, sin, sqrt
from typing import Literal

import numpy as np

from breadline.errors import YardError
from breadline.knowledge.shelf import Reader
from breadline.language import say, say_counted
from breadline.measures import Units
from breadline.need.outlook import Range
from breadline.need.words import counted, day, warmth
from breadline.need.yard import Place
from breadline.plan.cuts import mass_words

EARTH_KM = 6371.0  # mean radius [km]
KM_A_MILE = 1.609344
Inside = Literal["inside", "doubtful", "outside", "unknown"]


@dataclass(frozen=True)
class NoCheckGroup:
    """No check group inside this flight range: dry feed stood in the open there.

    ``near_km`` is how far bees come as a rule, ``far_km`` how far in need. [km]
    """

    yard: str
    place: Place
    since: date  # it stays so for the rest of the season
    near_km: float
    far_km: float

    def holds(self, yard: str, place: Place) -> Inside:
        """Whether a yard lies inside the range; "unknown" where either has no longitude."""
        if yard == self.yard:
            return "inside"
        away = apart_km(self.place, place)
        if away is None:
            return "unknown"
        if away <= self.near_km:
            return "inside"
        return "doubtful" if away <= self.far_km else "outside"

    def would(self, units: Units) -> str:
        """As it is said before any is put out."""
        near, far = (distance_words(km, units) for km in (self.near_km, self.far_km))
        return say(
            "Once it stands there, no check group inside its flight range this season: "
            "it feeds every colony within about {near}, the neighbours' too, and in need "
            "up to {far}.",
            near=near,
            far=far,
        )

    def sentence(self, units: Units) -> str:
        """As it is said to whoever draws a check group where it stands."""
        near, far = (distance_words(km, units) for km in (self.near_km, self.far_km))
        return say(
            "No check group inside this flight range: since {day} dry feed at {yard} "
            "feeds every colony within about {near}, the neighbours' too, and in need up "
            "to {far}.",
            day=day(self.since),
            yard=self.yard,
            near=near,
            far=far,
        )


def apart_km(one: Place, other: Place) -> float | None:
    """Distance between two places along the earth; None where a longitude is not known [km]."""
    if one.longitude is None or other.longitude is None:
        return None
    up, over = (
        radians(other.latitude - one.latitude),
        radians(other.longitude - one.longitude),
    )
    h = sin(up / 2) ** 2 + cos(radians(one.latitude)) * cos(radians(other.latitude)) * sin(over / 2) ** 2
    return 2.0 * EARTH_KM * asin(sqrt(min(1.0, h)))


def distance_words(km: float, units: Units) -> str:
    """A distance to the half kilometre or half mile [km]."""
    value, noun = (km / KM_A_MILE, "mile") if units == "lb" else (km, "km")
    said = f"{round(value * 2) / 2:g}"
    if noun == "km":
        return say("{said} km", said=said)
    return say_counted("{n} mile", "{n} miles", 1 if said == "1" else 2, n=said)


@dataclass(frozen=True)
class Weather:
    """One day ahead."""

    on: date
    high_c: float  # [°C]
    rain_mm: float  # [mm]
    humidity_pct: float | None = None  # of the air at midday [% of saturation]
    wind_ms: float | None = None  # at 2 m, where bees fly [m/s]


@dataclass(frozen=True)
class OutDay:
    """Whether dry feed goes out on a day, and why not."""

    on: date
    out: bool
    why: str


def out_day(weather: Weather, reader: Reader, country: str | None, sheltered: bool | None = None) -> OutDay:
    """Whether the day is one for dry feed: warm enough to fly, no rain, no gale, air not too damp.

    Under a shelter rain counts where bees don't fly in it; without one, or where nobody said, any day with
    rain does.

    Sources: [rain_day].

    Errors: YardError if the humidity is no percentage.
    """
    damp = weather.humidity_pct
    if damp is not None and not (1.0 < damp <= 100.0 or damp == 0.0):
        do = (
            say("If you typed a share ({damp:g}), enter per cent ({damp2:g})", damp=damp, damp2=100 * damp)
            if 0 < damp <= 1
            else ""
        )
        raise YardError("humidity", f"{damp:g} %", say("0 to 100 %"), do)
    fly = reader.typical("dry_feed.fly_c")
    if weather.high_c <= fly:
        return OutDay(
            weather.on, False, say("not over {warmth}: bees don't fetch it", warmth=warmth(fly, country))
        )
    if weather.rain_mm >= reader.typical("flight.rain_day_mm"):
        return OutDay(weather.on, False, say("rain"))
    if not sheltered and weather.rain_mm >= reader.typical("dry_feed.rain_day_mm"):
        return OutDay(weather.on, False, say("rain, and nothing keeps it dry"))
    if weather.wind_ms is not None and weather.wind_ms >= reader.typical("flight.wind_none_ms"):
        return OutDay(weather.on, False, say("too windy to fly, and it blows away"))
    if damp is not None and damp >= reader.typical("dry_feed.most_humid_pct"):
        return OutDay(weather.on, False, say("air so damp that it cakes"))
    return OutDay(weather.on, True, say("a flying day"))


@dataclass(frozen=True)
class Station:
    """Where dry feed is to stand."""

    yard: str
    place: Place
    since: date
    own_colonies: int  # of this yard and others of yours in flight range
    sheltered: bool | None  # pail or barrel on its side, its mouth away from wind and rain
    units: Units

    def __post_init__(self) -> None:
        if self.own_colonies < 1:
            raise YardError("own colonies in flight range", f"{self.own_colonies}", say("1 or more"))
        around = self.place.colonies_in_flight_range
        if around is not None and around < self.own_colonies:
            raise YardError(
                "colonies in flight range",
                say(
                    "{around:g}, of which {own_colonies} your own",
                    around=around,
                    own_colonies=self.own_colonies,
                ),
                say("all colonies, your own among them"),
            )


@dataclass(frozen=True)
class DryFeedPlan:
    """What to put out, on which days, who eats it, and what it means for a check group."""

    days: tuple[OutDay, ...]
    each_time_g: Range  # to put out at a time, for every colony in range [g]
    own_share: float | None  # of it for your own; None where the neighbours' are not known [share]
    no_check_group: NoCheckGroup
    sentences: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def times(self) -> int:
        """Days on which it goes out."""
        return sum(d.out for d in self.days)


def dry_feed_plan(
    station: Station, ahead: Sequence[Weather], reader: Reader, rng: np.random.Generator, draws: int = 2000
) -> DryFeedPlan:
    """A plan for dry feed over the days ahead; what is unknown is warned of, never assumed.

    Where neighbours' colonies are not known the amount counts your own only.
    """
    country = station.place.country
    days = tuple(out_day(w, reader, country, station.sheltered) for w in ahead)
    around = station.place.colonies_in_flight_range
    each = _each_time(around or float(station.own_colonies), reader, rng, draws)
    own = None if around is None else station.own_colonies / around
    reach = reader.span("dry_feed.flight_range_km")
    barred = NoCheckGroup(station.yard, station.place, station.since, reach.typical, reach.high)
    said = _said(days, each, own, station)
    return DryFeedPlan(
        days, each, own, barred, (*said, barred.would(station.units)), _warned(station, days, reader)
    )


def _each_time(colonies: float, reader: Reader, rng: np.random.Generator, draws: int) -> Range:
    a_day = reader.draws("dry_feed.g_colony_day", rng, draws)
    grams = colonies * a_day * reader.draws("dry_feed.days_out", rng, draws)
    low, middle, high = (float(q) for q in np.quantile(grams, (0.1, 0.5, 0.9)))
    return Range(low, middle, high)


def _said(days: tuple[OutDay, ...], each: Range, own: float | None, station: Station) -> tuple[str, ...]:
    low, high = (mass_words(g, station.units) for g in (each.low, each.high))
    out = sum(d.out for d in days)
    if own is None:
        theirs = say("How much of it the neighbours' bees take is not known.")
    elif own >= 1.0:
        theirs = say("No other colonies are known in flight range.")
    else:
        theirs = say(
            "About {own} parts in 10 go to your own colonies, the rest to the neighbours'.",
            own=round(own * 10),
        )
    ahead = (
        say("; {many} of the {days} ahead", many=counted(out, "flying day"), days=len(days)) if days else ""
    )
    if days and not out:
        first = say(
            "Put out none in the {many} ahead: on no day would bees fetch it and it stay dry.",
            many=counted(len(days), "day"),
        )
    else:
        first = say(
            "Put out {low} to {high} at a time, a little every flying day, and no more until it is "
            "gone{ahead}.",
            low=low,
            high=high,
            ahead=ahead,
        )
    return (
        first,
        theirs,
        say("Strong colonies fetch most of it; a weak one needs its own piece inside."),
    )


def _warned(station: Station, days: tuple[OutDay, ...], reader: Reader) -> tuple[str, ...]:
    said = [say("Amounts in the open are barely measured: go by what is gone by the evening.")]
    if not station.sheltered:
        said.append(
            say("It needs a shelter: a pail or barrel on its side, its mouth away from wind and rain.")
        )
    least = round(reader.typical("dry_feed.good_days"))
    if not days:
        said.append(say("No forecast was given: only on dry days above the warmth at which bees fly."))
    if len(days) >= least and sum(d.out for d in days) < least:
        said.append(
            say(
                "Fewer than {many} ahead: wait for a longer spell of them.", many=counted(least, "flying day")
            )
        )
    if station.place.colonies_in_flight_range is None:
        said.append(say("Ask how many colonies stand within flight range: you feed them all."))
    said.append(say("Bees of many hives meet at it: never where foulbrood is about."))
    return tuple(said)
