"""Recipes in their versions, bought feeds, quotes and batches."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import Fact, current, put_in_place, withdraw
from breadline.records.storable import storable
from breadline.records.tables import BatchRow, FeedRow, PriceRow, RecipeRow

F = TypeVar("F", bound=Fact)


@dataclass(frozen=True)
class Quoted:
    """A price on its way into the book; fields and units as in ``PriceRow``."""

    of: str
    price: float  # [money/per]
    per: str
    money: str
    year: int
    bag: float | None = None  # [bag_unit]
    bag_unit: str | None = None


@dataclass(frozen=True)
class Made:
    """A batch on its way into the book; fields and units as in ``BatchRow``."""

    number: str
    on: date
    loads: int
    measured: tuple[tuple[str, float], ...]  # key, grams of one load [g]
    piece_g: float  # [g]
    pieces: int
    note: str = ""


def keep_recipe(session: Session, name: str, text: str, because: str = "") -> RecipeRow:
    """The version of a recipe that holds now: the last one where it is the same, else a new one.

    Errors
    ------
    RecordError
        If it has no name, or a letter of it cannot be kept.
    """
    _named(name, "recipe")
    storable((name, text), f"recipe {name}")
    row = RecipeRow(name=name, text=text, sha256=hashlib.sha256(text.encode()).hexdigest(), because=because)
    old = session.scalar(current(RecipeRow).where(RecipeRow.name == name))
    if old is not None and old.sha256 == row.sha256:
        return old
    return _added(session, old, row)


def recipe(session: Session, name: str) -> RecipeRow:
    """The version of a recipe that holds now.

    Errors
    ------
    RecordError
        If there is none of that name, or it was taken off the list; lists those that are there.
    """
    row = session.scalar(current(RecipeRow).where(RecipeRow.name == name))
    if row is None and any(gone.name == name for gone in off_the_list(session)):
        raise RecordError(
            f'recipe "{name}"', say("it was taken off the list"), say("a recipe on the list"),
            say("Put it back on the page Feed: it stands below the list"),
        )  # fmt: skip
    if row is None:
        known = ", ".join(f'"{one.name}"' for one in recipes(session)) or "none yet"
        raise RecordError(
            f'recipe "{name}"', say("it is not in this book"), say("one of these: {known}", known=known)
        )
    return row


def recipes(session: Session) -> list[RecipeRow]:
    """The recipes that hold now, by name."""
    return sorted(session.scalars(current(RecipeRow)), key=lambda row: (row.name, row.id))


def versions(session: Session, name: str) -> list[RecipeRow]:
    """Every version of a recipe, oldest first, also those from before it was taken off the list.

    Errors
    ------
    RecordError
        If there never was one of that name; lists those on the list.
    """
    rows = list(session.scalars(select(RecipeRow).where(RecipeRow.name == name).order_by(RecipeRow.id)))
    if not rows:
        return [recipe(session, name)]  # which refuses
    after = {row.replaces: row for row in rows}
    line: list[RecipeRow] = []
    for first in (row for row in rows if row.replaces is None):
        next_: RecipeRow | None = first
        while next_ is not None:
            line.append(next_)
            next_ = after.get(next_.id)
    return [row for row in line if not row.withdrawn]


def off_the_list(session: Session) -> list[RecipeRow]:
    """Of each recipe that was taken off the list and not put back, the entry that took it off; by name."""
    listed = {row.name for row in recipes(session)}
    taken_off = select(RecipeRow).where(RecipeRow.withdrawn).order_by(RecipeRow.id)
    last = {row.name: row for row in session.scalars(taken_off) if row.name not in listed}
    return [last[name] for name in sorted(last)]


def withdraw_recipe(session: Session, name: str, because: str) -> None:
    """Take a recipe off the list; its versions and batches stay in the file."""
    withdraw(session, recipe(session, name), because)


def keep_feed(session: Session, name: str, label: Mapping[str, Any], because: str = "") -> FeedRow:
    """A bought feed as its label states it now; another label takes the place of the one before.

    Errors
    ------
    RecordError
        If it has no name, or a value cannot be kept.
    """
    _named(name, "feed")
    storable((name, *label.values()), f"feed {name}")
    old = session.scalar(current(FeedRow).where(FeedRow.name == name))
    if old is not None and old.label == dict(label):
        return old
    return _added(session, old, FeedRow(name=name, label=dict(label), because=because))


def feeds(session: Session) -> list[FeedRow]:
    """The bought feeds that hold now, by name."""
    return sorted(session.scalars(current(FeedRow)), key=lambda row: (row.name, row.id))


def keep_price(session: Session, quoted: Quoted, because: str = "") -> PriceRow:
    """A quote; one of the same year takes the place of the one before, another year's stands beside it.

    Errors
    ------
    RecordError
        If the price is not above 0, or a value cannot be kept.
    """
    storable(quoted, f"price of {quoted.of}")
    if not quoted.price > 0:
        raise RecordError(
            f"price of {quoted.of}", say("{price:g} is no price", price=quoted.price), say("a number above 0")
        )
    told = {name: getattr(quoted, name) for name in quoted.__dataclass_fields__}
    of_year = current(PriceRow).where(PriceRow.of == quoted.of, PriceRow.year == quoted.year)
    old = session.scalar(of_year)
    if old is not None and all(getattr(old, name) == value for name, value in told.items()):
        return old
    return _added(session, old, PriceRow(**told, because=because))


def prices(session: Session) -> list[PriceRow]:
    """Every quote that holds now, by what it is of, oldest year first."""
    return sorted(session.scalars(current(PriceRow)), key=lambda row: (row.of, row.year))


def newest_prices(session: Session) -> dict[str, PriceRow]:
    """The quote of the newest year, by what it is of."""
    return {row.of: row for row in prices(session)}


def keep_batch(session: Session, recipe_id: UUID, made: Made) -> BatchRow:
    """A batch by its number.

    Errors
    ------
    RecordError
        If there is no such version of a recipe, the number was given to another batch,
        or a value cannot be kept.
    """
    _named(made.number, "batch number")
    storable(made, f"batch {made.number}")
    if session.get(RecipeRow, recipe_id) is None:
        raise RecordError(
            "batch", say("there is no recipe {recipe_id}", recipe_id=recipe_id), say("a recipe of this book")
        )
    told = {name: getattr(made, name) for name in made.__dataclass_fields__}
    row = BatchRow(recipe_id=recipe_id, **told | {"measured": [list(one) for one in made.measured]})
    there = session.scalar(current(BatchRow).where(BatchRow.number == made.number))
    if there is None:
        return _added(session, None, row)
    same = ("recipe_id", "number", "on", "loads", "measured", "piece_g", "pieces", "note")
    if all(getattr(there, name) == getattr(row, name) for name in same):
        return there
    raise RecordError(
        f"batch {made.number}",
        say("this number is on a batch of {on}", on=there.on),
        say("a number of its own"),
        say("Take {next_number}", next_number=next_number(session, made.on)),
    )


def batches(session: Session) -> list[BatchRow]:
    """The batches that hold now, oldest first."""
    return list(session.scalars(current(BatchRow).order_by(None).order_by(BatchRow.on, BatchRow.id)))


def name_of(session: Session, recipe_id: UUID) -> str:
    """The name of the recipe that a batch was made by, whichever version and whether still on the list."""
    row = session.get(RecipeRow, recipe_id)
    return "" if row is None else row.name


def next_number(session: Session, on: date) -> str:
    """The next free batch number of the year, such as 2026-007; a number once used is not used again."""
    used = set(session.scalars(select(BatchRow.number)))
    count = 1
    while f"{on.year}-{count:03d}" in used:
        count += 1
    return f"{on.year}-{count:03d}"


def _named(name: str, what: str) -> None:
    if not name.strip():
        raise RecordError(what, say("it has no name"), say("a name"), say("Call it something"))


def _added(session: Session, old: F | None, new: F) -> F:
    if old is not None:
        return put_in_place(session, old, new)
    storable(new.because, "reason")
    session.add(new)
    session.flush()
    return new
