"""What hives gone through one by one tell of their yard's average, for the record of foretelling."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from functools import cached_property
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.need.foretold import What
from breadline.need.foretold_counts import HiveByHive
from breadline.need.yard import Given
from breadline.records import yard_readings, yard_rows
from breadline.records.colonies import InRow, in_rows
from breadline.records.colony_average import as_seen, averaged
from breadline.records.field_trials import Running
from breadline.records.tables import Reading, Visit

TOLD: dict[str, What] = {"frames_of_bees": "bees", "frames_of_brood": "brood", "bees_kg": "bees"}


class HivesOf:
    """The hives of a yard and what they were fed, asked of the book where a count needs it."""

    def __init__(self, session: Session, yard_id: UUID) -> None:
        self.session, self.yard_id = session, yard_id
        self._fed: dict[frozenset[UUID], tuple[Given, ...]] = {}  # most days are of the same hives

    def averaged(self, visit: Visit, rows: Sequence[Reading]) -> tuple[dict[str, Reading], HiveByHive]:
        """A day's readings of hives as those of the average one with bees, and which hives it is of."""
        seen = as_seen(self.session, rows)
        last = {(row.colony_id, row.kind): row for row in seen}
        empty = {hive for (hive, kind), row in last.items() if kind == "frames_of_bees" and row.value == 0.0}
        living = [row for (hive, _), row in last.items() if hive not in empty]
        kinds = averaged(visit, seen)
        hives = {row.colony_id for row in living if row.colony_id is not None}
        told = {what: {row.colony_id for row in living if TOLD[row.kind] == what} for what in TOLD.values()}
        mixed = {TOLD[row.kind] for row in living if row.kind not in kinds}
        return kinds, HiveByHive(
            counted={what: len(of) for what, of in told.items()},
            mixed=frozenset(mixed),
            empty=len(empty),
            gone=sum(not one.stood(visit.on) for one in self._row),
            given=self._given(frozenset(hives)),
            unshared=self._unshared,
            unseen={what: len(self._there_after(visit.on) - of - empty) for what, of in told.items()},
        )

    def _there_after(self, on: date) -> set[UUID | None]:
        """The listed hives that had not ended by the evening of a day."""
        return {
            one.id for one in self._row if one.standing == "stands" or one.since is None or one.since > on
        }

    @cached_property
    def _row(self) -> list[InRow]:
        return in_rows(self.session, self.yard_id)

    def _given(self, hives: frozenset[UUID]) -> tuple[Given, ...]:
        """What those hives were fed themselves, on average."""
        if hives not in self._fed:
            self._fed[hives] = yard_rows.given_from(yard_readings.fed_of(self._told, hives=hives))
        return self._fed[hives]

    @cached_property
    def _told(self) -> yard_readings.ByHive:
        return yard_readings.hive_by_hive(self.session, self.yard_id)

    @cached_property
    def _unshared(self) -> tuple[date, ...]:
        """Days on which feed was told of the yard alone while hives of two groups of a trial stood in it."""
        told = yard_rows.given_from(yard_readings.told_of_all(self._told))
        running = Running(self.session)
        return tuple(
            one.on for one in told if one.grams > 0 and len(running.groups(self.yard_id, one.on)) > 1
        )
