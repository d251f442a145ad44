"""Any yard that goes into the book comes out as it was."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy import Engine
from sqlalchemy.orm import Session

from book_places import Databases
from breadline.errors import RecordError
from breadline.need.yard import Bloom, Count, DegreeDays, Forage, Given, Goal, Health, Inspection, Place, Yard
from breadline.records import yards
from breadline.records.address import BookAt
from breadline.records.engine import looking, open_book, writing

NUMBER = st.floats(allow_nan=False, allow_infinity=False)
WHOLE = st.integers(-(2**31) + 1, 2**31 - 1)
TEXT = st.text(st.characters(blacklist_categories=["Cs"], blacklist_characters="\0"), max_size=20)
DAY = st.dates(date(1900, 1, 1), date(2200, 1, 1))
YEARDAY = st.tuples(st.integers(1, 12), st.integers(1, 31))
FLAG = st.none() | st.booleans()


def maybe(strategy: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    return st.none() | strategy


PLACES = st.builds(
    Place, NUMBER, maybe(NUMBER), maybe(TEXT), maybe(TEXT), colonies_in_flight_range=maybe(NUMBER)
)
HEALTHS = st.builds(
    Health, FLAG, maybe(NUMBER), maybe(DAY), maybe(WHOLE), maybe(WHOLE),
    maybe(st.sampled_from(["light", "enough"])), TEXT, FLAG, FLAG, st.booleans(),
)  # fmt: skip
FORAGES = st.builds(
    Forage, maybe(st.sampled_from(["none", "little", "plenty"])), FLAG, maybe(DAY), maybe(NUMBER), maybe(DAY)
)
SUMS = st.builds(DegreeDays, NUMBER, NUMBER, maybe(NUMBER), st.sampled_from(["average", "clipped"]), YEARDAY)
BLOOMS = st.builds(
    Bloom,
    TEXT,
    maybe(YEARDAY),
    maybe(YEARDAY),
    NUMBER,
    NUMBER,
    maybe(NUMBER),
    maybe(SUMS),
    maybe(WHOLE),
    TEXT,
)
AIMS = st.sampled_from(["frames", "splits", "nectar_flow", "winter_bees", "keep_alive"])
BOXES = st.lists(st.sampled_from(["deep", "medium", "shallow"]), max_size=4).map(tuple)


@st.composite
def any_yard(draw: st.DrawFn) -> Yard:
    today, brood = draw(DAY), draw(maybe(NUMBER))
    count = Count(
        today - timedelta(draw(st.integers(0, 400))),
        draw(NUMBER),
        draw(st.sampled_from(["frames", "cells", "g"])),
        draw(maybe(NUMBER)),
        draw(maybe(TEXT)),
        0.0 if brood is None else brood,
        draw(maybe(NUMBER)),
        draw(WHOLE),
        draw(st.sampled_from(["colony", "nuc", "package"])),
        draw(BOXES),
        draw(WHOLE),
        brood is not None,
        draw(st.booleans()),
    )
    return Yard(
        draw(TEXT), draw(PLACES), draw(WHOLE), today, count, draw(HEALTHS), draw(FORAGES),
        draw(st.lists(BLOOMS, max_size=3).map(tuple)),
        draw(maybe(st.builds(Goal, AIMS, maybe(DAY), maybe(NUMBER)))),
        draw(st.lists(st.builds(Given, DAY, NUMBER), max_size=4).map(tuple)),
        draw(TEXT), draw(st.sampled_from(["hobby", "trade"])), draw(st.lists(TEXT, max_size=3).map(tuple)),
    )  # fmt: skip


@st.composite
def inspections(draw: st.DrawFn, count: Count, today: date) -> tuple[Inspection, ...]:
    found = []
    for _ in range(draw(st.integers(0, 3))):
        each = tuple(draw(st.lists(st.floats(-1e300, 1e300), max_size=3)))  # whose mean is a number too
        bees = None if each else draw(maybe(NUMBER))
        counted = bool(each) or bees is not None
        bread = draw(maybe(NUMBER))
        found.append(
            Inspection(
                draw(st.dates(count.on, today)),
                draw(WHOLE),
                bees,
                draw(TEXT.filter(bool)) if counted else None,
                each,
                draw(NUMBER) if not counted else draw(maybe(NUMBER)),
                bread,
                "g" if bread is None else draw(st.sampled_from(["frames", "cells", "g"])),
                draw(BOXES),
                draw(TEXT),
            )
        )
    return tuple(sorted(found, key=lambda one: one.on))


@st.composite
def inspected_yard(draw: st.DrawFn) -> Yard:
    yard = draw(any_yard())
    looked = draw(inspections(yard.count, yard.today))
    return dataclasses.replace(yard, inspections=looked, fed_without_record=draw(st.booleans()))


@pytest.fixture(scope="module")
def shared_book(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Engine]:
    path: Path = tmp_path_factory.mktemp("round") / "book.db"
    engine = open_book(path)
    yield engine
    engine.dispose()


@pytest.fixture(scope="module")
def book_on_server(server: Databases) -> Iterator[Engine]:
    there = server.book()
    engine = open_book(there)
    yield engine
    server.give_back(there)


def test_a_known_yard_comes_back_from_the_book(at: BookAt, yard: Yard) -> None:
    book = open_book(at)
    with writing(book) as session:
        key = yards.add_yard(session, yard)
    book.dispose()
    again = open_book(at)
    with looking(again) as session:
        assert yards.yard_as_known(session, key, yard.today) == yard
    again.dispose()


@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(yard=inspected_yard())
def test_any_yard_comes_back_as_it_was(shared_book: Engine, yard: Yard) -> None:
    comes_back(shared_book, yard)


def comes_back(book: Engine, yard: Yard) -> None:
    with Session(book) as session:
        key = yards.add_yard(session, yard)
        session.flush()
        session.expire_all()
        assert yards.yard_as_known(session, key, yard.today) == yard
        session.rollback()


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(yard=inspected_yard())
def test_any_yard_comes_back_from_a_server_as_it_was(book_on_server: Engine, yard: Yard) -> None:
    comes_back(book_on_server, yard)


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(yard=inspected_yard())
def test_saying_the_same_again_changes_no_answer(shared_book: Engine, yard: Yard) -> None:
    with Session(shared_book) as session:
        key = yards.add_yard(session, yard)
        yards.say_again(session, key, yard)
        assert len(yards.fact_history(session, key)) == 1
        assert yards.yard_as_known(session, key, yard.today) == yard
        session.rollback()


def test_a_mended_inspection_takes_the_place_of_the_wrong_one(book: Engine, yard: Yard) -> None:
    on = yard.today
    by = [Inspection(on, 4, 8.0, "full", reader="A"), Inspection(on, 4, 7.5, "full", reader="B")]
    first = dataclasses.replace(yard, inspections=tuple(by))
    mended = dataclasses.replace(by[0], frames_of_bees=6.0)
    with writing(book) as session:
        key = yards.add_yard(session, first)
        yards.say_again(session, key, dataclasses.replace(first, inspections=(mended,)), "a slip")
    with looking(book) as session:
        known = yards.yard_as_known(session, key, on).inspections
    assert sorted(known, key=lambda one: one.reader) == [mended, by[1]], "B looked too, and still holds"


@pytest.mark.parametrize(
    ("change", "word"),
    [
        ({"place": Place(float("nan"))}, "latitude"),
        ({"colonies": 2**40}, "colonies"),
        ({"name": "a\0b"}, "name"),
        ({"given": (Given(date(2026, 3, 1), float("inf")),)}, "grams"),
        ({"today": date(2026, 1, 1)}, "later"),
    ],
)
def test_what_would_be_bent_is_refused(
    book: Engine, yard: Yard, change: dict[str, object], word: str
) -> None:
    wrong = dataclasses.replace(yard, **change)  # type: ignore[arg-type]
    with pytest.raises(RecordError, match=word), writing(book) as session:
        yards.add_yard(session, wrong)
    with looking(book) as session:
        assert yards.yards(session) == []


def parts(thing: object) -> Iterator[tuple[str, bool]]:
    """Every field of a dataclass and those below it, and whether it says more than its default."""
    if isinstance(thing, tuple):
        for one in thing:
            yield from parts(one)
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            value = getattr(thing, field.name)
            yield f"{type(thing).__name__}.{field.name}", value != field.default
            yield from parts(value)


def test_a_new_field_of_a_yard_must_go_through_the_book_too(book: Engine, yard: Yard) -> None:
    package = Count(
        yard.today, 0.0, "g", bees_kg=1.5, start="package", boxes=("deep", "medium"), frames_per_box=8,
        brood_counted=False, afresh=True,
    )  # fmt: skip
    health = Health(maggots_seen=True, fed_miticide_label=True)
    looked = (
        Inspection(yard.today, 3, 7.5, "full", (), 4.0, 900.0, "cells", ("medium",), "the first reader"),
        Inspection(yard.today, 2, None, "one_layer", (7.0, 8.5)),
    )
    other = dataclasses.replace(
        yard, count=package, health=health, kept_for="hobby", inspections=looked, fed_without_record=True
    )
    with writing(book) as session:
        key = yards.add_yard(session, other)
        assert yards.yard_as_known(session, key, yard.today) == other
    told: dict[str, bool] = {}
    for name, says in [*parts(yard), *parts(other)]:
        told[name] = told.get(name, False) or says
    # The book itself says when a look was not today's.
    assert [name for name, says in told.items() if not says] == ["Forage.seen_on"]
    with writing(book) as session:
        later = yards.yard_as_known(session, key, yard.today + timedelta(days=3))
        assert later.forage == dataclasses.replace(other.forage, seen_on=yard.today)


@st.composite
def two_days(draw: st.DrawFn) -> tuple[Yard, Yard]:
    """A yard, and the same yard some days later with anything about it changed but its feed so far."""
    first, then = draw(any_yard()), draw(any_yard())
    today = first.today + timedelta(draw(st.integers(0, 30)))
    back = draw(st.integers(0, (today - first.count.on).days))
    count = draw(st.sampled_from([first.count, dataclasses.replace(then.count, on=today - timedelta(back))]))
    return first, dataclasses.replace(then, today=today, count=count, given=first.given + then.given)


@settings(max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(days=two_days())
def test_a_later_day_takes_over_and_leaves_what_it_does_not_know(
    shared_book: Engine, days: tuple[Yard, Yard]
) -> None:
    first, then = days
    with Session(shared_book) as session:
        key = yards.add_yard(session, first)
        yards.say_again(session, key, then, "a later visit")
        known = yards.yard_as_known(session, key, then.today)
        assert known.health == later_health(first.health, then.health)
        assert dataclasses.replace(known, health=then.health) == then
        session.rollback()


def later_health(old: Health, new: Health) -> Health:
    """What holds when a second look knows only some things; facts that belong together go together."""
    pairs = (("mites_per_100", "mites_on"), ("queens_laying", "queens_looked_for"), ("honey", "honey_note"))
    single = ("foulbrood_signs", "beetles_seen", "maggots_seen")
    kept: dict[str, object] = {"fed_miticide_label": new.fed_miticide_label}
    for group in (*pairs, *((name,) for name in single)):
        told = any(getattr(new, name) not in (None, "") for name in group)
        kept |= {name: getattr(new if told else old, name) for name in group}
    return Health(**kept)  # type: ignore[arg-type]
