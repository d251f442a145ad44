"""Frozen pollen frames as they lie in the freezer, and where dry feed stood in the open."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records.append_only import current, history, put_in_place, same_again, withdraw
from breadline.records.storable import storable
from breadline.records.tables import DryFeedRow, FrozenRow, FrozenTaken, YardRow

JUST = 1e-9  # frames; less is none [frames]


@dataclass(frozen=True)
class Put:
    """Frames on their way into the freezer; fields and units as in ``FrozenRow``."""

    yard: str
    taken_on: date
    frames: float  # [frames]
    disease_free: bool | None
    note: str = ""


@dataclass(frozen=True)
class Lying:
    """A lot as it lies in the freezer now."""

    id: UUID
    yard: str
    taken_on: date
    frames: float  # left of it [frames]
    disease_free: bool | None
    disease_found: bool = False  # at its yard since it was put in


@dataclass(frozen=True)
class GivenAway:
    """Frames that were taken out again and put on hives."""

    on: date
    frames: float  # [frames]
    to_yard: str  # empty where none was named


@dataclass(frozen=True)
class Stood:
    """Dry feed in the open on its way into the book; fields and units as in ``DryFeedRow``."""

    since: date
    latitude: float  # [°]
    longitude: float | None  # [°]
    near_km: float  # [km]
    far_km: float  # [km]
    colonies_in_range: float | None  # [colonies]
    own_colonies: int


def put_in(session: Session, put: Put) -> FrozenRow:
    """Write down frames that went into the freezer.

    Errors
    ------
    RecordError
        If no yard is named, there are no frames, or a value cannot be kept.
    """
    storable(put, "frozen frames")
    if not put.yard.strip():
        raise RecordError("frozen frames", say("no yard is named"), say("the yard they come from"),
                          say("Frames of an unknown yard go into no freezer"))  # fmt: skip
    if not put.frames > 0:
        raise RecordError("frozen frames", say("{frames:g} frames", frames=put.frames), say("above 0"))
    row = FrozenRow(**{name: getattr(put, name) for name in put.__dataclass_fields__})
    session.add(row)
    session.flush()
    return row


def lying(session: Session) -> list[Lying]:
    """What is left of each lot, oldest first; lots that are used up are left out."""
    found = []
    for row in session.scalars(current(FrozenRow)):
        line = [one.id for one in history(session, row)]
        taken = session.scalars(current(FrozenTaken).where(FrozenTaken.frozen_id.in_(line)))
        left = row.frames - sum(one.frames for one in taken)
        if left > JUST:  # a lot that was set aside keeps its place, that of its first row
            found_since = row.disease_free is False and len(line) > 1
            lot = Lying(row.id, row.yard, row.taken_on, left, row.disease_free, found_since)
            found.append((row.taken_on, line[0], lot))
    return [lot for *_, lot in sorted(found, key=lambda one: one[:2])]


def take_out(session: Session, of: Sequence[tuple[UUID, float]], on: date, to_yard: str = "") -> None:
    """Write down frames that were taken out: of which lot, and how many [frames].

    Errors
    ------
    RecordError
        If more is taken of a lot than lies there.
    """
    storable(to_yard, "yard")
    there = {lot.id: lot.frames for lot in lying(session)}
    for key, frames in of:
        if not 0 < frames <= there.get(key, 0.0) + JUST:
            raise RecordError(
                "frames to take out",
                say("{frames:g} of a lot of {there:g}", frames=frames, there=there.get(key, 0.0)),
                say("no more than lie there"),
            )
        session.add(FrozenTaken(frozen_id=key, on=on, frames=frames, to_yard=to_yard))
    session.flush()


def disease_found(session: Session, yard: str, because: str) -> int:
    """Set aside every lot from a yard where disease was found; how many there were.

    Errors
    ------
    RecordError
        If no lot is from that yard.
    """
    rows = list(session.scalars(current(FrozenRow).where(FrozenRow.yard == yard)))
    if not rows:
        known = sorted(set(session.scalars(select(FrozenRow.yard))))
        raise RecordError(
            f'yard "{yard}"',
            say("no frozen frames are from there"),
            say("one of these: {names}", names=", ".join(known) or say("none yet")),
        )
    for row in rows:
        if row.disease_free is not False or len(history(session, row)) == 1:
            put_in_place(session, row, same_again(row, disease_free=False, because=because))
    return len(rows)


def sick_yards(session: Session) -> frozenset[str]:
    """The yards where disease was found after frames from there were put in, left or not."""
    set_aside = session.scalars(current(FrozenRow).where(FrozenRow.disease_free.is_(False)))
    return frozenset(row.yard for row in set_aside if len(history(session, row)) > 1)


def given_away(session: Session, yard: str) -> list[GivenAway]:
    """What was taken out of the lots from a yard, by day and the yard it went to, the oldest first."""
    found: dict[tuple[date, str], float] = {}
    for row in session.scalars(current(FrozenRow).where(FrozenRow.yard == yard)):
        line = [one.id for one in history(session, row)]
        for one in session.scalars(current(FrozenTaken).where(FrozenTaken.frozen_id.in_(line))):
            key = (one.on, one.to_yard)
            found[key] = found.get(key, 0.0) + one.frames
    return [GivenAway(on, frames, to_yard) for (on, to_yard), frames in sorted(found.items())]


def keep_dry_feed(session: Session, yard_id: UUID, stood: Stood) -> DryFeedRow:
    """Write down that dry feed stands in the open at a yard; once for a day.

    Errors
    ------
    RecordError
        If there is no such yard, or a value cannot be kept.
    """
    storable(stood, "dry feed")
    if session.get(YardRow, yard_id) is None:
        raise RecordError(
            "dry feed", say("there is no yard {yard_id}", yard_id=yard_id), say("a yard of this book")
        )
    told = {name: getattr(stood, name) for name in stood.__dataclass_fields__}
    same_day = current(DryFeedRow).where(DryFeedRow.yard_id == yard_id, DryFeedRow.since == stood.since)
    old, row = session.scalar(same_day), DryFeedRow(yard_id=yard_id, **told)
    if old is None:
        session.add(row)
        session.flush()
        return row
    return old if all(getattr(old, name) == told[name] for name in told) else put_in_place(session, old, row)


def dry_feeds(session: Session) -> list[DryFeedRow]:
    """Where dry feed stood in the open, oldest first."""
    return list(session.scalars(current(DryFeedRow).order_by(None).order_by(DryFeedRow.since, DryFeedRow.id)))


def stood(row: DryFeedRow) -> Stood:
    """A row as it was written down."""
    return Stood(**{name: getattr(row, name) for name in Stood.__dataclass_fields__})


def no_dry_feed(session: Session, yard_id: UUID, because: str, since: Collection[date]) -> None:
    """Say that none stood at a yard after all since those days; what was written down stays in the file.

    Errors
    ------
    RecordError
        If none is written down for them.
    """
    wanted = current(DryFeedRow).where(DryFeedRow.yard_id == yard_id, DryFeedRow.since.in_(tuple(since)))
    rows = list(session.scalars(wanted))
    if not rows:
        what = "none is written down for this yard this season"
        raise RecordError("dry feed", what, say("a yard where some stood"))
    for row in rows:
        withdraw(session, row, because)
