"""Plans of feeding that were chosen, their rounds, and what was given since."""

from __future__ import annotations

from collections.abc import Collection, Mapping
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


def plans_now(session: Session, yard_ids: Collection[UUID] | None = None) -> list[PlanRow]:
    """The plans that hold now, of some yards or of all, read at once."""
    wanted = current(PlanRow)
    if yard_ids is not None:
        wanted = wanted.where(PlanRow.yard_id.in_(yard_ids))
    return list(session.scalars(wanted))


def chosen_days(session: Session, yard_ids: Collection[UUID]) -> dict[UUID, list[tuple[UUID, date]]]:
    """Key and day of every plan that was chosen for some yards, by yard, oldest first."""
    wanted = select(PlanRow.yard_id, PlanRow.id, PlanRow.chosen_on)
    wanted = wanted.where(PlanRow.yard_id.in_(yard_ids), PlanRow.withdrawn.is_(False)).order_by(PlanRow.id)
    found: dict[UUID, list[tuple[UUID, date]]] = {key: [] for key in yard_ids}
    for yard, key, on in session.execute(wanted):
        found[yard].append((key, on))
    return found


def plans_before(session: Session, yard_id: UUID) -> list[PlanRow]:
    """Every plan that was chosen for a yard, oldest first, those that another took the place of too."""
    return plans_of_yards(session, [yard_id])[yard_id]


def plans_of_yards(session: Session, yard_ids: Collection[UUID]) -> dict[UUID, list[PlanRow]]:
    """The same of several yards, by yard, read at once."""
    wanted = select(PlanRow).where(PlanRow.yard_id.in_(yard_ids), PlanRow.withdrawn.is_(False))
    found: dict[UUID, list[PlanRow]] = {key: [] for key in yard_ids}
    for row in session.scalars(wanted.order_by(PlanRow.id)):
        found[row.yard_id].append(row)
    return found


def pieces(session: Session, plan_id: UUID) -> tuple[tuple[date, float], ...]:
    """Day and grams a colony of each round of a plan. [g]"""
    return pieces_of(session, [plan_id])[plan_id]


def pieces_of(session: Session, plan_ids: Collection[UUID]) -> dict[UUID, tuple[tuple[date, float], ...]]:
    """The same of several plans, by plan, read at once. [g]"""
    wanted = select(RoundRow.plan_id, RoundRow.on, RoundRow.grams).where(RoundRow.plan_id.in_(plan_ids))
    found: dict[UUID, tuple[tuple[date, float], ...]] = dict.fromkeys(plan_ids, ())
    for plan, on, grams in session.execute(wanted.order_by(RoundRow.number)):
        found[plan] = (*found[plan], (on, grams))
    return found


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
    chosen = chosen_days(session, [yard_id])[yard_id]
    rounds = pieces_of(session, [key for key, _ in chosen])
    for key, chosen_on in reversed(chosen):
        days |= {on for on, _ in rounds[key] if on < until}
        until = chosen_on
    return tuple(sorted(days))


def withdraw_plan(session: Session, yard_id: UUID, because: str) -> None:
    """Take the plan of a yard back; it stays in the file."""
    old = plan_of(session, yard_id)
    if old is None:
        raise RecordError("plan", say("none is chosen for this yard"), say("a yard with a plan"))
    withdraw(session, old, because)


def _same(old: PlanRow, told: Mapping[str, Any]) -> bool:
    return all(getattr(old, name) == value for name, value in told.items())
