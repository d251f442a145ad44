"""The tables of what came in as a sheet, and of copies that were made."""

from __future__ import annotations

from typing import Any

from sqlalchemy import JSON, LargeBinary, String
from sqlalchemy.orm import Mapped, mapped_column

from breadline.records.append_only import Base, Kept


class Brought(Kept, Base):
    """A sheet that was brought in: its digest, what it was said to hold, and how it was read.

    ``digests`` are those of what each new row says, the first 16 bytes of their SHA-256 one after the
    other, so that no row comes in twice. One column and not a table of rows: they are only ever asked
    for all together.
    """

    __tablename__ = "brought"
    name: Mapped[str]
    sha256: Mapped[str] = mapped_column(String(64), index=True)  # of the file
    kind: Mapped[str]  # yards, colonies or readings
    asked: Mapped[dict[str, Any]] = mapped_column(JSON)  # columns, units, decimal comma, order of dates
    rows: Mapped[int]  # that were new
    digests: Mapped[bytes] = mapped_column(LargeBinary, deferred=True)


class CopyMade(Kept, Base):
    """A copy of the book that was made and read back, as far as the book knows of it."""

    __tablename__ = "copy_made"
    to: Mapped[str]  # the file; empty where it was sent to a browser
    sha256: Mapped[str] = mapped_column(String(64))  # over all rows, as it was then
    records: Mapped[int]
