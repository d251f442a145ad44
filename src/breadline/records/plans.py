"""Plans of feeding that were chosen, their rounds, and what was given since."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import current, put_in_place, withdraw
from breadline.records.storable import storable
from breadline.records.tables import PlanRow, RoundRow, YardRow


@dataclass(frozen=True)
class Chosen:
    """A plan on its way into the book; fields and units as in ``PlanRow`` and ``RoundRow``."""

    chosen_on: date
    asked: str
    sentence: str
    break_even: str
    feed: str
    colonies: int
    belief: Mapping[str, Any]
    prices: Mapping[str, Any]
    foretold: Mapping[str, Any]
    seed: int
    program: str
    draws: str
    rounds: tuple[tuple[date, float], ...]  # day, grams a colony [g]
    paper: Mapping[str, Any] | None = None
    threshold: float | None = None  # [share]


def keep_plan(session: Session, yard_id: UUID, chosen: Chosen, because: str = "") -> PlanRow:
    """The plan that holds for a yard now: the one before where it is the same, else a new one in its place.

    Errors
    ------
    RecordError
        If there is no such yard, or a value cannot be kept.
    """
    if session.get(YardRow, yard_id) is None:
        raise RecordError(
            "plan", say("there is no yard {yard_id}", yard_id=yard_id), say("a yard of this book")
        )
    plain = (chosen.asked, chosen.sentence, chosen.break_even, chosen.feed, chosen.seed, chosen.threshold)
    storable(plain, "plan")
    storable(tuple(grams for _, grams in chosen.rounds), "rounds")
    told = {name: getattr(chosen, name) for name in chosen.__dataclass_fields__ if name != "rounds"}
    told |= {name: dict(told[name]) for name in ("belief", "prices", "foretold")}
    told["paper"] = None if chosen.paper is None else dict(chosen.paper)
    old = plan_of(session, yard_id)
    if old is not None and _same(old, told) and pieces(session, old.id) == chosen.rounds:
        return old
    row = PlanRow(yard_id=yard_id, because=because, **told)
    if old is not None:
        put_in_place(session, old, row)
    else:
        storable(because, "reason")
        session.add(row)
    session.flush()
    session.add_all(
        RoundRow(plan_id=row.id, number=n, on=on, grams=grams)
        for n, (on, grams) in enumerate(chosen.rounds, 1)
    )
    session.flush()
    return row


def plan_of(session: Session, yard_id: UUID) -> PlanRow | None:
    """The plan that holds for a yard now; None where none was chosen."""
    return session.scalar(current(PlanRow).where(PlanRow.yard_id == yard_id))


def plans_before(session: Session, yard_id: UUID) -> list[PlanRow]:
    """Every plan that was chosen for a yard, oldest first, those that another took the place of too."""
    wanted = select(PlanRow).where(PlanRow.yard_id == yard_id, PlanRow.withdrawn.is_(False))
    return list(session.scalars(wanted.order_by(PlanRow.id)))


def pieces(session: Session, plan_id: UUID) -> tuple[tuple[date, float], ...]:
    """Day and grams a colony of each round of a plan. [g]"""
    rows = session.scalars(select(RoundRow).where(RoundRow.plan_id == plan_id).order_by(RoundRow.number))
    return tuple((row.on, row.grams) for row in rows)


def rounds_from(session: Session, first: date) -> list[tuple[UUID, date, float]]:
    """Yard, day and grams a colony of every round from a day on, of the plans that hold now. [g]"""
    held = current(PlanRow).subquery()
    wanted = select(held.c.yard_id, RoundRow.on, RoundRow.grams).join(held, RoundRow.plan_id == held.c.id)
    rows = session.execute(wanted.where(RoundRow.on >= first).order_by(RoundRow.on, RoundRow.number))
    return [(yard, on, grams) for yard, on, grams in rows]


def days_planned(session: Session, yard_id: UUID) -> tuple[date, ...]:
    """The days of all rounds of a yard's plans, each plan's until another took its place."""
    days: set[date] = set()
    until = date.max
    for row in reversed(plans_before(session, yard_id)):
        days |= {on for on, _ in pieces(session, row.id) if on < until}
        until = row.chosen_on
    return tuple(sorted(days))


def withdraw_plan(session: Session, yard_id: UUID, because: str) -> None:
    """Take the plan of a yard back; it stays in the file."""
    old = plan_of(session, yard_id)
    if old is None:
        raise RecordError("plan", say("none is chosen for this yard"), say("a yard with a plan"))
    withdraw(session, old, because)


def _same(old: PlanRow, told: Mapping[str, Any]) -> bool:
    return all(getattr(old, name) == value for name, value in told.items())
