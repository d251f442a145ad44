"""What the book needs of a database, in the two that it can lie in.

The tables, the questions and the migrations are the same for both. What is one
database's alone stands in ``sqlite.py`` or in ``postgresql.py``, and for the guards
of the migrations in ``migrations/guards.py``.
"""

from __future__ import annotations

from collections.abc import Mapping
from contextlib import AbstractContextManager
from typing import Any, Protocol
from uuid import UUID

from sqlalchemy import Connection, Engine

from breadline.records import postgresql, sqlite
from breadline.records.address import BookAt, OnServer


class Database(Protocol):
    """A module for each database."""

    LOOKING: Mapping[str, Any]  # options of a connection that reads
    WRITING: Mapping[str, Any]  # and of one that holds the pen
    GO_BACK: str  # what to do with a damaged book

    def engine_of(self, at: Any) -> Engine:
        """The engine of the book there; nothing is opened yet."""
        ...

    def is_there(self, at: Any) -> bool:
        """Whether something lies there that may be a book."""
        ...

    def shut(self, engine: Engine) -> None:
        """Give back what one reader or writer of the book no longer needs."""
        ...

    def refuse_unfit(self, connection: Connection, where: str) -> None:
        """RecordError where the database would bend what is kept in it."""
        ...

    def turn(self, engine: Engine) -> AbstractContextManager[None]:
        """Wait for one's turn to ask for the pen, where the database does not see to that."""
        ...

    def migrating(self, engine: Engine) -> AbstractContextManager[Connection]:
        """A connection with the pen held, on which tables may be rebuilt."""
        ...

    def keep_before(self, at: Any, revision: str) -> object:
        """Keep the book as it is, before it is brought to ``revision``."""
        ...

    def changed_since(self, connection: Connection, stamp: Any) -> tuple[Any, frozenset[UUID] | None]:
        """A stamp of what is kept now, and of which yards more is kept than at an earlier stamp.

        None where that may be all of them, as where ``stamp`` is None.
        """
        ...

    def loose_keys(self, connection: Connection) -> list[str]:
        """The keys that point at no row."""
        ...

    def faults(self, connection: Connection) -> list[str]:
        """What the database finds wrong with itself, and which guards are gone."""
        ...


def database_at(at: BookAt) -> Database:
    """The database that a book lies in, by its address."""
    return postgresql if isinstance(at, OnServer) else sqlite


def database_of(engine: Engine) -> Database:
    """The database that an open book lies in."""
    return postgresql if engine.dialect.name == "postgresql" else sqlite
