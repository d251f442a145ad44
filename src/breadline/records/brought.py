"""What came in as a sheet, and which copies were made."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.records.brought_tables import Brought, CopyMade

WIDTH = 16  # of a row's digest [bytes]


def keep_sheet(
    session: Session, name: str, sha256: str, kind: str, asked: Mapping[str, Any], digests: Sequence[bytes]
) -> Brought:
    """Write down that a sheet came in, and the digest of each of its rows that was new."""
    row = Brought(
        name=name, sha256=sha256, kind=kind, asked=dict(asked), rows=len(digests), digests=b"".join(digests)
    )
    session.add(row)
    session.flush()
    return row


def known_rows(session: Session, kind: str) -> set[bytes]:
    """The digests of all rows of a kind that came in before."""
    found: set[bytes] = set()
    for told in session.scalars(select(Brought.digests).where(Brought.kind == kind)):
        found |= {told[at : at + WIDTH] for at in range(0, len(told), WIDTH)}
    return found


def sheet_of(session: Session, sha256: str) -> Brought | None:
    """When a file of this digest came in last; None where it never did."""
    wanted = select(Brought).where(Brought.sha256 == sha256).order_by(Brought.id.desc())
    return session.scalar(wanted.limit(1))


def keep_copy(session: Session, to: str, sha256: str, records: int) -> None:
    """Write down that a copy was made and read back."""
    session.add(CopyMade(to=to, sha256=sha256, records=records))
    session.flush()


def last_copy(session: Session) -> tuple[datetime, str] | None:
    """When and to where the last copy was made; None where the book knows of none."""
    row = session.scalar(select(CopyMade).order_by(CopyMade.id.desc()).limit(1))
    return None if row is None else (row.made_at, row.to)
