"""The tables of what came in as a sheet, row by row, and of copies that were made."""

from __future__ import annotations

from typing import Any
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, String, Uuid
from sqlalchemy.orm import Mapped, mapped_column

from breadline.records.append_only import Base, Kept


class Brought(Kept, Base):
    """A sheet that was brought in: its digest, what it was said to hold, and how it was read."""

    __tablename__ = "brought"
    name: Mapped[str]
    sha256: Mapped[str] = mapped_column(String(64), index=True)  # of the file
    kind: Mapped[str]  # yards, colonies or readings
    asked: Mapped[dict[str, Any]] = mapped_column(JSON)  # columns, units, decimal comma, order of dates
    rows: Mapped[int]  # that were new


class BroughtRow(Kept, Base):
    """A row of a sheet that was brought in, by a digest of what it says; it never comes in again."""

    __tablename__ = "brought_row"
    brought_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("brought.id"))
    line: Mapped[int]  # in the file
    sha256: Mapped[str] = mapped_column(String(64), unique=True)


class CopyMade(Kept, Base):
    """A copy of the book that was made and read back, as far as the book knows of it."""

    __tablename__ = "copy_made"
    to: Mapped[str]  # the file; empty where it was sent to a browser
    sha256: Mapped[str] = mapped_column(String(64))  # over all rows, as it was then
    records: Mapped[int]
