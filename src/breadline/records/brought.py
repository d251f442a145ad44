"""What came in as a sheet, and which copies were made."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import insert, select
from sqlalchemy.orm import Session

from breadline.records.brought_tables import Brought, BroughtRow, CopyMade
from breadline.records.ids import new_id
from breadline.records.times import now

AT_ONCE = 500  # digests asked for in one question


def keep_sheet(
    session: Session, name: str, sha256: str, kind: str, asked: Mapping[str, Any],
    rows: Sequence[tuple[int, str]],
) -> Brought:  # fmt: skip
    """Write down that a sheet came in, and the line and digest of each of its rows that was new."""
    row = Brought(name=name, sha256=sha256, kind=kind, asked=dict(asked), rows=len(rows))
    session.add(row)
    session.flush()
    made = now()
    told = [
        {"id": new_id(), "made_at": made, "brought_id": row.id, "line": line, "sha256": digest}
        for line, digest in rows
    ]
    if told:
        session.execute(insert(BroughtRow), told)
    return row


def known_rows(session: Session, digests: Iterable[str]) -> set[str]:
    """Those of some digests whose rows came in before."""
    wanted, found = list(digests), set[str]()
    for start in range(0, len(wanted), AT_ONCE):
        part = wanted[start : start + AT_ONCE]
        found |= set(session.scalars(select(BroughtRow.sha256).where(BroughtRow.sha256.in_(part))))
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
