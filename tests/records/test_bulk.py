"""Many rows in one statement are the same rows, and the guards see each. Invented."""

from __future__ import annotations

import pytest
from sqlalchemy import Engine, Table, select
from sqlalchemy.exc import DBAPIError

from breadline.errors import RecordError
from breadline.need.yard import Yard
from breadline.records import yards
from breadline.records.bulk import MANY, VARIABLES, add_rows
from breadline.records.engine import looking, writing
from breadline.records.ids import new_ids
from breadline.records.tables import Colony
from breadline.records.times import now

WHOLE = (VARIABLES - 1) // 3  # rows of three columns in one statement
COLUMNS = ("id", "yard_id", "name")


def table() -> Table:
    assert isinstance(Colony.__table__, Table)
    return Colony.__table__


@pytest.mark.parametrize("count", [1, MANY - 1, MANY, 2 * WHOLE, 2 * WHOLE + 1])
def test_every_row_is_there_once_whatever_their_number(book: Engine, yard: Yard, count: int) -> None:
    moment = now()
    with writing(book) as session:
        key = yards.add_yard(session, yard)
        told = [(one, key, f"hive “{n}” ?1 :x %s") for n, one in enumerate(new_ids(count))]
        add_rows(session, table(), COLUMNS, told, made_at=moment)
    with looking(book) as session:
        rows = list(session.scalars(select(Colony).where(Colony.yard_id == key).order_by(Colony.id)))
    assert [(row.id, row.yard_id, row.name) for row in rows] == told
    assert {row.made_at for row in rows} == {moment}


def test_a_row_in_the_place_of_another_is_refused_with_all_of_them(book: Engine, yard: Yard) -> None:
    with writing(book) as session:
        key = yards.add_yard(session, yard)
    ids = new_ids(2 * WHOLE)
    told = [(one, key, "hive") for one in (*ids, ids[3])]
    with pytest.raises((RecordError, DBAPIError)), writing(book) as session:
        add_rows(session, table(), COLUMNS, told, made_at=now())
    with looking(book) as session:
        assert session.scalar(select(Colony.id).where(Colony.yard_id == key).limit(1)) is None
