"""The newest entry of each kind that the answers of yards go by: nothing changes without a new one."""

from __future__ import annotations

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.records.tables import BloomRow, FigureEdit, Reading, Visit, Weather, YardFact

KINDS = (YardFact, Visit, Reading, BloomRow, Weather, FigureEdit)


def entries(session: Session) -> str:
    """Their keys in one word; entries are only ever added, and a later key is a larger one."""
    return " ".join(str(session.scalar(select(kind.id).order_by(kind.id.desc()).limit(1))) for kind in KINDS)
