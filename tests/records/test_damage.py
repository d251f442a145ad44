"""Damage of every kind is found and explained, and a sound book has none. All invented."""

from __future__ import annotations

import json
import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from breadline.errors import RecordError
from breadline.jobs.field_record import batch_of
from breadline.jobs.verified import verified, verified_document
from breadline.language import speaking
from breadline.records import colonies, field, outlooks, readings, recipes, trials, weather_kept, yards
from breadline.records.engine import open_book, writing
from breadline.records.field_sent import Sent
from tests.records.conftest import MILL_LANE, SHOWN, STARTED

NOW = datetime(2026, 3, 12, 12, tzinfo=UTC)
ENTERED = {"shape": "breadline.field/1", "phone": "Crew 1", "now": NOW.isoformat()}
RECORD = {
    "id": "019cd7c9-4d00-7abc-8def-000000000001", "work": "look", "tag": "A1", "by": "Ana",
    "at": "2026-03-12T10:00:00-05:00", "spoken": "twelve, half left, bueno según Ana",
    "seen": {"frames_of_bees": {"value": 12, "unit": "frames", "definition": "full"},
             "patty_left": {"word": "most"}, "bread": {"value": 1.5, "unit": "frames"}},
}  # fmt: skip
GUARDS = ("update", "delete", "replace")


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with something that carries a digest, and a reading that was corrected."""
    path = tmp_path_factory.mktemp("made") / "book.db"
    engine = open_book(path)
    with writing(engine) as session:
        key = yards.add_yard(session, MILL_LANE)
        weather_kept.keep(session, weather_kept.Came("w.csv", b"day,max\n"), key)
        outlooks.keep(session, key, SHOWN)
        recipes.keep_recipe(session, "patty", 'name = "patty"')
        visit = readings.add_visit(session, key, readings.Look(date(2026, 3, 11)))
        first = readings.add(session, visit.id, readings.Seen("frames_of_brood", 4.0))
        readings.correct(session, first.id, readings.Seen("frames_of_brood", 5.0), "misread")
        colonies.place_colony(session, key, "A1", "pallet 1", 1)
        (sent,) = batch_of(
            json.dumps(ENTERED | {"records": [RECORD | {"yard": str(key)}]}).encode(), NOW
        ).records
        assert isinstance(sent, Sent)
        assert field.take_in(session, sent, NOW).answer == "stored"
    engine.dispose()
    return path


@pytest.fixture
def kept(made: Path, tmp_path: Path) -> Path:
    """A copy of it for one test."""
    return Path(shutil.copy(made, tmp_path))


def spoilt(path: Path, table: str, *statements: str) -> None:
    """Past the guards, as somebody would who drops them and puts them back."""
    with closing(sqlite3.connect(path)) as raw:
        guards = raw.execute(
            "SELECT name, sql FROM sqlite_master WHERE type = 'trigger' AND tbl_name = ?", (table,)
        ).fetchall()
        for name, _ in guards:
            raw.execute(f"DROP TRIGGER {name}")
        for statement in statements:
            assert raw.execute(statement).rowcount
        for _, sql in guards:
            raw.execute(sql)
        raw.commit()


def kinds(path: Path) -> set[str]:
    found = verified(path)
    assert all(one.what and one.do for one in found.findings)
    assert verified_document(found)["whole"] is not bool(found.findings)
    return {one.kind for one in found.findings}


def test_a_sound_book_has_no_damage_and_is_not_changed(kept: Path) -> None:
    before = kept.read_bytes()
    assert kinds(kept) == set()
    assert kept.read_bytes() == before
    assert "is whole" in verified(kept).sentence


def test_a_moment_a_hair_before_a_full_second_is_one(kept: Path) -> None:
    spoilt(kept, "yard", "UPDATE yard SET made_at = '2026-12-31 23:59:59.999999'")
    assert kinds(kept) == set()


SPOILT = {
    "a key that points at nothing": ("reading", "keys", f"UPDATE reading SET visit_id = '{'0' * 32}'"),
    "text where a number goes": ("reading", "values", "UPDATE reading SET value = 'six' WHERE value = 6.0"),
    "a day that is none": ("visit", "values", "UPDATE visit SET \"on\" = '2026-02-31'"),
    "a moment that is none": ("yard", "values", "UPDATE yard SET made_at = 'yesterday'"),
    "a list that is none": ("yard_fact", "values", "UPDATE yard_fact SET notes = '[\"half'"),
    "a key that is none": (
        "figure_edit", "values",
        "INSERT INTO figure_edit VALUES ('x', 1, 2, 3, '2026-03-10', 0, '', NULL, 'short', "
        "'2026-03-10 00:00:00.000000')",
    ),
    "a ring": (
        "reading", "history",
        "UPDATE reading SET replaces = (SELECT id FROM reading WHERE value = 5.0) WHERE value = 4.0",
    ),
    "another thing's entry": (
        "reading", "history",
        "UPDATE reading SET kind = 'bread' WHERE replaces IS NOT NULL",
    ),
    "bytes of a weather file": ("weather", "digest", "UPDATE weather SET content = x'00'"),
    "text of a recipe": ("recipe", "digest", "UPDATE recipe SET text = 'name = \"other\"'"),
    "an outlook": ("outlook", "digest", "UPDATE outlook SET seed = 2"),
    "what a phone sent": (
        "field_entry", "digest",
        "UPDATE field_entry SET told = replace(told, '\"value\": 12', '\"value\": 13')",
    ),
    "the hive of an entry": ("field_entry", "digest", "UPDATE field_entry SET tag = 'A2'"),
    "who entered it": ("field_entry", "digest", "UPDATE field_entry SET \"by\" = 'Bea'"),
    "a reading of an entry": ("reading", "digest", "UPDATE reading SET value = 13 WHERE value = 12"),
    "a word of an entry": ("reading", "digest", "UPDATE reading SET word = 'none' WHERE word = 'most'"),
}  # fmt: skip


@pytest.mark.parametrize("what", SPOILT, ids=str)
def test_damage_to_an_entry_is_found(kept: Path, what: str) -> None:
    table, kind, statement = SPOILT[what]
    spoilt(kept, table, statement)
    assert kind in kinds(kept)


@pytest.mark.parametrize("guard", GUARDS)
def test_a_guard_that_is_gone_is_found(kept: Path, guard: str) -> None:
    with closing(sqlite3.connect(kept)) as raw:
        raw.execute(f"DROP TRIGGER reading_no_{guard}")
    assert kinds(kept) == {"guards"}


def test_a_forked_history_is_found_where_the_constraint_was_lost(kept: Path) -> None:
    with closing(sqlite3.connect(kept)) as raw:
        for guard in GUARDS:
            raw.execute(f"DROP TRIGGER reading_no_{guard}")
        raw.execute("CREATE TABLE spare AS SELECT * FROM reading")
        raw.execute("DROP TABLE reading")
        raw.execute("ALTER TABLE spare RENAME TO reading")
        raw.execute("UPDATE reading SET replaces = (SELECT replaces FROM reading WHERE replaces IS NOT NULL)")
        raw.commit()
    assert {"guards", "history"} <= kinds(kept)


def test_broken_pages_and_a_file_cut_short_are_found(kept: Path) -> None:
    content = bytearray(kept.read_bytes())
    for page in range(5, len(content) // 4096, 4):
        content[page * 4096 : page * 4096 + 200] = b"\x5a" * 200
    kept.write_bytes(content)
    assert kinds(kept) == {"file"}
    kept.write_bytes(content[: len(content) // 2])
    assert "half-written" in verified(kept).findings[0].what


def test_damage_is_found_and_told_in_whichever_language_it_is_asked_for(kept: Path) -> None:
    size = kept.stat().st_size
    with speaking("es"):
        assert verified(kept).sentence.startswith(f"{kept.name} está entero: ")
        with kept.open("r+b") as file:
            file.truncate(size - 4096)
        (short,) = verified(kept).findings
        assert "a medias" in short.what
        assert short.do.startswith("Deje este archivo como está")
        with kept.open("r+b") as file:
            file.seek(100)
            file.write(b"\xff" * 3996)
            file.truncate(size)
        broken = verified(kept)
        assert {one.kind for one in broken.findings} == {"file"}
        assert "está dañado" in broken.sentence


def test_a_seal_that_does_not_fit_its_trial_is_found(kept: Path) -> None:
    engine = open_book(kept)
    with writing(engine) as session:
        row = trials.keep_draw(session, "Mill Lane", {"draws": 1}, STARTED)
        trials.keep_lock(session, row, {"draws": 1}, "0" * 64)
    engine.dispose()
    assert kinds(kept) == {"seal"}


def test_what_is_no_book_or_newer_is_refused_not_called_damaged(kept: Path) -> None:
    letter = kept.with_name("letter.db")
    letter.write_text("Dear inspector", "utf-8")
    with pytest.raises(RecordError, match="not a book"):
        verified(letter)
    other = kept.with_name("other.db")
    with closing(sqlite3.connect(other)) as raw:
        raw.execute("CREATE TABLE customer (name)")
    with pytest.raises(RecordError, match="a database, but not a book"):
        verified(other)
    spoilt(kept, "alembic_version", "UPDATE alembic_version SET version_num = '9999'")
    with pytest.raises(RecordError, match="newer version"):
        verified(kept)


def test_a_book_that_was_copied_without_its_log_says_where_its_entries_stand(tmp_path: Path) -> None:
    alone = tmp_path / "alone.db"
    with closing(sqlite3.connect(alone)) as raw:
        raw.execute("PRAGMA journal_mode=WAL").fetchall()
    (found,) = verified(alone).findings
    assert found.kind == "file"
    assert "alone.db-wal" in found.what
