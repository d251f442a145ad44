"""Colonies by tag and place, in the order in which somebody walks past them, and what became of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any, Literal, get_args
from uuid import UUID

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.language import say
from breadline.records import readings
from breadline.records.append_only import current, put_in_place, same_again
from breadline.records.field_tables import ColonyFact
from breadline.records.storable import storable
from breadline.records.tables import Colony

Standing = Literal["stands", "dead", "merged", "sold", "moved"]
UNLISTED = "unlisted"  # of a hive that there never was: a tag that was misread, and taken back
FOUND_DEAD = "found dead on a visit"
LAST = 10**6  # where no walking order was said, after all that have one


@dataclass(frozen=True)
class InRow:
    """A colony as it stands in the row.

    Parameters
    ----------
    walk
        In walking order of its yard; ``None`` where nobody said.
    into
        Tag of the colony it was merged into.
    told_at
        When its end was written down, by our clock.
    """

    id: UUID
    tag: str
    place: str
    walk: int | None
    standing: Standing
    since: date | None
    into: str | None
    told_at: datetime | None = None

    def gone_by(self, on: date, at: datetime) -> bool:
        """Whether it had been merged, sold or moved earlier on the day on which it was seen."""
        if self.standing in ("stands", "dead") or self.since is None or self.told_at is None:
            return False
        return on == self.since and at > self.told_at

    def stood(self, on: date) -> bool:
        """Whether it stood in the yard on a day; on the day of its end it still did."""
        return self.standing == "stands" or self.since is None or self.since >= on


def place_colony(session: Session, yard_id: UUID, tag: str, place: str = "", walk: int | None = None) -> UUID:
    """Write down a colony by its tag; its key. One that is known by that tag is put in its new place.

    Errors
    ------
    RecordError
        If there is no such yard, the tag is empty, or a value cannot be kept.
    """
    return _placed(session, yard_id, _standing_here(session, yard_id), (tag, place, walk))


def place_row(session: Session, yard_id: UUID, rows: Sequence[tuple[str, str]]) -> None:
    """Write down the colonies of a yard in walking order, each by tag and place; see ``place_colony``."""
    known = _standing_here(session, yard_id)
    for number, (tag, place) in enumerate(rows, start=1):
        _placed(session, yard_id, known, (tag, place, number))


def _standing_here(session: Session, yard_id: UUID) -> dict[str, UUID]:
    return {one.tag.casefold(): one.id for one in in_rows(session, yard_id) if one.standing == "stands"}


def _placed(
    session: Session, yard_id: UUID, known: dict[str, UUID], told: tuple[str, str, int | None]
) -> UUID:
    tag, place, walk = told[0].strip(), told[1].strip(), told[2]
    for value, name in ((tag, "tag"), (place, "place"), (walk or 0, "walking order")):
        storable(value, f"colony, {name}")
    if not tag:
        raise RecordError(
            "colony", say("it has no tag"), say("what its tag or its lid says"), say("Write one on the lid")
        )
    key = known.get(tag.casefold())
    old = None if key is None else _fact(session, key)
    if key is None:
        key = known[tag.casefold()] = readings.add_colony(session, yard_id, tag).id
    if old is None:
        session.add(ColonyFact(colony_id=key, tag=tag, place=place, walk=walk, standing="stands"))
        session.flush()
    elif (place, walk) != (old.place, old.walk) and (place or walk is not None):
        put_in_place(session, old, same_again(old, place=place or old.place, walk=walk or old.walk))
    return key


def ended(
    session: Session, colony_id: UUID, standing: Standing, on: date, into_id: UUID | None = None,
    because: str = "",
) -> None:  # fmt: skip
    """Write down what became of a colony, from when, and what it was merged into.

    Errors
    ------
    RecordError
        If there is no such colony, the word is unknown, or it was merged into nothing or itself.
    """
    colony = session.get(Colony, colony_id)
    if colony is None:
        raise RecordError(
            "colony", say("there is no colony {colony_id}", colony_id=colony_id), say("a colony of this book")
        )
    if standing not in get_args(Standing):
        raise RecordError(
            colony.name,
            say("“{word}” is not known", word=standing),
            say("one of {names}", names=", ".join(get_args(Standing))),
        )
    if (standing == "merged") != (into_id is not None) or into_id == colony_id:
        raise RecordError(
            colony.name, say("merged"), say("another colony of the yard"), say("Say into which one")
        )
    old = _fact(session, colony_id)
    told = {"standing": standing, "since": on, "into_id": into_id, "because": because}
    if old is None:
        session.add(ColonyFact(colony_id=colony_id, tag=colony.name, place="", walk=None, **told))
        session.flush()
    else:
        put_in_place(session, old, same_again(old, **told))


def stands_so(session: Session, colony_id: UUID, standing: str, since: date, into_id: UUID | None) -> bool:
    """Whether just that is written down of a colony already."""
    old = _fact(session, colony_id)
    return old is not None and (old.standing, old.since, old.into_id) == (standing, since, into_id)


def in_rows(session: Session, yard_id: UUID) -> list[InRow]:
    """The colonies of a yard in walking order; those without one last, as they were named."""
    return rows_by_yard(session, [yard_id])[yard_id]


def rows_by_yard(session: Session, yard_ids: Sequence[UUID]) -> dict[UUID, list[InRow]]:
    """The colonies of some yards in walking order, read at once: of forty yards it takes what two did."""
    asked = select(Colony.id, Colony.yard_id, Colony.name).where(Colony.yard_id.in_(yard_ids))
    named = session.execute(asked.order_by(Colony.id)).all()
    wanted = current(ColonyFact).join(Colony, Colony.id == ColonyFact.colony_id)
    plain = wanted.where(Colony.yard_id.in_(yard_ids)).with_only_columns(
        ColonyFact.colony_id, ColonyFact.tag, ColonyFact.place, ColonyFact.walk, ColonyFact.standing,
        ColonyFact.since, ColonyFact.into_id, ColonyFact.made_at,
    )  # fmt: skip
    facts = {fact.colony_id: fact for fact in session.execute(plain)}
    tags = {key: facts[key].tag if key in facts else name for key, _, name in named}
    found: dict[UUID, list[InRow]] = {yard: [] for yard in yard_ids}
    for key, yard, name in named:
        fact = facts.get(key)
        if fact is None:
            found[yard].append(InRow(key, name, "", None, "stands", None, None))
        elif fact.standing != UNLISTED:
            into = tags.get(fact.into_id) if fact.into_id else None
            stands = _standing(fact.standing)
            found[yard].append(
                InRow(key, fact.tag, fact.place, fact.walk, stands, fact.since, into, fact.made_at)
            )
    for rows in found.values():
        rows.sort(key=lambda one: LAST if one.walk is None else one.walk)
    return found


def standing_there(session: Session, yard_ids: Sequence[UUID]) -> dict[UUID, int]:
    """How many colonies of some yards are listed as standing there, by yard."""
    asked = select(Colony.yard_id, func.count()).where(Colony.yard_id.in_(yard_ids)).group_by(Colony.yard_id)
    gone = current(ColonyFact).order_by(None).join(Colony, Colony.id == ColonyFact.colony_id)
    gone = gone.where(Colony.yard_id.in_(yard_ids), ColonyFact.standing != "stands")
    counted = gone.with_only_columns(Colony.yard_id, func.count()).group_by(Colony.yard_id)
    left, named = _numbers(session, counted), _numbers(session, asked)
    return {yard: named.get(yard, 0) - left.get(yard, 0) for yard in yard_ids}


def _numbers(session: Session, wanted: Select[Any, Any]) -> dict[UUID, int]:
    return {row[0]: row[1] for row in session.execute(wanted)}


def row_of(session: Session, colony_id: UUID) -> InRow:
    """A colony as it stands in the row.

    Errors
    ------
    RecordError
        If there is no such colony, or it is listed no more.
    """
    colony = session.get(Colony, colony_id)
    if colony is None:
        raise RecordError(
            "colony", say("there is no colony {colony_id}", colony_id=colony_id), say("a colony of this book")
        )
    found = next((one for one in in_rows(session, colony.yard_id) if one.id == colony_id), None)
    if found is None:
        raise RecordError(colony.name, say("it was taken off the list again"), say("a hive of the list"))
    return found


def _standing(word: str) -> Standing:
    return next(one for one in get_args(Standing) if one == word)


def _fact(session: Session, colony_id: UUID) -> ColonyFact | None:
    return session.scalar(current(ColonyFact).where(ColonyFact.colony_id == colony_id))
