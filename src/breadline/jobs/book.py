"""A book of records as the pages and the command line use it."""

from __future__ import annotations

import hashlib
import tempfile
import weakref
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache, partial
from pathlib import Path
from uuid import UUID

from sqlalchemy import Engine

from breadline.errors import BreadlineError, CountTooOld, NoWeather, RecordError, WeatherError, YardError
from breadline.jobs import foretelling
from breadline.jobs.lately import Lately
from breadline.jobs.season import Asked, SeasonAnswer, season_answer
from breadline.jobs.yards_named import key_named
from breadline.knowledge.figure import Edit, Figure
from breadline.knowledge.shelf import Shelf, load
from breadline.language import ENGLISH, language, say, say_counted, say_later, speaking
from breadline.measures import Measures, told_to
from breadline.need.fit.season_counts import begun_at_first_count, of_this_season
from breadline.need.foretold import What
from breadline.need.words import day_and_year
from breadline.need.yard import Yard
from breadline.records import figure_edits, newest, outlooks, weather_kept, yards
from breadline.records.address import BookAt
from breadline.records.engine import looking, open_book, shut_book, writing
from breadline.records.no_bees import Empty, hives_without_bees, refuse_no_bees
from breadline.records.tables import Weather
from breadline.records.yard_again import keep_yard
from breadline.weather.read import Parsed, at_place, parsed
from breadline.weather.table import Note, WeatherFile

Edits = tuple[tuple[str, Edit], ...]
OwnErrors = tuple[tuple[What, float], ...]  # of the model, on the log scale [1]


ANSWERS = 1024  # of yards, kept in this program
NEWEST_ALONE = Note(
    "warning",
    say_later(
        "The weather does not reach back to the earlier counts of this season: the newest alone is gone by."
    ),
)


@dataclass(frozen=True)
class YardLine:
    """One yard in the list."""

    id: str
    name: str
    colonies: int
    answer: SeasonAnswer | None
    error: str | None  # as it stands beside the name
    told: BreadlineError | None = field(default=None, compare=False)  # the same as it was raised


@dataclass(frozen=True)
class AtHand:
    """What a plan for a yard goes by."""

    yard: Yard  # from the first count of its season
    newest: Yard  # from its newest count
    weather: WeatherFile
    shelf: Shelf


