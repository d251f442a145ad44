"""What was worked out of a book lately, kept in this program as long as what it rests on is the same.

A book is only ever added to, so its newest rows say whether anything changed and for which yards; a page
then works out those alone. Nothing of it is written down.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from functools import lru_cache
from threading import Lock
from typing import Any, TypeVar, cast
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import BreadlineError
from breadline.records.database import database_of

T = TypeVar("T")


@dataclass
class _Place:
    """A book: how often each yard changed since this program opened it first, and what was worked out."""

    lock: Lock = field(default_factory=Lock)
    stamp: Any = None
    whole: int = 0  # changes that may be of any yard
    of: dict[UUID, int] = field(default_factory=dict)
    kept: dict[tuple[str, UUID | None], tuple[Any, Any]] = field(default_factory=dict)


class Lately:
    """A book as one session saw it, on a day.

    What is made for it may see more than that session did, never less.
    """

    def __init__(self, session: Session, today: date) -> None:
        connection = session.connection()
        self._place = _place(str(connection.engine.url))
        with self._place.lock:
            place = self._place
            place.stamp, touched = database_of(connection.engine).changed_since(connection, place.stamp)
            if touched is None:
                place.whole += 1
            for yard in touched or ():
                place.of[yard] = place.of.get(yard, 0) + 1
            # as this session sees it: another may meanwhile see more
            self._whole, self._of = (today, place.whole), dict(place.of)

    def of_yard(self, what: str, yard: UUID, make: Callable[[], T]) -> T:
        """What was made of a yard, made anew where something was written down of it since."""
        return self._kept((what, yard), (*self._whole, self._of.get(yard, 0)), make)

    def of_book(self, what: str, make: Callable[[], T]) -> T:
        """What was made of the whole book, made anew where something was written down of any yard since."""
        return self._kept((what, None), (*self._whole, sum(self._of.values())), make)

    def _kept(self, key: tuple[str, UUID | None], version: tuple[Any, ...], make: Callable[[], T]) -> T:
        known = self._place.kept.get(key)
        if known is None or known[0] != version:
            try:
                known = (version, make())
            except BreadlineError as refusal:  # a yard that lacks something lacks it until it is given
                if refusal.__cause__ is not None:
                    raise  # the book could not be read
                known = (version, refusal)
            self._place.kept[key] = known
        if isinstance(known[1], BreadlineError):
            raise known[1].with_traceback(None)
        return cast(T, known[1])


@lru_cache(maxsize=8)
def _place(address: str) -> _Place:
    """One for each book."""
    return _Place()
