"""Moving as one more plan: where to, as a plan file says it, and what that place does to the colonies."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Protocol

import numpy as np

from breadline.errors import PlanError, RecordError
from breadline.jobs.book import AtHand, Book
from breadline.jobs.rounds_fields import Money, PlanTable
from breadline.jobs.season import Asked, weather_ahead, with_bloom
from breadline.jobs.weather_age import not_of_another_age
from breadline.jobs.yard_file import read_yard
from breadline.jobs.yards_named import key_named
from breadline.knowledge.calendars import calendar
from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.need.streams import Streams
from breadline.need.yard import Place, Yard
from breadline.plan.ensemble import Ensemble
from breadline.plan.move import Load, Move, There, other_place
from breadline.records.address import BookAt
from breadline.weather.read import read_weather
from breadline.weather.table import Note, SeasonWeather, WeatherFile

MOVE = ("on", "yard", "weather", "latitude", "longitude", "region", "load_cost", "load_cost_year",
        "load_colonies")  # fmt: skip
OWN_WEATHER = noted(
    "The place moved to is told in the weather of the yard itself, by its latitude and its bloom."
)
SAME_YEARS = noted(
    "{yard} has its own weather and bloom, of the same years as here, and the colonies that stand there now."
)
OTHER_YEARS = noted(
    "{yard} has its own weather and bloom, and the colonies that stand there now; its "
    "seasons are not the same years as here, so that the range of what moving brings is "
    "wider than it is."
)


@dataclass(frozen=True)
class KnownPlace:
    """Another yard, as the place moved to."""

    yard: Yard
    weather: Callable[[], WeatherFile]  # read when it is wanted


@dataclass(frozen=True)
class MoveAsked:
    """Another place to stand at, as one more plan."""

    on: date  # first morning there
    place: Place
    load: Load
    known: KnownPlace | None = field(default=None, repr=False, compare=False)  # a yard of one's own

    @property
    def name(self) -> str:
        """What the place is called, where it is a yard of one's own; else empty."""
        return "" if self.known is None else self.known.yard.name


class PlaceSource(Protocol):
    """Where a yard that a plan names is looked up."""

    def place(self, name: str, weather: str, today: date) -> KnownPlace:
        """A yard by its name or file, as known on a day."""
        ...


def place_beside(folder: Path, name: str, weather: str) -> KnownPlace:
    """A yard file, and its weather file: the one named, else weather.csv beside it.

    Errors: YardError where there is no such yard file.
    """
    file = folder / name
    yard = read_yard(file)
    past = folder / weather if weather else file.parent / "weather.csv"
    read = partial(read_weather, past, latitude=yard.place.latitude, longitude=yard.place.longitude,
                   today=yard.today)  # fmt: skip
    return KnownPlace(yard, read)


def place_of_book(path: BookAt, name: str, today: date) -> KnownPlace:
    """A yard of a book, with the weather that is kept for it.

    Errors: RecordError where there is none of that name.
    """
    listed = tuple(Book(path, today).names_by_key().items())
    key = key_named(listed, name)
    if key is None:
        known = ", ".join(f'"{one}"' for _, one in listed) or say("none yet")
        raise RecordError(
            f'yard "{name}"', say("it is not in this book"), say("one of these: {known}", known=known)
        )
    with_looks = _at_hand(path, key, today)
    return KnownPlace(with_looks.newest, partial(_weather_kept, path, key, today))


def _at_hand(path: BookAt, key: str, today: date) -> AtHand:
    return Book(path, today).at_hand(key)


def _weather_kept(path: BookAt, key: str, today: date) -> WeatherFile:
    return _at_hand(path, key, today).weather


