"""The newest entry of each kind that the answers of yards go by: nothing changes without a new one."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.records.append_only import Base
from breadline.records.tables import BloomRow, FigureEdit, Reading, Visit, Weather, YardFact

KINDS = (YardFact, Visit, Reading, BloomRow, Weather, FigureEdit)
OF_NO_ANSWER = {"outlook", "copy_made", "phone"}  # written by a look, a copy, a paired phone


def entries(session: Session) -> str:
    """Their keys in one word; entries are only ever added, and a later key is a larger one."""
    return " ".join(str(session.scalar(select(kind.id).order_by(kind.id.desc()).limit(1))) for kind in KINDS)


def everything(session: Session) -> str:
    """The same of every table of the book but those that no answer goes by."""
    of = [table.c.id for table in Base.metadata.sorted_tables if table.name not in OF_NO_ANSWER]
    return " ".join(str(session.scalar(select(key).order_by(key.desc()).limit(1))) for key in of)
