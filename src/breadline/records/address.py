"""Where a book lies: a SQLite file of this machine, or a database of a PostgreSQL server."""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy import URL, make_url
from sqlalchemy.exc import ArgumentError

from breadline.errors import RecordError
from breadline.language import say

_SCHEMES = ("postgresql", "postgres", "postgresql+psycopg")
SUCH_AS = "postgresql://anna@server.example/bees"


@dataclass(frozen=True)
class OnServer:
    """A book on a PostgreSQL server. Written out it can be typed again, and never shows a password."""

    url: URL = field(repr=False)

    def __str__(self) -> str:
        url = self.url
        rest = {key: value for key, value in url.query.items() if "password" not in key.lower()}
        open_part = URL.create("postgresql", url.username, None, url.host, url.port, url.database, rest)
        return open_part.render_as_string(hide_password=True)


BookAt = Path | OnServer


def book_at(text: str | Path | OnServer) -> BookAt:
    """Where a book lies, from what was typed: an address of a server, else a path.

    Errors
    ------
    RecordError
        If it begins like an address and is none. What was typed is not said again,
        since a password may stand in it.
    """
    if not isinstance(text, str):
        return text
    scheme, found, rest = text.partition("://")
    if not found or not re.fullmatch(r"[A-Za-z][A-Za-z0-9+.-]+", scheme):
        return Path(text)
    if scheme.lower() not in _SCHEMES:
        raise RecordError(
            f"{scheme}://…",
            say("no book can lie there"),
            say("a file, or an address such as {such_as}", such_as=SUCH_AS),
        )
    return OnServer(_url(rest))


def _url(rest: str) -> URL:
    missing = RecordError(
        "postgresql://…",
        say("this is no address of a database"),
        say("an address such as {such_as}", such_as=SUCH_AS),
        say("Write @ : / ? # % in a password as %40 %3A %2F %3F %23 %25, or keep it in the file .pgpass"),
    )
    try:
        url = make_url(f"postgresql+psycopg://{rest}")
    except (ArgumentError, ValueError):
        raise missing from None
    if not url.database or any(sign in (url.host or "") for sign in "@ "):
        raise missing
    return url


def typed(at: str | BookAt) -> str:
    """A path or an address as it is typed in a command: in quotes where it has blanks or signs of a shell."""
    return shlex.quote(str(at))


def absolute(at: BookAt) -> str:
    """The place in full, for a person: a path from the root, or an address without its password."""
    return str(at.resolve()) if isinstance(at, Path) else str(at)


def may_be_a_book(tables: set[str]) -> bool:
    """Whether a database with these tables is a book, or nothing yet."""
    return tables <= {"alembic_version"} or {"alembic_version", "operation"} <= tables
