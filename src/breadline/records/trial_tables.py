"""The tables of trials: what was drawn, what became of each colony, and what it taught."""

from __future__ import annotations

from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy import JSON, ForeignKey, String, UniqueConstraint, Uuid
from sqlalchemy.orm import Mapped, mapped_column

from breadline.records.append_only import Base, Fact, Kept


class BeliefUpdateRow(Fact, Base):
    """What an own trial taught, with the belief before and after it as they were told then.

    The belief of a book is worked out afresh from ``log_ratio`` and ``se`` of all rows that hold, so
    an edited figure or a trial taken back is in it at once. ``trial`` is a digest of what it was
    learnt from, by which one trial teaches once. ``before`` and ``after`` hold low, middle and high
    of the mean over seasons and of the next one [log ratio], ``equivalence`` the modes of what a gram
    of feed replaces [g/g], null where the yards' own model could not be run. ``lived`` holds the same
    result with its deaths apart, null where that cannot be told. ``one_row`` says whether the groups stood in
    one row without alternating, null where that is not known, and in older books. ``told_as`` is how it
    is told in short: its class, or what range and lots agree on, or drift; null in older books.
    """

    __tablename__ = "belief_update"
    situation: Mapped[str] = mapped_column(index=True)
    season: Mapped[str]
    trial: Mapped[str] = mapped_column(String(64), index=True)
    name: Mapped[str]
    graded_on: Mapped[date]
    learnt_on: Mapped[date]
    given: Mapped[str]  # letter of its class
    log_ratio: Mapped[float]  # bees of fed over check colonies [log ratio]
    se: Mapped[float]  # [log ratio]
    fed: Mapped[int]  # colonies started
    check: Mapped[int]  # colonies started
    before: Mapped[dict[str, Any]] = mapped_column(JSON)
    after: Mapped[dict[str, Any]] = mapped_column(JSON)
    equivalence: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    program: Mapped[str]  # version of Breadline, and the way in which it judged the class
    lived: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))
    one_row: Mapped[bool | None]
    told_as: Mapped[str | None]


class TrialRow(Fact, Base):
    """A trial of a check group: each draw, and the lock of the one that was taken.

    ``told`` is all of its file but the colonies and their ends; ``drawn`` is the row whose colonies it has,
    where that is not itself.
    """

    __tablename__ = "trial"
    name: Mapped[str]
    told: Mapped[dict[str, Any]] = mapped_column(JSON)
    seal: Mapped[str | None] = mapped_column(String(64))
    drawn: Mapped[UUID | None] = mapped_column(Uuid, ForeignKey("trial.id"))


class TrialColonyRow(Kept, Base):
    """A colony as it was drawn."""

    __tablename__ = "trial_colony"
    trial_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("trial.id"))
    number: Mapped[int]  # in the order of the list that was drawn from
    tag: Mapped[str]
    hive: Mapped[str]
    yard: Mapped[str]
    unit: Mapped[str]
    block: Mapped[str]
    arm: Mapped[int]
    baseline: Mapped[float | None]  # [unit of the outcome]
    row: Mapped[int | None]
    place: Mapped[int | None]
    queen_line: Mapped[str]
    __table_args__ = (UniqueConstraint("trial_id", "number"),)


class TrialEndRow(Fact, Base):
    """What became of a colony that was started; a later word on it takes the place of the one before."""

    __tablename__ = "trial_end"
    trial_id: Mapped[UUID] = mapped_column(Uuid, ForeignKey("trial.id"), index=True)
    tag: Mapped[str]
    became: Mapped[str]
    outcome: Mapped[float | None]  # [unit of the outcome]
    graded_on: Mapped[date | None]
    grader: Mapped[str]
    again: Mapped[float | None]  # [unit of the outcome]
    guessed: Mapped[int | None]
    merged_into: Mapped[str]
    taken: Mapped[float]  # of bees [frames]
    also: Mapped[dict[str, Any] | None] = mapped_column(JSON(none_as_null=True))  # what else was read