class Book:
    """One book; opened afresh for each request, its answers kept by what they rest on."""

    def __init__(self, path: BookAt, today: date | None = None) -> None:
        self.path = path
        self.today = today or date.today()
        self._engine = open_book(path)
        weakref.finalize(self, shut_book, self._engine)

    @property
    def operation_name(self) -> str:
        """Whose book it is; empty before the first yard."""
        with looking(self._engine) as session:
            owners = yards.operations(session)
            return owners[0].name if owners else ""

    def yard_names(self) -> tuple[str, ...]:
        """Names of the yards, without working out their answers."""
        with looking(self._engine) as session:
            return tuple(row.name for row in yards.yards(session))

    def names_by_key(self) -> dict[str, str]:
        """Names of the yards by their keys: two may have one name."""
        with looking(self._engine) as session:
            return {str(row.id): row.name for row in yards.yards(session)}

    def keys_by_name(self) -> dict[str, str]:
        """Keys of the yards by their names, without working out their answers."""
        with looking(self._engine) as session:
            return {row.name: str(row.id) for row in yards.yards(session)}

    def yards(self) -> list[YardLine]:
        """Every yard with its answer, or with what has to be mended before there is one."""
        return list(self.each_yard())

    def each_yard(self) -> Iterator[YardLine]:
        """The same one after another, as they are worked out."""
        with looking(self._engine) as session:
            listed, lately = yards.yards(session), Lately(session, self.today)
        for row in listed:
            answer, error, why = None, None, None
            try:
                answer = self._season(row.id, lately)
            except BreadlineError as told:
                error, why = _beside(row.name, told), told
            yield YardLine(str(row.id), row.name, row.colonies, answer, error, why)

    def newest_entries(self) -> str:
        """What the answers of all yards go by, in a word that changes when any of it does."""
        with looking(self._engine) as session:
            return f"{self.today} {newest.entries(session)}"

    def first_yard(self) -> str:
        """Key of the yard that was written down first.

        Errors
        ------
        RecordError
            If the book has no yard yet.
        """
        with looking(self._engine) as session:
            listed = yards.yards(session)
        if not listed:
            raise RecordError(
                str(self.path), say("no yard is written down yet"), say("at least one"), say("Add one first")
            )
        return str(listed[0].id)

    def at_hand(self, yard_id: str) -> AtHand:
        """The yard as known on the book's day, with the weather and the figures that a plan goes by.

        Errors
        ------
        RecordError
            If there is no such yard, or no weather is kept for it.
        """
        of = self._rests_on(key_of(yard_id))
        weather = _weather(of.file, of.known.place.latitude, of.known.place.longitude, of.known.today)
        return AtHand(of.yard, of.known, weather, of.shelf)

    def season(self, yard_id: str) -> SeasonAnswer:
        """The answer for one yard, as of the book's day.

        Errors
        ------
        RecordError
            If there is no such yard, or no weather is kept for it.
        """
        key = key_of(yard_id)
        with looking(self._engine) as session:
            lately = Lately(session, self.today)
        return self._season(key, lately)

    def _season(self, key: UUID, lately: Lately) -> SeasonAnswer:
        of = lately.of_yard("season", key, lambda: self._rests_on(key))
        own: OwnErrors = ()
        if of.yard.inspections:  # a fit goes by how well earlier outlooks foretold
            told = lately.of_book("record", lambda: self._record(of.shelf, lately))
            own = tuple(sorted(foretelling.own_errors(told, str(key), of.shelf).items()))
        answer = self._answered(of, own)
        kept = lately.of_yard("kept", key, list[SeasonAnswer])
        if not kept or kept[0] is not answer or not kept[1].kept:
            kept[:] = [answer, self._kept(key, answer, of.shelf)]
        if not of.empty:
            return kept[1]
        said = lately.of_yard(f"no bees, {language()}", key, list[SeasonAnswer])
        if not said or said[0] is not kept[1]:  # one answer for all its pages, whose pictures are kept by it
            said[:] = [kept[1], _with_empty(of.empty, kept[1])]
        return said[1]

    def _rests_on(self, key: UUID) -> _RestsOn:
        """What the answer of a yard rests on, as the book holds it."""
        with looking(self._engine) as session:
            known, earlier = yards.known_and_before(session, key, self.today)
            kept = weather_kept.newest(session, key)
            if kept is None:
                raise NoWeather.of(known.name)
            edits = tuple(sorted(figure_edits.current_edits(session).items()))
            empty = hives_without_bees(session, key, self.today)
            refuse_no_bees(empty, known.name, known.colonies)
        shelf = load(dict(edits))
        known, earlier = of_this_season(known, earlier, shelf.reader())
        file = _Kept(kept.name, kept.sha256, partial(_bytes_of, self._engine, kept.id))
        begun = begun_at_first_count(known, earlier, shelf.reader())
        return _RestsOn(begun, known, file, edits, shelf, empty)

    def _answered(self, of: _RestsOn, own: OwnErrors) -> SeasonAnswer:
        try:
            return _answer(of.yard, of.file, of.edits, own, told_to())
        except (WeatherError, YardError) as short:
            if of.yard is of.known or (isinstance(short, YardError) and short.where != "weather"):
                raise
            # The weather may be too short for the earlier counts and enough for the newest.
            answer = _answer(of.known, of.file, of.edits, own if of.known.inspections else (), told_to())
            return replace(answer, weather_notes=(*answer.weather_notes, NEWEST_ALONE))

    def record(self) -> foretelling.Record:
        """The outlooks shown so far against the counts that came later."""
        with looking(self._engine) as session:
            shelf, lately = load(figure_edits.current_edits(session)), Lately(session, self.today)
        return lately.of_book("record", lambda: self._record(shelf, lately))

    def _record(self, shelf: Shelf, lately: Lately) -> foretelling.Record:
        with looking(self._engine) as session:
            return foretelling.record(session, self.today, shelf, lately)

    def figures(self, text: str = "") -> Sequence[Figure]:
        """The shelf with this book's edits, filtered by words."""
        shelf = self._shelf()
        return shelf.find(text) if text else shelf.figures()

    def edit_figure(self, key: str, low: float, typical: float, high: float, why: str) -> None:
        """Put one's own value in place of a shipped one; the shipped one stays known."""
        own = Edit(low, typical, high, why, self.today)
        self._shelf().with_edits({key: own})  # refuses an unknown key or an impossible value
        with writing(self._engine) as session:
            figure_edits.edit(session, key, own)

    def undo_edit(self, key: str) -> None:
        """Back to the shipped value."""
        with writing(self._engine) as session:
            figure_edits.undo(session, key)

    def add_yard(self, yard: Yard, weather: Path | None = None) -> str:
        """Write a yard down, with its weather file; the yard's key.

        A yard of the same name is that yard as it stands now, not a second one.

        Errors
        ------
        WeatherError, RecordError
            If the weather file cannot be read, or two yards have this name; then nothing is written down.
        """
        came = None if weather is None else self.came(weather, (yard.place.latitude, yard.place.longitude))
        with writing(self._engine) as session:
            named = key_named([(str(row.id), row.name) for row in yards.yards(session)
                               if row.name == yard.name], yard.name)  # fmt: skip
            key = keep_yard(session, yard, UUID(named) if named else None)
            if came is not None:
                weather_kept.keep(session, came, key)
        return str(key)

    def open_operation(self, name: str) -> None:
        """Open the book in this name."""
        with writing(self._engine) as session:
            yards.add_operation(session, name)

    def came(self, path: Path, place: tuple[float, float | None]) -> weather_kept.Came:
        """A weather file as it came, read once so that one that says nothing is refused now.

        ``place`` is latitude and longitude. [degrees]

        Errors
        ------
        WeatherError
            If it cannot be read.
        """
        try:
            content = path.read_bytes()
        except OSError as fault:
            raise WeatherError(
                str(path),
                say("it can't be read ({strerror})", strerror=fault.strerror),
                say("a weather file"),
                say("Check the path"),
            ) from None
        kept = _Kept(path.name, hashlib.sha256(content).hexdigest(), lambda: content)
        found = _weather(kept, *place, self.today)
        station = found.table.station
        with speaking(ENGLISH):  # as everything that a book keeps
            notes = tuple(note.text for note in found.notes)
        return weather_kept.Came(
            path.name, content, station.source, station.licence, station.latitude, station.longitude,
            station.utc_offset_hours, notes,
        )  # fmt: skip

    def _kept(self, key: UUID, answer: SeasonAnswer, shelf: Shelf) -> SeasonAnswer:
        """The answer, its outlook written down as it is shown, once; where that fails the answer says so."""
        shown = foretelling.shown(answer, shelf)
        if shown is None:
            return answer
        try:
            with looking(self._engine) as session:
                known = outlooks.is_kept(session, key, shown)
            if not known:
                with writing(self._engine) as session:
                    outlooks.keep(session, key, shown)
        except RecordError as trouble:
            told = Note(
                "warning",
                say_later(
                    "This outlook could not be kept for the record of foretelling: {what}", what=trouble.what
                ),
            )
            return replace(answer, weather_notes=(*answer.weather_notes, told))
        return replace(answer, kept=True)

    def _shelf(self) -> Shelf:
        with looking(self._engine) as session:
            return load(figure_edits.current_edits(session))


