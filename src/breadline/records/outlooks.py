"""Outlooks as they were shown, and the counts that came later."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any, TypeVar
from uuid import UUID

from sqlalchemy import select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.need.foretold import Fed
from breadline.need.foretold_counts import HiveByHive
from breadline.need.yard import Given
from breadline.records import yard_readings, yard_rows
from breadline.records.append_only import Fact
from breadline.records.colony_average import one_by_one
from breadline.records.hive_counts import HivesOf
from breadline.records.storable import storable
from breadline.records.tables import OutlookRow, Reading, Visit, YardFact, YardRow

ByDay = dict[date, list[tuple[Visit, list[Reading]]]]  # hives gone through one by one, by visit
COUNTED = ("frames_of_bees", "frames_of_brood", "bees_kg")


@dataclass(frozen=True)
class Shown:
    """An outlook on its way into the book; fields, units and shapes as in ``OutlookRow``."""

    shown_on: date
    counted_on: date
    count: dict[str, Any]
    given: tuple[Given, ...]
    bees_a_frame: float  # [bees]
    seed: int
    members: int
    program: str
    engine: str
    draws: str
    first: date
    bands: dict[str, list[list[int]]]

    def columns(self) -> dict[str, Any]:
        """The columns of its row."""
        own = {name: getattr(self, name) for name in self.__dataclass_fields__}
        last = self.first + timedelta(days=len(self.bands["adults"]) - 1)
        return own | {"last": last, "given": [[one.on.isoformat(), one.grams] for one in self.given]}

    @property
    def sha256(self) -> str:
        """Digest of all of it: another count, seed, version, weather or figure gives another one."""
        text = json.dumps(self.columns(), sort_keys=True, separators=(",", ":"), default=str)
        return hashlib.sha256(text.encode()).hexdigest()


@dataclass(frozen=True)
class CountedLater:
    """What was counted on one visit, of the yard's average colony.

    ``written`` puts it in order with the outlooks: the key of the entry by which the
    book first knew of it, whatever was corrected since.
    """

    visit: Visit
    rows: dict[str, Reading]  # by kind; only kinds in ``COUNTED``
    written: UUID
    of_colonies: int  # colonies whose bees were counted singly, not gone through as those of a yard
    hives: HiveByHive | None = None  # where it is the average of hives gone through one by one


def is_kept(session: Session, yard_id: UUID, shown: Shown) -> bool:
    """Whether this very outlook was kept before."""
    same = select(OutlookRow.id).where(OutlookRow.yard_id == yard_id, OutlookRow.sha256 == shown.sha256)
    return session.scalar(same) is not None


def keep(session: Session, yard_id: UUID, shown: Shown) -> None:
    """Keep an outlook as it was shown; the same one is kept once.

    Errors
    ------
    RecordError
        If there is no such yard, or a value cannot be kept.
    """
    storable(shown, "outlook")
    if session.get(YardRow, yard_id) is None:
        raise RecordError(
            "outlook", say("there is no yard {yard_id}", yard_id=yard_id), say("a yard of this book")
        )
    if not is_kept(session, yard_id, shown):
        session.add(OutlookRow(yard_id=yard_id, sha256=shown.sha256, **shown.columns()))
        session.flush()


def of_yard(session: Session, yard_id: UUID) -> list[OutlookRow]:
    """The outlooks shown of a yard, in the order in which they were written down."""
    return list(
        session.scalars(select(OutlookRow).where(OutlookRow.yard_id == yard_id).order_by(OutlookRow.id))
    )


def yards_shown(session: Session) -> list[YardFact]:
    """What lasts of every yard of which an outlook is kept, as last known, also of those off the list."""
    keys = session.scalars(select(OutlookRow.yard_id).distinct().order_by(OutlookRow.yard_id))
    facts = {row.yard_id: row for row in session.scalars(select(YardFact).order_by(YardFact.id))}
    return [facts[key] for key in keys]


def counts(session: Session, yard_id: UUID, today: date) -> list[CountedLater]:
    """Every look up to a day at which bees or brood were counted, oldest first, as it holds now.

    Hives gone through one by one, by phones or in sheets, are one look for each day, and tell what was not
    told of the yard's average on that day.
    """
    visits = list(session.scalars(select(Visit).where(Visit.yard_id == yard_id)))
    wanted = select(Reading).join(Visit, Visit.id == Reading.visit_id).where(Visit.yard_id == yard_id)
    readings = list(session.scalars(wanted.where(Reading.kind.in_(COUNTED)).order_by(Reading.id)))
    first = _first_written(visits) | _first_written(readings)
    by_visit: dict[UUID, list[Reading]] = {}
    for row in _holding(readings):
        by_visit.setdefault(row.visit_id, []).append(row)
    average: list[CountedLater] = []
    by_day: ByDay = {}
    for visit in sorted(_holding(visits), key=lambda v: (v.on, v.id)):
        here = by_visit.get(visit.id, []) if visit.on <= today else []
        if hives := one_by_one(visit, here):
            by_day.setdefault(visit.on, []).append((visit, hives))
        if rest := here if not hives else [row for row in here if row.colony_id is None]:
            average.append(_told_as_average(visit, rest, first))
    of_hives = _told_by_hives(HivesOf(session, yard_id), by_day, average, first)
    return sorted([*average, *of_hives], key=lambda one: (one.visit.on, one.written))


def _told_as_average(visit: Visit, rows: Sequence[Reading], first: Mapping[UUID, UUID]) -> CountedLater:
    singly = {row.colony_id for row in rows if row.colony_id is not None and row.kind == "frames_of_bees"}
    written = min(first[key] for key in (visit.id, *(row.id for row in rows)))
    average = {row.kind: row for row in rows if row.colony_id is None}
    return CountedLater(visit, average, written, len(singly))


def _told_by_hives(
    hives: HivesOf, by_day: ByDay, average: Sequence[CountedLater], first: Mapping[UUID, UUID]
) -> Iterator[CountedLater]:
    """The hives of each day as one look; of what was told of the yard's average that day they say nothing."""
    for on, looks in by_day.items():
        told = {kind for one in average if one.visit.on == on for kind in one.rows}
        rows = [row for _, here in looks for row in here if row.kind not in told]
        if rows:
            keys = [*(visit.id for visit, _ in looks), *(row.id for row in rows)]
            kinds, of = hives.averaged(looks[0][0], rows)
            yield CountedLater(looks[0][0], kinds, min(first[key] for key in keys), 0, of)


