"""Moments in the book: always with a zone, always kept as UTC."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy import DateTime
from sqlalchemy.engine import Dialect
from sqlalchemy.exc import DontWrapMixin
from sqlalchemy.types import TypeDecorator

from breadline.errors import RecordError


class NaiveTime(RecordError, DontWrapMixin):
    """A time without a zone; the mixin lets it reach the caller as it is, through SQLAlchemy."""


def now() -> datetime:
    """This moment, aware, in UTC."""
    return datetime.now(UTC)


class UtcTime(TypeDecorator[datetime]):
    """A moment that must carry its zone; kept as UTC, read back as aware UTC.

    SQLite drops the offset of ``DateTime(timezone=True)`` without a word, so the
    conversion happens here and not in the database.

    Errors
    ------
    RecordError
        If the time carries no zone.
    """

    impl = DateTime(timezone=True)
    cache_ok = True

    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment in UTC on its way into the database."""
        if value is None:
            return None
        if value.utcoffset() is None:
            raise NaiveTime(
                "time",
                f"{value.isoformat(sep=' ')} carries no time zone",
                "a time with its zone, such as 2026-03-01T09:30:00+01:00",
                "Say which zone it is in",
            )
        return value.astimezone(UTC)

    def process_result_value(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        """The moment as aware UTC on its way out."""
        if value is None:
            return None
        return value.replace(tzinfo=UTC) if value.tzinfo is None else value.astimezone(UTC)
