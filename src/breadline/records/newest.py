"""The newest entry of each kind that the answers of yards go by: nothing changes without a new one."""

from __future__ import annotations

from typing import Any

from sqlalchemy import ColumnElement, func, literal_column, select
from sqlalchemy.orm import Session

from breadline.records.append_only import Base
from breadline.records.tables import BloomRow, FigureEdit, Reading, Visit, Weather, YardFact

KINDS = (YardFact, Visit, Reading, BloomRow, Weather, FigureEdit)
OF_NO_ANSWER = {"outlook", "copy_made", "phone"}  # written by a look, a copy, a paired phone


def entries(session: Session) -> str:
    """What says of each in one word that it was added to."""
    return " ".join(_newest(session, kind.__table__.c.id) for kind in KINDS)


def everything(session: Session) -> str:
    """The same of every table of the book but those that no answer goes by."""
    tables = [table for table in Base.metadata.sorted_tables if table.name not in OF_NO_ANSWER]
    return " ".join(_newest(session, table.c.id) for table in tables)


def _newest(session: Session, key: ColumnElement[Any]) -> str:
    """The row that was written last, by its place; on a server how many there are, and the largest key.

    The largest key alone does not tell what somebody wrote whose clock is behind.
    """
    if session.get_bind().dialect.name == "sqlite":
        at: ColumnElement[int] = literal_column("rowid")
        return str(session.execute(select(at, key).order_by(at.desc()).limit(1)).first())
    many = session.scalar(select(func.count()).select_from(key.table))
    return f"{many} {session.scalar(select(key).order_by(key.desc()).limit(1))}"
