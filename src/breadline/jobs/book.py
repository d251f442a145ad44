"""A book of records as the pages and the command line use it."""

from __future__ import annotations

import hashlib
import tempfile
import weakref
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from functools import lru_cache
from pathlib import Path
from uuid import UUID

from breadline.errors import BreadlineError, RecordError, WeatherError, YardError
from breadline.jobs import foretelling
from breadline.jobs.season import Asked, SeasonAnswer, season_answer
from breadline.knowledge.figure import Edit, Figure
from breadline.knowledge.shelf import Shelf, load
from breadline.need.fit.season_counts import begun_at_first_count
from breadline.need.foretold import What
from breadline.need.yard import Yard
from breadline.records import figure_edits, newest, outlooks, weather_kept, yards
from breadline.records.address import BookAt
from breadline.records.engine import looking, open_book, shut_book, writing
from breadline.weather.read import read_weather
from breadline.weather.table import Note, WeatherFile

Edits = tuple[tuple[str, Edit], ...]
OwnErrors = tuple[tuple[What, float], ...]  # of the model, on the log scale [1]


NEWEST_ALONE = Note(
    "warning",
    "The weather does not reach back to the earlier counts of this season: the newest alone is gone by.",
)


@dataclass(frozen=True)
class YardLine:
    """One yard in the list."""

    id: str
    name: str
    colonies: int
    answer: SeasonAnswer | None
    error: str | None


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
        self._told: foretelling.Record | None = None  # worked out once for a list of yards
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
            listed = yards.yards(session)
        for row in listed:
            answer, error = None, None
            try:
                answer = self.season(str(row.id))
            except BreadlineError as told:
                error = _beside(row.name, told)
            yield YardLine(str(row.id), row.name, row.colonies, answer, error)

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
            raise RecordError(str(self.path), "no yard is written down yet", "at least one", "Add one first")
        return str(listed[0].id)

    def at_hand(self, yard_id: str) -> AtHand:
        """The yard as known on the book's day, with the weather and the figures that a plan goes by.

        Errors
        ------
        RecordError
            If there is no such yard, or no weather is kept for it.
        """
        key = key_of(yard_id)
        with looking(self._engine) as session:
            known = yards.yard_as_known(session, key, self.today)
            earlier = yards.looks_before(session, key, self.today)
            kept = weather_kept.newest(session, key)
            if kept is None:
                raise no_weather(known.name)
            file = _Kept(kept.name, kept.sha256, weather_kept.content(kept))
            shelf = load(figure_edits.current_edits(session))
        weather = _weather(file, known.place.latitude, known.place.longitude, known.today)
        yard = begun_at_first_count(known, earlier, shelf.reader())
        return AtHand(yard, known, weather, shelf)

    def season(self, yard_id: str) -> SeasonAnswer:
        """The answer for one yard, as of the book's day.

        Errors
        ------
        RecordError
            If there is no such yard, or no weather is kept for it.
        """
        key = key_of(yard_id)
        with looking(self._engine) as session:
            known = yards.yard_as_known(session, key, self.today)
            earlier = yards.looks_before(session, key, self.today)
            kept = weather_kept.newest(session, key)
            if kept is None:
                raise no_weather(known.name)
            file = _Kept(kept.name, kept.sha256, weather_kept.content(kept))
            edits = tuple(sorted(figure_edits.current_edits(session).items()))
            shelf = load(dict(edits))
            yard = begun_at_first_count(known, earlier, shelf.reader())
            own: OwnErrors = ()
            if yard.inspections:  # a fit goes by how well earlier outlooks foretold
                if self._told is None:
                    self._told = foretelling.record(session, self.today, shelf)
                own = tuple(sorted(foretelling.own_errors(self._told, yard_id, shelf).items()))
        try:
            answer = _answer(yard, file, edits, own)
        except (WeatherError, YardError) as short:
            if yard is known or (isinstance(short, YardError) and short.where != "weather"):
                raise
            # The weather may be too short for the earlier counts and enough for the newest.
            answer = _answer(known, file, edits, own if known.inspections else ())
            answer = replace(answer, weather_notes=(*answer.weather_notes, NEWEST_ALONE))
        return self._kept(key, answer, shelf)

    def record(self) -> foretelling.Record:
        """The outlooks shown so far against the counts that came later."""
        with looking(self._engine) as session:
            shelf = load(figure_edits.current_edits(session))
            return foretelling.record(session, self.today, shelf)

    def figures(self, text: str = "") -> Sequence[Figure]:
        """The shelf with this book's edits, filtered by words."""
        shelf = self._shelf()
        return shelf.find(text) if text else shelf.figures()

    def edit_figure(self, key: str, low: float, typical: float, high: float, why: str) -> None:
        """Put one's own value in place of a shipped one; the shipped one stays known."""
        self._told = None
        own = Edit(low, typical, high, why, self.today)
        self._shelf().with_edits({key: own})  # refuses an unknown key or an impossible value
        with writing(self._engine) as session:
            figure_edits.edit(session, key, own)

    def undo_edit(self, key: str) -> None:
        """Back to the shipped value."""
        self._told = None
        with writing(self._engine) as session:
            figure_edits.undo(session, key)

    def add_yard(self, yard: Yard, weather: Path | None = None) -> str:
        """Write a yard down, with its weather file; the yard's key.

        A yard of the same name is that yard as it stands now, not a second one.

        Errors
        ------
        WeatherError
            If the weather file cannot be read; then nothing is written down.
        """
        came = None if weather is None else self.came(weather, (yard.place.latitude, yard.place.longitude))
        self._told = None
        with writing(self._engine) as session:
            known = [row.id for row in yards.yards(session) if row.name == yard.name]
            if known:
                yards.say_again(session, known[0], yard, "the yard file again")
            key = known[0] if known else yards.add_yard(session, yard)
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
                str(path), f"it can't be read ({fault.strerror})", "a weather file", "Check the path"
            ) from None
        kept = _Kept(path.name, hashlib.sha256(content).hexdigest(), content)
        found = _weather(kept, *place, self.today)
        station = found.table.station
        return weather_kept.Came(
            path.name, content, station.source, station.licence, station.latitude, station.longitude,
            station.utc_offset_hours, tuple(note.text for note in found.notes),
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
                "warning", f"This outlook could not be kept for the record of foretelling: {trouble.what}"
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
    content: bytes = field(compare=False, repr=False)


@lru_cache(maxsize=256)
def _answer(yard: Yard, kept: _Kept, edits: Edits, own: OwnErrors) -> SeasonAnswer:
    weather = _weather(kept, yard.place.latitude, yard.place.longitude, yard.today)
    return season_answer(yard, weather, load(dict(edits)), Asked(own_error=dict(own) or None))


@lru_cache(maxsize=16)
def _weather(kept: _Kept, latitude: float, longitude: float | None, today: date) -> WeatherFile:
    # The readers tell a file's form from its name and content, so it has to be a file.
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / kept.name
        path.write_bytes(kept.content)
        read = read_weather(path, latitude=latitude, longitude=longitude, today=today)
    station = replace(read.table.station, source=kept.name)
    return replace(read, table=replace(read.table, station=station))


def no_weather(name: str) -> RecordError:
    """What to do where no weather is kept for a yard."""
    return RecordError(
        name,
        "no weather is kept for this yard",
        "a weather file of past years",
        "Add one with: breadline yards BOOK --add YARD.toml --weather FILE",
    )


def key_of(yard_id: str) -> UUID:
    """The key of a yard as the tables have it; RecordError where it is none."""
    try:
        return UUID(yard_id)
    except ValueError:
        raise RecordError(
            "yard", f"{yard_id} is no key", "a yard on the list", "See the list of yards"
        ) from None


def _beside(name: str, told: BreadlineError) -> str:
    """What has to be mended, to stand beside the yard's name: which is then not said again."""
    said = str(told).removeprefix(f"{name}: ")
    return said[:1].upper() + said[1:]
