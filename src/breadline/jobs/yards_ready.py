"""What the yards still lack before they can be answered for: weather and a calendar of bloom, given here."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from tempfile import TemporaryDirectory
from uuid import UUID

from breadline.errors import InputToMend, RecordError, WeatherError, YardError
from breadline.jobs.book import Book, key_of
from breadline.jobs.lately import Lately
from breadline.jobs.past_weather import CACHE, keep_past_weather
from breadline.knowledge.calendars import calendar, for_place, regions
from breadline.language import noted, say
from breadline.need.forecast import OLDEST_COUNT
from breadline.need.words import day_and_year
from breadline.records import weather_kept, yard_region, yards
from breadline.records.engine import looking, writing
from breadline.records.tables import YardFact
from breadline.weather.service import Opener

LARGEST = 16 * 2**20  # of a weather file [bytes]
OWN_BLOOM = noted("your own list of bloom")


@dataclass(frozen=True)
class Ready:
    """One yard and what its answer goes by; "" for what it has not.

    Parameters
    ----------
    counted
        Day of the newest visit, in words.
    weather
        Name of its weather file.
    bloom
        Name of its calendar.
    counted_days
        How long ago the newest visit was. [d]
    """

    key: str
    name: str
    counted: str
    weather: str
    bloom: str
    counted_days: int = 0  # [d]

    @property
    def lacks(self) -> tuple[str, ...]:
        """What has to be given first, in words."""
        old = self.counted_days > OLDEST_COUNT
        parts = (
            (self.counted, "a count"),
            (not old, "a new count"),
            (self.weather, "weather"),
            (self.bloom, "bloom"),
        )
        return tuple(word for there, word in parts if not there)


class ReadyBook(Book):
    """A book as its yards are made ready to be answered for."""

    def stand_of_yards(self) -> tuple[Ready, ...]:
        """Every yard and what it has, oldest first."""
        with looking(self._engine) as session:
            lately = Lately(session, self.today)
            own = yard_region.with_own_bloom(session)
            days = lately.of_book("counted on", lambda: yards.counted_on(session, self.today))
            files = weather_kept.names(session)
            return tuple(
                _ready(one, one.yard_id in own, days.get(one.yard_id), files, self.today)
                for one in yard_region.facts(session)
            )

    def calendars(self) -> tuple[tuple[str, str], ...]:
        """Starter calendars, those of the yards' own country and latitude first: key and words."""
        with looking(self._engine) as session:
            rows = yard_region.facts(session)
        near = [one.key for row in rows[:1] for one in for_place(row.country, row.latitude)]
        names = {key: f"{say(name)}, {country}" for key, name, country in regions()}
        return tuple((key, names[key]) for key in [*near, *(k for k in names if k not in near)])

    def give_weather(self, name: str, content: bytes, keys: Sequence[str]) -> int:
        """Keep a weather file for yards, read first for each of them; how many.

        Errors
        ------
        WeatherError
            If it cannot be read; then nothing is written down.
        """
        if not content or len(content) > LARGEST:
            what = say("none was chosen, or it is empty or too long")
            raise WeatherError(
                "weather file", what, say("a file of up to 16 MB"), say("Choose a file of past years")
            )
        rows = self._chosen(keys)
        with TemporaryDirectory() as folder:
            path = Path(folder) / (Path(name.replace("\\", "/")).name[:90] or "weather")
            path.write_bytes(content)
            came = self.came(path, (rows[0].latitude, rows[0].longitude))
        with writing(self._engine) as session:
            every = {one.yard_id for one in yard_region.facts(session)} == {one.yard_id for one in rows}
            bare = every and not any(weather_kept.of_yard(session, one.yard_id) for one in rows)
            for key in [None] if bare else [one.yard_id for one in rows]:
                weather_kept.keep(session, came, key)
        return len(rows)

    def fetch_weather(
        self, keys: Sequence[str], accept_terms: bool, opener: Opener | None = None, cache: Path = CACHE,
        *, wanted: Callable[[], bool] = lambda: True,
    ) -> int:  # fmt: skip
        """Past years of the first yard's place, from the public archive, for all, if ``wanted`` still.

        Errors
        ------
        WeatherError, Offline
            If the terms are not accepted, or the archive cannot be reached.
        """
        first = self._chosen(keys)[0]
        if first.longitude is None:
            raise YardError(first.name, say("its longitude is not known"), say("latitude and longitude"),
                            say("Give a weather file instead"))  # fmt: skip
        place = (round(first.latitude, 1), round(first.longitude, 1))
        with TemporaryDirectory() as folder:
            path = Path(folder) / f"archive-{place[0]:g}-{place[1]:g}.csv"
            keep_past_weather(*place, path, self.today, accept_terms=accept_terms, cache=cache, opener=opener)
            if not wanted():
                raise RecordError("weather", say("nobody waits for it any more"), "", say("Ask for it again"))
            return self.give_weather(path.name, path.read_bytes(), keys)

    def give_calendar(self, region: str, keys: Sequence[str]) -> int:
        """Say which starter calendar yards go by; how many.

        Errors
        ------
        FigureError
            If there is no such calendar.
        """
        calendar(region)
        rows = self._chosen(keys)
        with writing(self._engine) as session:
            for one in rows:
                yard_region.say_region(session, one.yard_id, region, "chosen on the page")
        return len(rows)

    def _chosen(self, keys: Sequence[str]) -> list[YardFact]:
        wanted = {key_of(key) for key in keys}
        with looking(self._engine) as session:
            rows = [one for one in yard_region.facts(session) if one.yard_id in wanted]
        if not rows:
            raise RecordError(
                "yards", say("none is ticked"), say("one yard or more"), say("Tick the yards it is for")
            )
        return rows


def _ready(
    one: YardFact, own_bloom: bool, day: date | None, files: Mapping[UUID | None, str], today: date
) -> Ready:
    counted = "" if day is None else day_and_year(day)
    weather = files.get(one.yard_id, files.get(None, ""))
    bloom = say(OWN_BLOOM) if own_bloom else _calendar_name(one.region)
    return Ready(
        str(one.yard_id), one.name, counted, weather, bloom, 0 if day is None else (today - day).days
    )


def _calendar_name(region: str | None) -> str:
    if not region:
        return ""
    try:
        return say(calendar(region).name)
    except InputToMend:  # a book of another program version may name one that is not shipped here
        return ""
