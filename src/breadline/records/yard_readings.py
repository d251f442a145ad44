"""The readings of a yard, visit by visit, and its feed: hives one by one as their average."""

from __future__ import annotations

from collections.abc import Container, Iterable, Mapping, Sequence
from datetime import date
from typing import NamedTuple, cast
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.plan.round_days import nearest_round
from breadline.records import plans, readings, yard_rows
from breadline.records.append_only import current
from breadline.records.colony_average import as_seen, averaged, fed_on_average, not_there_yet, one_by_one
from breadline.records.field_before import SAME_FEED
from breadline.records.tables import Reading, Visit

Rows = dict[UUID, list[Reading]]  # of a yard, by visit
A_ROUND_DAYS = 3  # from the first to the last hive of a round, at most [d]
FedDay = tuple[Visit, list[Reading]]  # what hives were told on a day, with its first visit
ByVisit = list[tuple[Visit, dict[str, Reading]]]
_COLUMNS = [
    getattr(Reading, name) for name in ("id", "visit_id", "colony_id", "kind", "value", "out_of", "word",
                                        "unit", "definition", "on", "note")
]  # fmt: skip


def by_visit(session: Session, yard_id: UUID, today: date, found: Rows | None = None) -> ByVisit:
    """The visits up to a day with their newest reading of each kind, oldest visit first.

    What was told of the yard's average goes before the average of hives one by one.
    """
    found = of_yard(session, yard_id) if found is None else found
    visits = readings.visits(session, yard_id, today)
    rows = []
    for visit in visits:
        here = found.get(visit.id, [])
        hives = averaged(visit, as_seen(session, one_by_one(visit, here)))
        rows.append((visit, hives | {row.kind: row for row in here if row.colony_id is None}))
    return rows


def fed(
    session: Session,
    yard_id: UUID,
    found: Rows | None = None,
    fed_alone: bool = False,
    hives: Container[UUID | None] | None = None,
) -> list[Reading]:
    """All feed of the average colony; what was put on hive by hive as the mean of its round.

    Hives that get theirs within days of the others are of one round, on the day on which most did; where a
    plan was chosen, until the day from which its next round is nearer. With ``fed_alone`` it is the mean of
    the hives that got any, with ``hives`` the mean of those among them that were seen in the round; what was
    told of the yard alone is in it as it was told.
    """
    return fed_of(hive_by_hive(session, yard_id, found), fed_alone, hives)


def fed_and_hives(session: Session, yard_id: UUID) -> tuple[list[Reading], dict[date, int]]:
    """``fed``, and how many hives got it in each round, by day; from the same rows, read once."""
    told = hive_by_hive(session, yard_id)
    return fed_of(told), _hives_fed(told)


class ByHive(NamedTuple):
    """What was told of a yard: all its rows; of its hives by day, days of sheets, and by round as seen."""

    found: Rows
    days: dict[date, FedDay]
    sheets: dict[UUID, date]
    rounds: list[FedDay]


def hive_by_hive(session: Session, yard_id: UUID, found: Rows | None = None) -> ByHive:
    """What ``fed`` goes by, to be asked of several times."""
    found = of_yard(session, yard_id) if found is None else found
    days, sheets = _days(session, yard_id, found)
    rounds = _rounds(days, plans.days_planned(session, yard_id))
    return ByHive(found, days, sheets, [(visit, list(as_seen(session, rows))) for visit, rows in rounds])


def fed_of(
    told: ByHive, fed_alone: bool = False, hives: Container[UUID | None] | None = None
) -> list[Reading]:
    """``fed``, of what was read already."""
    rounds = told.rounds
    if hives is not None:
        rounds = [(visit, [row for row in rows if row.colony_id in hives]) for visit, rows in rounds]
    means = [fed_on_average(visit, _of_fed(rows) if fed_alone else rows) for visit, rows in rounds]
    return told_of_all(told) + [one for one in means if one is not None]


def told_of_all(told: ByHive) -> list[Reading]:
    """Feed that was told of the yard's average colony, and of no hive; oldest entry first."""
    fed = [
        row for here in told.found.values() for row in here if row.kind == "feed_given" and not row.colony_id
    ]
    apart = [
        row for row in fed
        if row.visit_id not in told.sheets or not _told_by_hive(row, told.days[told.sheets[row.visit_id]][1])
    ]  # fmt: skip
    return sorted(apart, key=lambda row: row.id)


