"""The table of phones that may send to this book over the network of the house."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import String
from sqlalchemy.orm import Mapped, mapped_column

from breadline.records.append_only import Base, Fact
from breadline.records.times import UtcTime


class PhoneRow(Fact, Base):
    """A phone: offered a code, then known by a token, until it is revoked; only digests of both are kept."""

    __tablename__ = "phone"
    name: Mapped[str]
    code_sha256: Mapped[str | None] = mapped_column(String(64))
    code_until: Mapped[datetime | None] = mapped_column(UtcTime)
    token_sha256: Mapped[str | None] = mapped_column(String(64), index=True)
