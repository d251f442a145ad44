"""Which region's bloom calendar a yard goes by."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.records.append_only import Base, current, put_in_place
from breadline.records.tables import BloomRow, YardFact
from breadline.records.yards import fact


def say_region(session: Session, yard_id: UUID, region: str | None, because: str = "") -> None:
    """Write down the region of a yard in the place of the one before, which stays in its history.

    Errors
    ------
    RecordError
        If there is no such yard on the list.
    """
    old = fact(session, yard_id)
    if old.region == region:
        return
    own = {"id", "made_at", "replaces", "withdrawn", "because", "region"}
    kept = {name: getattr(old, name) for name in _names(YardFact) if name not in own}
    put_in_place(session, old, YardFact(**kept, region=region, because=because))


def facts(session: Session) -> Sequence[YardFact]:
    """What lasts of every yard on the list, oldest yard first."""
    return list(session.scalars(current(YardFact).order_by(None).order_by(YardFact.yard_id)))


def with_own_bloom(session: Session) -> frozenset[UUID]:
    """The yards whose keeper wrote down what blooms there."""
    return frozenset(session.scalars(current(BloomRow).with_only_columns(BloomRow.yard_id)))


def _names(kind: type[Base]) -> Iterable[str]:
    return (column.key for column in kind.__table__.columns)
