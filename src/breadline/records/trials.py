"""Trials of check groups in the book: every draw, the lock, and what became of each colony."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import asdict
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import current, put_in_place
from breadline.records.storable import storable
from breadline.records.trial_tables import TrialColonyRow, TrialEndRow, TrialRow
from breadline.trial.colonies import Also, Became, Ended, Started


def keep_draw(
    session: Session, name: str, told: Mapping[str, Any], colonies: Sequence[Started],
    before: TrialRow | None = None,
) -> TrialRow:  # fmt: skip
    """A draw, in the place of one not yet locked where there was one; both stay in the file.

    Errors
    ------
    RecordError
        If the one before is locked, or a value cannot be kept.
    """
    if before is not None and before.seal is not None:
        raise RecordError(
            "trial",
            say("its draw is locked"),
            say("a draw not yet locked"),
            say("A locked draw stays as it fell"),
        )
    storable((name, *colonies), "trial")
    row = TrialRow(name=name, told=dict(told), seal=None, drawn=None)
    _put(session, before, row)
    session.add_all(
        TrialColonyRow(trial_id=row.id, number=n, **asdict(one)) for n, one in enumerate(colonies)
    )
    session.flush()
    return row


def keep_lock(session: Session, drawn: TrialRow, told: Mapping[str, Any], seal: str) -> TrialRow:
    """The lock of a draw.

    Errors
    ------
    RecordError
        If it is locked, or another draw took its place.
    """
    if drawn.seal is not None:
        raise RecordError("trial", say("it is locked already"), say("a draw not yet locked"))
    return _put(session, drawn, TrialRow(name=drawn.name, told=dict(told), seal=seal, drawn=drawn.id))


def trials(session: Session) -> list[TrialRow]:
    """Every trial as it holds now, the first drawn first."""
    return list(session.scalars(current(TrialRow)))


def trial_of(session: Session, key: UUID) -> TrialRow:
    """The trial whose draw or lock has this key, as it holds now.

    Errors
    ------
    RecordError
        If there is none.
    """
    row = session.get(TrialRow, key)
    while row is not None and (later := session.scalar(select(TrialRow).where(TrialRow.replaces == row.id))):
        row = later
    if row is None or row.withdrawn:
        raise RecordError(
            "trial",
            say("there is no trial {key}", key=key),
            say("a trial of this book"),
            say("See the list of trials"),
        )
    return row


def colonies_of(session: Session, trial: TrialRow) -> tuple[Started, ...]:
    """The colonies of a trial in the order of the list that was drawn from."""
    names = list(Started.__dataclass_fields__)
    columns = [getattr(TrialColonyRow, name) for name in names]  # plain: there may be a thousand
    wanted = select(*columns).where(TrialColonyRow.trial_id == _draw(trial))
    rows = session.execute(wanted.order_by(TrialColonyRow.number))
    return tuple(Started(**dict(zip(names, row, strict=True))) for row in rows)


def keep_end(session: Session, trial: TrialRow, end: Ended, because: str = "") -> None:
    """What became of a colony; the word before where it is the same, else a new one in its place.

    Errors
    ------
    RecordError
        If the colony was not drawn, or a value cannot be kept.
    """
    storable((end, because), "end")
    drawn = select(TrialColonyRow.id).where(
        TrialColonyRow.trial_id == _draw(trial), TrialColonyRow.tag == end.tag
    )
    if session.scalar(drawn) is None:
        raise RecordError("end", say("{tag} was not drawn", tag=end.tag), say("a tag of the trial"))
    also = {name: value for name, value in asdict(end.also).items() if value is not None}
    told = asdict(end) | {"became": end.became.value, "also": also or None}
    row = TrialEndRow(trial_id=_draw(trial), because=because, **told)
    old = session.scalar(
        current(TrialEndRow).where(TrialEndRow.trial_id == _draw(trial), TrialEndRow.tag == end.tag)
    )
    if old is None:
        session.add(row)
        session.flush()
    elif _end(old) != end:
        put_in_place(session, old, row)


def ends_of(session: Session, trial: TrialRow) -> tuple[Ended, ...]:
    """What became of the colonies of a trial, as far as it is known."""
    rows = session.scalars(current(TrialEndRow).where(TrialEndRow.trial_id == _draw(trial)))
    return tuple(_end(row) for row in rows)


def _end(row: TrialEndRow) -> Ended:
    told = {name: getattr(row, name) for name in Ended.__dataclass_fields__}
    return Ended(**(told | {"became": Became(row.became), "also": Also(**(row.also or {}))}))


def _draw(trial: TrialRow) -> UUID:
    """The row whose colonies a trial has."""
    return trial.drawn or trial.id


def _put(session: Session, before: TrialRow | None, row: TrialRow) -> TrialRow:
    if before is not None:
        return put_in_place(session, before, row)
    session.add(row)
    session.flush()
    return row
