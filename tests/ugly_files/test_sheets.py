"""Each ugly spreadsheet gets its error, its question, what to mend by row, or is read right."""

from __future__ import annotations

import shutil
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy import func, select

from breadline.errors import RecordError
from breadline.jobs.bring_in import brought_in, looked_over
from breadline.jobs.bring_in_told import TO_MEND, mend_sheet
from breadline.jobs.sheet_cells import cells_of
from breadline.language import speaking
from breadline.records import colonies, yards
from breadline.records.engine import looking, open_book, writing
from breadline.records.tables import Operation, Reading, Visit, YardFact, YardRow
from tests.ugly_files.sheets_as_csv import UGLY_CSV
from tests.ugly_files.sheets_as_xlsx import UGLY_WORKBOOKS
from tests.ugly_files.sheets_made import HEAD, HEADS, asked, csv

TODAY = date(2026, 11, 25)
UGLY = UGLY_CSV | UGLY_WORKBOOKS


@pytest.fixture(scope="module")
def book(tmp_path_factory) -> Path:
    """An invented book with one yard and two hives, one of them merged into the other."""
    path = tmp_path_factory.mktemp("ugly") / "book.db"
    engine = open_book(path)
    with writing(engine) as session:
        owner = yards.add_operation(session, "Invented")
        yard = YardRow(operation_id=owner.id)
        session.add(yard)
        session.flush()
        session.add(YardFact(yard_id=yard.id, name="Mill Lane", latitude=45.0, longitude=-93.0, colonies=2,
                             kept_for="trade", wants_feed_because="", notes=[]))  # fmt: skip
        twelve = colonies.place_colony(session, yard.id, "12")
        seven = colonies.place_colony(session, yard.id, "7")
        colonies.ended(session, seven, "merged", date(2026, 2, 1), twelve)
    engine.dispose()
    return path


def count(path: Path) -> int:
    with looking(open_book(path)) as session:
        kinds = (Operation, YardRow, Visit, Reading)
        return sum(session.scalar(select(func.count()).select_from(kind)) or 0 for kind in kinds)


@pytest.mark.parametrize("what", UGLY)
def test_an_ugly_sheet_gets_its_error_or_its_question_and_nothing_is_written(book: Path, what: str) -> None:
    one, before = UGLY[what], count(book)
    if one.refused:
        with pytest.raises(RecordError, match=one.refused):
            looked_over(book, one.name, one.content, one.asked, TODAY)
    else:
        seen = looked_over(book, one.name, one.content, one.asked, TODAY)
        assert tuple(q.key for q in seen.questions) == one.asks
        if not one.asks:
            assert [fault.line for fault in seen.faults] == [line for line, _ in one.mends], seen.faults
            assert all(w in str(f) for f, (_, w) in zip(seen.faults, one.mends, strict=True)), seen.faults
        if one.reads:
            found = seen.fresh[0].values
            assert {key: found.get(key) for key in one.reads} == one.reads
        assert one.rows is None or len(seen.fresh) == one.rows
        assert one.says in " ".join(seen.told.said)
    assert count(book) == before


@pytest.mark.parametrize("what", ["a zip bomb", "decimal commas", "a row of totals", "a tag nobody knows"])
def test_what_is_asked_or_to_be_mended_writes_nothing(book: Path, what: str) -> None:
    one = UGLY.get(what) or UGLY["semicolons and decimal commas"]
    before = count(book)
    with pytest.raises(RecordError):
        brought_in(book, one.name, one.content, one.asked, TODAY)
    assert count(book) == before


def test_what_was_hidden_is_said_once_more_when_it_was_written_down(tmp_path: Path, book: Path) -> None:
    one = UGLY["hidden rows"]
    own = Path(shutil.copy(book, tmp_path))
    done = brought_in(own, one.name, one.content, one.asked, TODAY)
    assert (done.rows, one.says in done.sentence) == (3, True)
    with speaking("es"):
        assert "2 filas de la hoja están ocultas (filas 3, 5) y se toman como las demás." in " ".join(
            looked_over(book, one.name, one.content, one.asked, TODAY).told.said
        )


def test_there_are_at_least_forty_of_them() -> None:
    assert len(UGLY) >= 40


def test_the_sheet_with_what_to_mend_has_the_rows_and_says_what(book: Path) -> None:
    content = csv(HEADS, "Mill Lane,12,2026-03-04,seven", "Mill Lane,13,2026-03-04,8")
    seen = looked_over(book, "x.csv", content, asked(), TODAY)
    mended = mend_sheet(seen)
    rows = [cells for _, cells in cells_of("mend.csv", mended).rows]
    assert rows[0] == [*HEAD, TO_MEND]
    assert rows[1][:4] == ["Mill Lane", "12", "2026-03-04", "seven"]
    assert "no number" in rows[1][4]
    assert rows[2] == ["Mill Lane", "13", "2026-03-04", "8", ""]
    again = looked_over(book, "mend.csv", mended.replace(b"seven", b"7"), asked(), TODAY)
    assert again.ready
    assert again.told.unused == (TO_MEND,)
