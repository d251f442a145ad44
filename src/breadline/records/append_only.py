"""Facts that are only ever added: a correction is a new row that names the one it replaces.

Nothing is updated or deleted. The session refuses it here, and triggers in the
database refuse it for everybody else (``r0002_append_only.py`` and ``r0003_no_way_round.py``).
"""

from __future__ import annotations

from datetime import datetime
from functools import cache
from typing import Any, ClassVar, TypeVar, cast
from uuid import UUID

from sqlalchemy import Double, ForeignKey, MetaData, Select, Uuid, event, select
from sqlalchemy.orm import (
    DeclarativeBase,
    Mapped,
    ORMExecuteState,
    Session,
    aliased,
    declared_attr,
    mapped_column,
)

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.ids import new_id
from breadline.records.storable import storable
from breadline.records.times import UtcTime, now


class Base(DeclarativeBase):
    """Every table of the book; constraints are named so that migrations can find them."""

    type_annotation_map: ClassVar[dict[Any, Any]] = {float: Double}
    metadata = MetaData(
        naming_convention={
            "ix": "ix_%(column_0_label)s",
            "uq": "uq_%(table_name)s_%(column_0_name)s",
            "ck": "ck_%(table_name)s_%(constraint_name)s",
            "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
            "pk": "pk_%(table_name)s",
        }
    )


class Kept:
    """A row of the book: its key and when it was written down. Never changed."""

    id: Mapped[UUID] = mapped_column(Uuid, primary_key=True, default=new_id)
    made_at: Mapped[datetime] = mapped_column(UtcTime, default=now)


class Fact(Kept):
    """A row that can be corrected or withdrawn by a later row.

    ``replaces`` is the row it takes the place of; one row is replaced at most
    once, so a history is a line and never forks. A ``withdrawn`` row says that
    nothing takes the place of the one before.
    """

    withdrawn: Mapped[bool] = mapped_column(default=False)
    because: Mapped[str] = mapped_column(default="")

    @declared_attr
    def replaces(cls) -> Mapped[UUID | None]:
        """Key of the row of the same table that this one takes the place of."""
        name: str = cls.__tablename__  # type: ignore[attr-defined]
        return mapped_column(Uuid, ForeignKey(f"{name}.id"), unique=True, default=None)


F = TypeVar("F", bound=Fact)


def current(kind: type[F]) -> Select[F]:
    """The rows of one kind that hold now: not replaced, not withdrawn, oldest first."""
    return cast("Select[F]", _current(cast(Any, kind)))


@cache
def _current(kind: type[Fact]) -> Select[Any]:
    """Built once for each kind: it takes longer to build than to answer."""
    later = aliased(kind)
    replaced = select(later.id).where(later.replaces == kind.id).exists()
    return select(kind).where(~replaced, kind.withdrawn.is_(False)).order_by(kind.id)


def put_in_place(session: Session, old: F, new: F) -> F:
    """Write ``new`` in the place of ``old``; both stay in the history.

    Errors
    ------
    RecordError
        If ``old`` was replaced or withdrawn before: the row to correct is the newest one;
        or if the reason cannot be kept.
    """
    kind = type(old)
    storable(new.because, "reason")
    if not holds(session, old):
        raise RecordError(
            kind.__tablename__.replace("_", " "),  # type: ignore[attr-defined]
            say("this entry was corrected or withdrawn before"),
            say("the entry that holds now"),
            say("Open its history and correct the newest one"),
        )
    new.replaces = old.id
    session.add(new)
    session.flush()
    return new


def holds(session: Session, fact: Fact) -> bool:
    """Whether a row says what holds now: not replaced, and no withdrawal."""
    kind = type(fact)
    return not fact.withdrawn and session.scalar(select(kind.id).where(kind.replaces == fact.id)) is None


def same_again(old: F, **changes: Any) -> F:
    """A new, unsaved row like ``old`` but for ``changes``; it has its own key and time."""
    own = {"id", "made_at", "replaces", "withdrawn", "because"}
    columns = [c.key for c in type(old).__table__.columns if c.key not in own]  # type: ignore[attr-defined]
    return type(old)(**({name: getattr(old, name) for name in columns} | changes))


def withdraw(session: Session, old: F, because: str) -> F:
    """Say that ``old`` does not hold and that nothing takes its place; it stays in the history."""
    return put_in_place(session, old, same_again(old, withdrawn=True, because=because))


def history(session: Session, fact: F) -> list[F]:
    """The whole line of one fact, oldest first, whichever of its rows is given."""
    kind = type(fact)
    line = [fact]
    while line[0].replaces is not None:
        before = session.get(kind, line[0].replaces)
        if before is None:
            break  # a foreign key forbids it; a damaged file may still hold it
        line.insert(0, before)
    while (after := session.scalar(select(kind).where(kind.replaces == line[-1].id))) is not None:
        line.append(after)
    return line


def _refused(what: str) -> RecordError:
    return RecordError(
        what,
        say("an entry of the book cannot be changed or deleted"),
        say("a correction"),
        say("Correct or withdraw it"),
    )


@event.listens_for(Session, "before_flush")
def _only_additions(session: Session, *_: object) -> None:
    changed = [row for row in session.dirty if session.is_modified(row)]
    for row in [*changed, *session.deleted]:
        if isinstance(row, Kept):
            raise _refused(str(getattr(row, "__tablename__", "book")))


@event.listens_for(Session, "do_orm_execute")
def _no_bulk_changes(state: ORMExecuteState) -> None:
    mapper = state.bind_mapper
    if (state.is_update or state.is_delete) and mapper is not None and issubclass(mapper.class_, Kept):
        raise _refused(str(getattr(mapper.class_, "__tablename__", "book")))
