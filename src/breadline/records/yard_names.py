"""The names of a yard, with those that it had before: a trial knows it by the name of its day."""

from __future__ import annotations

from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.records.append_only import current
from breadline.records.tables import YardFact


def names_of(session: Session, yard_id: UUID) -> tuple[str, ...]:
    """The name of a yard, then those it had before, newest first; none that another yard has now.

    None at all where there is no such yard on the list.
    """
    now = current(YardFact).order_by(None).with_only_columns(YardFact.yard_id, YardFact.name)
    names = {row.yard_id: row.name for row in session.execute(now)}
    if yard_id not in names:
        return ()
    taken = {name for key, name in names.items() if key != yard_id}
    had = select(YardFact.name).where(YardFact.yard_id == yard_id).order_by(YardFact.id.desc())
    before = [name for name in session.scalars(had) if name not in taken]
    return tuple(dict.fromkeys([names[yard_id], *before]))