def _hives_fed(told: ByHive) -> dict[date, int]:
    """How many hives got feed in each round that was told hive by hive, by the day on which most did.

    None of a day on which feed of the whole yard was told as well.
    """
    whole = {row.on for here in told.found.values() for row in here
             if row.kind == "feed_given" and not row.colony_id and row.value}  # fmt: skip
    return {visit.on: len(_fed_hives(rows)) for visit, rows in told.rounds if visit.on not in whole}


def _days(session: Session, yard_id: UUID, found: Rows) -> tuple[dict[date, FedDay], dict[UUID, date]]:
    """What was told hive by hive, by day with its first visit; and the days of visits of a sheet."""
    days: dict[date, FedDay] = {}
    sheets: dict[UUID, date] = {}
    for visit in readings.visits(session, yard_id, date.max):
        rows = days.setdefault(visit.on, (visit, []))[1]
        if visit.note.startswith(yard_rows.FROM_SHEET):
            sheets[visit.id] = visit.on
        rows += not_there_yet(one_by_one(visit, found.get(visit.id, [])), rows)
    return days, sheets


def days_fed(session: Session, yard_id: UUID) -> set[date]:
    """Every day on which any hive of a yard got feed, also those that ``fed`` takes together."""
    found = of_yard(session, yard_id)
    days = {row.on for here in found.values() for row in here if row.kind == "feed_given" and row.value}
    days |= {visit.on for visit in readings.visits(session, yard_id, date.max)
             if _fed_hives(one_by_one(visit, found.get(visit.id, [])))}  # fmt: skip
    return {on for on in days if on is not None}


def _rounds(days: Mapping[date, FedDay], planned: Sequence[date] = ()) -> list[FedDay]:
    """The days on which hives were fed, those together on which no hive was fed twice.

    Each with its visit, that of the day on which most were. Hives that lacked a ``planned`` round belong to
    it while it is the nearest; those of that day that had it are fed again.
    """
    found: list[list[FedDay]] = []
    for _, (visit, rows) in sorted(days.items()):
        rest = _stragglers(found, (visit, rows), planned)
        if not (fed_now := _fed_hives(rest)):
            continue
        begun = found[-1] if found else []
        if begun and (visit.on - begun[0][0].on).days <= A_ROUND_DAYS and not fed_now & _fed_before(begun):
            begun.append((visit, rest))
        else:
            found.append([(visit, rest)])
    return [(_main(each), [row for _, rows in each for row in rows]) for each in found]


def _stragglers(found: Sequence[list[FedDay]], day: FedDay, planned: Sequence[date]) -> list[Reading]:
    """What is left of a day once hives that lacked the planned round nearest to it are put to that round."""
    visit, rows = day
    at = nearest_round(planned, visit.on)
    own = next((one for one in found if at is not None and nearest_round(planned, _main(one).on) == at), None)
    if own is None:
        return rows
    before = _fed_before(own)
    late = [row for row in rows if row.colony_id not in before]
    if not _fed_hives(late):
        return rows
    own.append((visit, late))
    return [row for row in rows if row.colony_id in before]


def _main(each: Sequence[FedDay]) -> Visit:
    """The visit of the day on which most hives of a round were fed."""
    return max(each, key=lambda one: len(_fed_hives(one[1])))[0]


def _fed_before(each: Sequence[FedDay]) -> set[UUID | None]:
    return set().union(*(_fed_hives(rows) for _, rows in each))


def _fed_hives(rows: Iterable[Reading]) -> set[UUID | None]:
    return {row.colony_id for row in rows if row.kind == "put_on" and row.value}


def _of_fed(rows: Sequence[Reading]) -> list[Reading]:
    """What was seen of the hives that got any feed."""
    got = _fed_hives(rows)
    return [row for row in rows if row.colony_id in got]


def _told_by_hive(average: Reading, day: Iterable[Reading]) -> bool:
    """Whether a sheet's average of its yard is what each hive was given on that day: then it is one feed."""
    each = [row.value for row in day if row.kind == "put_on" and row.value]
    return bool(each) and all(abs(value - (average.value or 0.0)) <= SAME_FEED for value in each)


def of_yard(session: Session, yard_id: UUID) -> Rows:
    """The readings of a yard that hold now by visit, oldest first; plain rows, since there may be many."""
    wanted = current(Reading).join(Visit, Visit.id == Reading.visit_id).where(Visit.yard_id == yard_id)
    found: dict[UUID, list[Reading]] = {}
    for row in cast(Iterable[Reading], session.execute(wanted.with_only_columns(*_COLUMNS))):
        found.setdefault(row.visit_id, []).append(row)
    return found
