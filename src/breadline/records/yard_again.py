"""A yard as its file tells it, written down; what was seen on an earlier day stays of that day."""

from __future__ import annotations

from dataclasses import replace
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import RecordError
from breadline.need.yard import Forage, Health, Yard
from breadline.records.yards import add_yard, say_again, yard_as_known

AGAIN = "the yard file again"


def keep_yard(session: Session, yard: Yard, yard_id: UUID | None) -> UUID:
    """Write a yard down, for the first time where it has no ``yard_id``; its key.

    What was seen of forage on an earlier day is a look of that day, with all that the file tells: the book
    goes by the last look. Where the file tells of later looks or of another health than the book, or the
    book has a later look, that comes first, and what was seen before it is not known any more.

    Errors
    ------
    RecordError
        As for ``add_yard`` and ``say_again``.
    """
    seen, unseen = yard.forage.seen_on, replace(yard, forage=_unseen(yard.forage))
    known = None if yard_id is None else _known(session, yard_id, yard)
    if yard_id is not None and known == yard:
        return yard_id
    if seen is None:
        return _written(session, yard, yard_id)
    looked = max([yard.count.on, *(one.on for one in yard.inspections)])
    if seen < looked or (known is not None and _of_today(known) != _of_today(yard)):
        return _written(session, unseen, yard_id)
    then = replace(yard, today=seen, forage=replace(yard.forage, seen_on=None))
    key = _written(session, then, yard_id)
    told = yard_as_known(session, key, yard.today)
    if told.forage.seen_on != seen or _of_today(told) != _of_today(yard):
        say_again(session, key, unseen, AGAIN)
    return key


def _written(session: Session, yard: Yard, yard_id: UUID | None) -> UUID:
    if yard_id is None:
        return add_yard(session, yard)
    say_again(session, yard_id, yard, AGAIN)
    return yard_id


def _known(session: Session, yard_id: UUID, yard: Yard) -> Yard | None:
    """The yard as the book tells it on the day of the file."""
    try:
        return yard_as_known(session, yard_id, yard.today)
    except RecordError:  # no count yet
        return None


def _of_today(yard: Yard) -> tuple[Health, bool]:
    """What a file tells of its own day beside forage: foulbrood that is told today is of no earlier look."""
    return yard.health, yard.fed_without_record


def _unseen(forage: Forage) -> Forage:
    return replace(forage, coming_in=None, fresh_arcs=None, outside_c=None, seen_on=None)
