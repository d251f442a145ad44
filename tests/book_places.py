"""Where the tests' books lie: files of a folder, or databases of the server that ``scripts/test`` starts.

Both hand out a new place with nothing in it, or one with an empty book in this version's
shape. Making the tables takes long, so a file is copied from one that was made once, and
a database that is given back is emptied for the next test, unless its shape was changed.
"""

from __future__ import annotations

import os
import shutil
from itertools import count
from pathlib import Path
from typing import Protocol
from uuid import uuid4

import pytest
from alembic.script import ScriptDirectory
from sqlalchemy import URL, Engine, create_engine, inspect, make_url

from breadline.records.address import BookAt, OnServer
from breadline.records.append_only import Base
from breadline.records.engine import open_book
from breadline.records.postgresql import engine_of, faults
from breadline.records.shape import migrations

SERVER = os.environ.get("BREADLINE_POSTGRESQL", "")
NO_SERVER = (
    "no PostgreSQL server for the tests; ./scripts/test brings one, as does scripts/with-postgresql pytest …"
)


class Places(Protocol):
    """A source of places for books."""

    def new(self) -> BookAt:
        """A place with nothing in it."""

    def book(self) -> BookAt:
        """The place of an empty book."""

    def give_back(self, at: BookAt) -> None:
        """A test has done with this place."""

    def close(self) -> None:
        """Leave nothing behind."""


class Files:
    """Books as SQLite files."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self._number = count(1)
        self._made: Path | None = None

    def new(self) -> Path:
        """A folder of its own, so that a test sees what comes to lie beside its book."""
        folder = self._folder / str(next(self._number))
        folder.mkdir()
        return folder / "book.db"

    def book(self) -> Path:
        if self._made is None:
            self._made = self.new()
            open_book(self._made).dispose()
        return Path(shutil.copy(self._made, self.new()))

    def give_back(self, at: BookAt) -> None:
        """Nothing to do: the folder is pytest's, which clears it away."""

    def close(self) -> None:
        """Nothing to do."""


class Databases:
    """Books as databases of a server; each process that tests has its own."""

    def __init__(self, server: str) -> None:
        self._server: URL = make_url(server).set(drivername="postgresql+psycopg")
        self._keeper = create_engine(self._server, isolation_level="AUTOCOMMIT")
        self._begun = f"t{uuid4().hex[:8]}"
        self._number = count(1)
        self._empty: list[OnServer] = []

    def new(self) -> OnServer:
        name = f"{self._begun}_{next(self._number)}"
        self.tell(f"CREATE DATABASE {name} TEMPLATE template0 ENCODING 'UTF8'")
        return OnServer(self._server.set(database=name))

    def book(self) -> OnServer:
        if not self._empty:
            at = self.new()
            open_book(at)
            return at
        return self._empty.pop()

    def give_back(self, at: BookAt) -> None:
        assert isinstance(at, OnServer)
        engine = engine_of(at)
        if sound(engine):
            emptied(engine)
            self._empty.append(at)
        else:
            engine.dispose()
            self.drop(at)

    def tell(self, sql: str) -> None:
        """Say something to the server that is about no book in particular."""
        with self._keeper.connect() as connection:
            connection.exec_driver_sql(sql)

    def drop(self, at: OnServer) -> None:
        """Take a database away, whoever is still connected to it."""
        self.tell(f"DROP DATABASE IF EXISTS {at.url.database} WITH (FORCE)")

    def close(self) -> None:
        self._keeper.dispose()  # the server and all that it holds is gone with scripts/with-postgresql


def sound(engine: Engine) -> bool:
    """Whether a book on a server still has this version's shape and all its guards."""
    head = ScriptDirectory.from_config(migrations()).get_current_head()
    with engine.connect() as connection:
        tables = inspect(connection).get_table_names()
        if not {"alembic_version", "operation"} <= set(tables):
            return False
        here = connection.exec_driver_sql("SELECT version_num FROM alembic_version").scalars().all()
        return here == [head] and faults(connection) == []


def emptied(engine: Engine) -> None:
    """Delete every entry of a test's book, with its guards made to look away and put back."""
    asked = "SELECT pg_get_functiondef('append_only'::regproc)"
    with engine.begin() as connection:
        refusing = str(connection.exec_driver_sql(asked).scalar()).replace("%", "%%")
        lenient = refusing.replace("RAISE EXCEPTION '%% is append-only', TG_TABLE_NAME;", "RETURN OLD;")
        assert lenient != refusing
        connection.exec_driver_sql("SET LOCAL session_replication_role = replica")  # keys look away too
        connection.exec_driver_sql(lenient)
        for table in Base.metadata.tables:
            connection.exec_driver_sql(f'DELETE FROM "{table}"')
        connection.exec_driver_sql(refusing)


def databases() -> Databases:
    """The databases of the tests' server; skips, which fails in CI, where there is none."""
    if not SERVER:
        pytest.skip(NO_SERVER)
    return Databases(SERVER)