@dataclass(frozen=True)
class _Kept:
    """A kept weather file; told apart by its digest, so that a cache need not compare megabytes."""

    name: str
    sha256: str
    content: Callable[[], bytes] = field(compare=False, repr=False)


@dataclass(frozen=True)
class _RestsOn:
    """What an answer is worked out from."""

    yard: Yard  # from the first count of its season
    known: Yard  # from its newest count
    file: _Kept
    edits: Edits
    shelf: Shelf
    empty: tuple[Empty, ...] = ()  # hives that are no part of the average colony


def _with_empty(empty: Sequence[Empty], answer: SeasonAnswer) -> SeasonAnswer:
    """The answer with a note of the hives that had no bees: they are no part of its average colony."""
    told = say_counted(
        "Hive {hives} had no bees when it was looked at last, on {day}: it is no part of the average colony. "
        "Write down what became of it, and count it off the yard's colonies.",
        "Hives {hives} had no bees when they were looked at last, the newest look on {day}: they are no part "
        "of the average colony. Write down what became of them, and count them off the yard's colonies.",
        len(empty), hives=", ".join(tag for tag, _ in empty), day=day_and_year(max(on for _, on in empty)),
    )  # fmt: skip
    return replace(answer, weather_notes=(*answer.weather_notes, Note("warning", told)))


def _bytes_of(engine: Engine, weather_id: UUID) -> bytes:
    with looking(engine) as session:
        return weather_kept.content(session.get_one(Weather, weather_id))


@lru_cache(maxsize=ANSWERS)
def _answer(yard: Yard, kept: _Kept, edits: Edits, own: OwnErrors, to: tuple[str, Measures]) -> SeasonAnswer:
    assert to == told_to()  # an answer is words too: one is kept for each language and measure
    weather = _weather(kept, yard.place.latitude, yard.place.longitude, yard.today)
    return season_answer(yard, weather, load(dict(edits)), Asked(own_error=dict(own) or None))


@lru_cache(maxsize=16)
def _weather(kept: _Kept, latitude: float, longitude: float | None, today: date) -> WeatherFile:
    hour = None if longitude is None else float(round(longitude / 15.0))
    read = at_place(_parsed(kept, hour, today), latitude, longitude, today)
    station = replace(read.table.station, source=kept.name)
    return replace(read, table=replace(read.table, station=station))


@lru_cache(maxsize=8)
def _parsed(kept: _Kept, hour: float | None, today: date) -> Parsed:
    """A file gone through once for all yards of one clock, ``hour`` from Greenwich. [h]"""
    # The readers tell a file's form from its name and content, so it has to be a file.
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / kept.name
        path.write_bytes(kept.content())
        return parsed(path, None if hour is None else hour * 15.0, today)


def key_of(yard_id: str) -> UUID:
    """The key of a yard as the tables have it; RecordError where it is none."""
    try:
        return UUID(yard_id)
    except ValueError:
        raise RecordError(
            "yard",
            say("{yard_id} is no key", yard_id=yard_id),
            say("a yard on the list"),
            say("See the list of yards"),
        ) from None


def _beside(name: str, told: BreadlineError) -> str:
    """What has to be mended, to stand beside the yard's name: which is then not said again."""
    if isinstance(told, CountTooOld):
        return say("Count again: the last look into its hives was on {day}.", day=told.day)
    if isinstance(told, NoWeather):
        return say("No weather yet: a file of past years, or the archive, gives an outlook.")
    said = str(told).removeprefix(f"{name}: ")
    return said[:1].upper() + said[1:]
