"""The demo operation: invented yards, made-up weather, and it says so."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path

from breadline.errors import RecordError
from breadline.jobs.book import Book
from breadline.jobs.demo_feed import put_feed_in
from breadline.jobs.demo_record import first_count, pasts, write_past
from breadline.jobs.demo_trial import put_trial_in
from breadline.jobs.yard_file import read_yard
from breadline.language import noted, say
from breadline.need.yard import Health, Yard
from breadline.records import weather_kept, yards
from breadline.records.address import BookAt
from breadline.records.engine import open_book, shut_book, writing

HONEY_NOTE = noted("about 20 lb a colony")  # of the first yard's file; looked up where it is shown
OPERATION = "Sorrel Bend Bees (invented)"
TODAY = date(2026, 1, 20)  # the demo stands still on this day, so that its answers can be checked
PACKED = Path(__file__).parent / "first_yard"  # where an installed wheel carries the example
FIRST_YARD = PACKED if PACKED.exists() else Path(__file__).parents[3] / "examples" / "first-yard"


@dataclass(frozen=True)
class _Variant:
    """How another invented yard differs from the first."""

    name: str
    colonies: int
    frames: float
    bread: float  # frames
    mites: float | None
    fresh_arcs: bool = False
    light: bool = False


VARIANTS = (
    _Variant("Upper Sluice", 32, 7.0, 1.5, 0.6),
    _Variant("Rook Hollow", 20, 6.0, 0.5, 4.2),
    _Variant("Kiln Field", 28, 5.0, 0.25, None),
    _Variant("Pear Tree Lot", 16, 4.0, 0.5, 0.9, light=True),
    _Variant("Long Culvert", 40, 8.0, 0.75, 0.4),
)


def make_demo(path: BookAt) -> Book:
    """The demo's book at ``path``; what a broken-off start left out is put in.

    Errors
    ------
    RecordError
        If a book with yards of its own lies there: nothing invented gets into it.
    """
    if isinstance(path, Path):
        path.parent.mkdir(parents=True, exist_ok=True)
    book = Book(path, TODAY)
    first, there = read_yard(FIRST_YARD / "yard.toml"), book.yard_names()
    if there and book.operation_name != OPERATION:
        raise RecordError(
            str(path),
            say("this book has yards of its own"),
            say("a new book for the demo"),
            say("Choose another --book"),
        )
    if book.operation_name != OPERATION:
        book.open_operation(OPERATION)
    for yard in (first, *(varied(first, v) for v in VARIANTS)):
        if yard.name not in there:
            _put_in(book, yard)
    put_feed_in(path)
    put_trial_in(path, TODAY)
    return book


def _put_in(book: Book, yard: Yard) -> None:
    """One yard with its weather, and its invented past where it has one; all of it or nothing."""
    past = pasts().get(yard.name)
    if past is None:
        book.add_yard(yard, FIRST_YARD / "weather.csv")
        return
    count = first_count(past)
    forage = replace(yard.forage, coming_in=None, fresh_arcs=None, outside_c=None)
    then = replace(yard, today=count.on, count=count, health=Health(), forage=forage, given=())
    weather = book.came(FIRST_YARD / "weather.csv", (yard.place.latitude, yard.place.longitude))
    engine = open_book(book.path)
    with writing(engine) as session:
        key = yards.add_yard(session, then)
        write_past(session, key, past)
        yards.say_again(session, key, yard)
        weather_kept.keep(session, weather, key)
    shut_book(engine)


def varied(first: Yard, v: _Variant) -> Yard:
    """Another invented yard, like the first but for what ``v`` says."""
    health = replace(
        first.health,
        mites_per_100=v.mites,
        mites_on=first.health.mites_on if v.mites is not None else None,
        honey="light" if v.light else first.health.honey,
        honey_note=noted("two of six light") if v.light else first.health.honey_note,
    )
    return replace(
        first,
        name=v.name,
        colonies=v.colonies,
        count=replace(first.count, frames_of_bees=v.frames, bread=v.bread),
        health=health,
        forage=replace(first.forage, fresh_arcs=v.fresh_arcs),
    )