def fed(session: Session, yard_id: UUID, fed_alone: bool = False) -> Fed:
    """Feed that was put on, as it holds now, and the days on which feed without a record was told.

    What phones and sheets told hive by hive is in it, as in the yard's own feed: the mean of its day, with
    ``fed_alone`` of the hives that got any.
    """
    wanted = select(Reading, Visit.on).join(Visit, Visit.id == Reading.visit_id)
    rows = session.execute(wanted.where(Visit.yard_id == yard_id, Reading.kind == "fed_without_record")).all()
    days = {row.id: on for row, on in rows}
    unrecorded = [days[row.id] for row in _holding([row for row, _ in rows]) if row.value]
    given = yard_rows.given_from(yard_readings.fed(session, yard_id, fed_alone=fed_alone))
    return Fed(given, tuple(unrecorded))


F = TypeVar("F", bound=Fact)


def _holding(rows: Iterable[F]) -> list[F]:
    rows = list(rows)
    replaced = {row.replaces for row in rows}
    return [row for row in rows if row.id not in replaced and not row.withdrawn]


def _first_written(rows: Iterable[Fact]) -> dict[UUID, UUID]:
    """For each entry the key of the oldest one of its line."""
    before = {row.id: row.replaces for row in rows}
    first: dict[UUID, UUID] = {}
    for key in before:
        oldest = key
        while (older := before.get(oldest)) is not None:
            oldest = older
        first[key] = oldest
    return first
