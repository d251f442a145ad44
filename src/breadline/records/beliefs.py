"""What own trials taught, one entry a trial; corrected or withdrawn, never changed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import current, put_in_place, withdraw
from breadline.records.storable import storable
from breadline.records.trial_tables import BeliefUpdateRow

RESULT = (
    "situation", "season", "trial", "given", "log_ratio", "se", "equivalence", "lived", "program", "one_row",
    "told_as",
)  # fmt: skip


@dataclass(frozen=True)
class Update:
    """What a trial taught, on its way into the book; fields and units as in ``BeliefUpdateRow``."""

    situation: str
    season: str
    trial: str
    name: str
    graded_on: date
    learnt_on: date
    given: str
    log_ratio: float  # [log ratio]
    se: float  # [log ratio]
    fed: int
    check: int
    before: Mapping[str, Any]
    after: Mapping[str, Any]
    equivalence: Mapping[str, Any] | None
    program: str
    lived: Mapping[str, Any] | None = None
    one_row: bool | None = None
    told_as: str | None = None


def keep_update(session: Session, update: Update, because: str = "") -> BeliefUpdateRow:
    """What a trial taught: the entry before where its result is the same, else a new one in its place.

    Errors
    ------
    RecordError
        If a value cannot be kept.
    """
    told = {name: getattr(update, name) for name in update.__dataclass_fields__}
    told |= {name: dict(told[name]) for name in ("before", "after")}
    told["equivalence"] = None if update.equivalence is None else dict(update.equivalence)
    told["lived"] = None if update.lived is None else dict(update.lived)
    plain = tuple(value for value in told.values() if isinstance(value, str | float | int))
    storable((*plain, because), "what a trial taught")
    old = update_of(session, update.trial)
    if old is not None and all(getattr(old, name) == told[name] for name in RESULT):
        return old
    row = BeliefUpdateRow(because=because, **told)
    if old is not None:
        return put_in_place(session, old, row)
    session.add(row)
    session.flush()
    return row


def updates(session: Session) -> list[BeliefUpdateRow]:
    """What holds now, oldest first."""
    return list(session.scalars(current(BeliefUpdateRow)))


def update_of(session: Session, trial: str) -> BeliefUpdateRow | None:
    """What a trial taught, by its digest; None where nothing was learnt from it, or it was taken back."""
    return session.scalar(current(BeliefUpdateRow).where(BeliefUpdateRow.trial == trial))


def withdraw_update(session: Session, trial: str, because: str) -> None:
    """Take back what was learnt from a trial; it stays in the file.

    Errors
    ------
    RecordError
        If nothing was learnt from it.
    """
    old = update_of(session, trial)
    if old is None:
        raise RecordError("trial", say("nothing was learnt from it"), say("a trial that the belief goes by"))
    withdraw(session, old, because)