def move_asked(table: PlanTable, money: Money, today: date, source: PlaceSource | None) -> MoveAsked | None:
    """The move of a plan file; None where there is none.

    Errors: PlanError with the line; RecordError or YardError for a yard that is not there.
    """
    if not table.data:
        return None
    on = table.needed("on", table.day("on"), say("the first day there, such as 2026-02-10"))
    if on <= today:
        raise table.error(
            "on", say("{on} is not ahead of today, {today}", on=on, today=today), say("a day to come")
        )
    known = _known(table, today, source)
    place = _place(table) if known is None else known.yard.place
    cost = table.needed(
        "load_cost", money.amount(table, "load_cost", say("a load")), say("what a load costs, all told")
    )
    takes = table.needed(
        "load_colonies", table.whole("load_colonies", 1, 2000, "colonies"), say("colonies a load")
    )
    return MoveAsked(on, place, Load(cost, takes), known)


def _known(table: PlanTable, today: date, source: PlaceSource | None) -> KnownPlace | None:
    name = table.text("yard").strip()
    if not name:
        return None
    if also := [key for key in ("latitude", "longitude", "region") if key in table.data]:
        raise table.error(
            also[0], say("the yard moved to says where it is"), say("yard alone"), say("Leave the line out")
        )
    if source is None:
        raise table.error("yard", say("there is nothing to look it up in"), say("latitude and region"))
    try:
        return source.place(name, table.text("weather").strip(), today)
    except RecordError as error:
        raise table.error("yard", error.what, error.expected, error.do) from None


def _place(table: PlanTable) -> Place:
    latitude = table.needed("latitude", table.number("latitude", -90, 90, "degrees"), say("degrees north"))
    region = table.needed_text("region", say("whose bloom is there; breadline season --regions lists them"))
    return Place(latitude, table.number("longitude", -180, 180, "degrees"), region=region)


@dataclass(frozen=True)
class Here:
    """What a yard stands in now."""

    yard: Yard
    weather: SeasonWeather
    ensemble: Ensemble
    until: date
    seed: int


def move_of(here: Here, asked: MoveAsked, reader: Reader) -> tuple[Move, Note]:
    """What the other place does to the colonies, and what that rests on.

    Errors: PlanError where it lies on the other side of the equator; WeatherError for its weather.
    """
    there, weather, said = _there(here, asked, reader)
    drivers = other_place(here.yard, there.place, there.bloom, weather, here.ensemble, reader)
    return Move(There(here.ensemble.day(asked.on), drivers), asked.load), Note("assumed", said)


def _there(here: Here, asked: MoveAsked, reader: Reader) -> tuple[Yard, SeasonWeather, str]:
    """The yard as it would stand there, that place's seasons, and a sentence."""
    known = asked.known
    if known is None:
        starter = calendar(asked.place.region or "")
        there, _ = with_bloom(replace(here.yard, place=asked.place, bloom=()), starter)
        return there, here.weather, say(OWN_WEATHER)
    if known.yard.place.latitude * here.yard.place.latitude < 0:
        raise PlanError("move", say("{name} lies on the other side of the equator", name=known.yard.name),
                        say("a yard of the same half of the year"))  # fmt: skip
    stand = known.yard.place.colonies_in_flight_range or known.yard.colonies
    place = replace(known.yard.place, colonies_in_flight_range=stand + here.yard.colonies)
    of_region = calendar(place.region) if place.region else None
    there, _ = with_bloom(replace(here.yard, place=place, bloom=known.yard.bloom), of_region)
    past = known.weather()
    not_of_another_age(there, past)
    luck = Streams.of(np.random.default_rng(here.seed)).weather
    ahead = weather_ahead(there, past, here.until, reader, luck, Asked())
    paired, alike = same_years(here.weather, ahead)
    return there, paired, say(SAME_YEARS if alike else OTHER_YEARS, yard=known.yard.name)


def same_years(here: SeasonWeather, there: SeasonWeather) -> tuple[SeasonWeather, bool]:
    """The other place's seasons in the order of those here, a year beside itself where it has them all."""
    mine, its = (tuple(one.extra.get("years", ())) for one in (here, there))
    alike = here.paths_are_years and there.paths_are_years and set(mine) <= set(its)
    paths = here.flight_h.shape[0]
    order = [its.index(year) for year in mine] if alike else np.arange(paths) % there.flight_h.shape[0]
    rows = {name: getattr(there, name)[order] for name in ("tmin_c", "tmax_c", "tmean_c", "flight_h")}
    return replace(there, **rows), alike
