"""Hives that stand in a yard and had no bees when they were looked at last."""

from __future__ import annotations

from datetime import date
from uuid import UUID

from sqlalchemy.orm import Session

from breadline.errors import YardError
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.records import readings
from breadline.records.colonies import in_rows

Empty = tuple[str, date]  # a hive's tag and the day it was looked at


def hives_without_bees(session: Session, yard_id: UUID, today: date) -> tuple[Empty, ...]:
    """Hives of a yard whose newest count up to a day is 0 frames of bees, and of which nobody said more.

    A hive that was written down as dead, merged or gone stands there no more and is left out.
    """
    found = readings.newest_of_colonies(session, [yard_id], "frames_of_bees", today)
    if all(frames for frames, _ in found.values()):
        return ()
    rows = (one for one in in_rows(session, yard_id) if one.standing == "stands" and one.id in found)
    return tuple((one.tag, found[one.id][1]) for one in rows if not found[one.id][0])


def refuse_no_bees(empty: tuple[Empty, ...], name: str, colonies: int) -> None:
    """Refuse a yard in which no hive had bees: nothing of an older count holds for it.

    Errors
    ------
    YardError
        If it has no more ``colonies`` than hives that are empty.
    """
    if empty and len(empty) >= colonies:
        raise YardError(
            name,
            say("no hive had bees when it was looked at last, the newest on {day}",
                day=day_and_year(max(on for _, on in empty))),
            say("a hive with bees"),
            say("Write down what became of them, and count them off the yard's colonies"),
        )  # fmt: skip
