"""A book copied out and brought back: equal record by record, or refused with the reason. All invented."""

from __future__ import annotations

import os
import shutil
import sqlite3
import stat
import struct
import subprocess
import sys
import threading
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from breadline.errors import RecordError
from breadline.jobs.safe_copy import backed_up, download_of, free_name, restored
from breadline.jobs.verified import verified
from breadline.need.yard import Yard
from breadline.records import weather_kept, yards
from breadline.records.contents import Contents, contents, reading_file
from breadline.records.engine import looking, open_book, writing
from tests.records.conftest import MILL_LANE

DAY = date(2026, 3, 10)
WEATHER = bytes(range(256)) * 40
NAMED = "Invented Bees of the Mill"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A book with a yard, its readings, and a weather file with bytes of every value."""
    path = tmp_path_factory.mktemp("made") / "book.db"
    engine = open_book(path)
    with writing(engine) as session:
        yards.add_operation(session, NAMED)
        key = yards.add_yard(session, MILL_LANE)
        weather_kept.keep(session, weather_kept.Came("w.csv", WEATHER), key)
    engine.dispose()
    return path


@pytest.fixture
def kept(made: Path, tmp_path: Path) -> Path:
    """A copy of it for one test."""
    return Path(shutil.copy(made, tmp_path))


def rows(path: Path) -> dict[str, list[tuple[object, ...]]]:
    """Every row of every table, by SQLite alone."""
    with closing(sqlite3.connect(path)) as raw:
        names = [n for (n,) in raw.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return {name: sorted(raw.execute(f"SELECT * FROM {name}"), key=repr) for name in names}


def test_a_restored_backup_equals_the_original_record_by_record(kept: Path, yard: Yard) -> None:
    copy, before = kept.with_name("copy.db"), rows(kept)
    done = backed_up(kept, copy, DAY)
    of_the_book_itself = ("alembic_version", "copy_made")
    count = sum(len(each) for name, each in before.items() if name not in of_the_book_itself)
    assert done.contents.records == count
    assert f"{count:,} records" in verified(kept).sentence  # though the book knows of its copy by now
    new = kept.with_name("new.db")
    restored(copy, new)
    there = [rows(new), rows(copy)]
    digests = [each.pop("copy_digest") for each in there]
    assert there == [before, before]
    assert [[row[0] for row in digest] for digest in digests] == [[done.contents.sha256]] * 2
    later = rows(kept)
    assert len(later.pop("copy_made")) == 1  # the book knows of its copy from then on
    assert later == {name: each for name, each in before.items() if name != "copy_made"}
    engine = open_book(new)
    with looking(engine) as session:
        key = yards.yards(session)[0].id
        assert yards.yard_as_known(session, key, yard.today) == yard
    engine.dispose()
    assert sorted(p.name for p in kept.parent.glob("*.unfinished*")) == []


def test_a_value_that_rotted_on_the_stick_is_told_and_not_brought_back(kept: Path) -> None:
    """One bit of a number, a name and a weather file in turn; the database finds nothing wrong with it."""
    copy, new = kept.with_name("copy.db"), kept.with_name("new.db")
    backed_up(kept, copy, DAY)
    assert "holds what it held when the copy was made" in verified(copy).sentence
    sound = copy.read_bytes()
    with closing(sqlite3.connect(copy)) as raw:
        (value,) = raw.execute(
            "SELECT value FROM reading WHERE value > 0 AND value != round(value)"
        ).fetchone()
    # SQLite keeps numbers as big-endian doubles (file format, 2.1)
    for was in (struct.pack(">d", value), NAMED.encode(), WEATHER[:90]):
        at = sound.index(was) + len(was) - 1
        rotten = sound[:at] + bytes([sound[at] ^ 1]) + sound[at + 1 :]
        copy.write_bytes(rotten)
        with closing(sqlite3.connect(copy)) as raw:
            assert raw.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        found = {one.kind: one for one in verified(copy).findings}
        assert "changed since" in found["copy"].what
        assert found["copy"].do
        with pytest.raises(RecordError, match="no longer holds what it held") as refused:
            restored(copy, new)
        assert "breadline export" in refused.value.do
        assert not new.exists()
    copy.write_bytes(sound)
    assert restored(copy, new).carried


def test_a_copy_without_a_digest_comes_back_and_that_is_said(kept: Path) -> None:
    """One that an older version made, and one that was opened as a book and written to."""
    old, used = kept.with_name("old.db"), kept.with_name("used.db")
    backed_up(kept, old, DAY)
    backed_up(kept, used, DAY)
    with closing(sqlite3.connect(old)) as raw:
        raw.execute("DROP TABLE copy_digest")
    engine = open_book(used)
    with writing(engine) as session:
        yards.add_operation(session, "another")
    engine.dispose()
    assert "carries no digest of itself" in verified(old).sentence
    assert verified(used).findings == ()
    for copy in (old, used):
        done = restored(copy, kept.with_name(f"new-{copy.name}"))
        assert not done.carried
        assert verified(done.copy).findings == ()
        assert restored(done.copy, kept.with_name(f"again-{copy.name}")).carried
    with reading_file(kept.with_name("again-used.db")) as raw:
        assert raw.execute("SELECT count(*) FROM operation WHERE name = 'another'").fetchone() == (1,)


def test_a_book_of_a_newer_version_is_refused_by_backup_too(kept: Path) -> None:
    with closing(sqlite3.connect(kept)) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
        raw.commit()
    copy = kept.with_name("c.db")
    with pytest.raises(RecordError, match="newer version of Breadline"):
        backed_up(kept, copy, DAY)
    with pytest.raises(RecordError, match="newer version of Breadline"):
        download_of(kept, copy)
    assert not copy.exists()


def test_nothing_is_written_over(kept: Path) -> None:
    other = kept.with_name("letter.txt")
    other.write_text("Dear inspector", "utf-8")
    for place in (other, kept):
        with pytest.raises(RecordError, match="file of this name already"):
            backed_up(kept, place, DAY)
        with pytest.raises(RecordError, match="file of this name already"):
            restored(kept, place)
    assert other.read_text("utf-8") == "Dear inspector"
    first = free_name(kept, DAY)
    backed_up(kept, None, DAY)
    assert (first.name, free_name(kept, DAY).name) == (
        "book.copy-2026-03-10.db", "book.copy-2026-03-10-2.db"
    )  # fmt: skip


@pytest.mark.parametrize("part", [0, 60, 5000, 0.5, 0.99])
def test_a_half_written_backup_is_refused_with_the_reason(kept: Path, part: float) -> None:
    copy, new = kept.with_name("copy.db"), kept.with_name("new.db")
    backed_up(kept, copy, DAY)
    whole = copy.read_bytes()
    copy.write_bytes(whole[: int(part if part >= 1 or part == 0 else part * len(whole))])
    with pytest.raises(RecordError, match=r"half-written|empty|not a book"):
        restored(copy, new)
    assert not new.exists()


def test_letters_that_are_none_are_found_and_no_piece_of_a_record_is_shown(kept: Path) -> None:
    """Bytes that are no UTF-8 in a name and in a key: the pages are sound, and the text cannot be read."""
    copy, new = kept.with_name("copy.db"), kept.with_name("new.db")
    backed_up(kept, copy, DAY)
    sound = copy.read_bytes()
    with closing(sqlite3.connect(copy)) as raw:
        (key,) = raw.execute("SELECT id FROM reading LIMIT 1").fetchone()
    for was, table in ((NAMED.encode(), "operation"), (key.encode(), "reading")):
        copy.write_bytes(sound.replace(was, b"\xff\xfe" + was[2:]))
        found = [one for one in verified(copy).findings if one.kind == "file"]
        assert found
        assert all(one.what and one.do for one in found)
        if table == "operation":
            assert [(one.where, one.what) for one in found] == [
                ("operation", "1 entry has letters that are none")
            ]
        with pytest.raises(RecordError, match="damaged") as refused:
            restored(copy, new)
        for part in (was[4:].decode(), "decode", "column"):
            assert part not in str(refused.value)
        assert not new.exists()


def test_a_backup_with_a_damaged_page_is_refused(kept: Path) -> None:
    copy, new = kept.with_name("copy.db"), kept.with_name("new.db")
    backed_up(kept, copy, DAY)
    content = bytearray(copy.read_bytes())
    for page in range(4, len(content) // 4096, 3):
        content[page * 4096 : page * 4096 + 40] = b"\xff" * 40
    copy.write_bytes(content)
    with pytest.raises(RecordError, match="damaged"):
        restored(copy, new)
    assert not new.exists()
    assert [p.name for p in kept.parent.glob("*.unfinished*")] == []


def test_a_backup_of_a_newer_version_and_another_programs_file_are_refused(kept: Path) -> None:
    copy, new = kept.with_name("copy.db"), kept.with_name("new.db")
    backed_up(kept, copy, DAY)
    with closing(sqlite3.connect(copy)) as raw:
        raw.execute("UPDATE alembic_version SET version_num = '9999'")
        raw.commit()
    with pytest.raises(RecordError, match="newer version of Breadline"):
        restored(copy, new)
    songs = kept.with_name("songs.db")
    with closing(sqlite3.connect(songs)) as raw:
        raw.execute("CREATE TABLE songs (name TEXT)")
    with pytest.raises(RecordError, match="not a book of Breadline"):
        restored(songs, new)
    with pytest.raises(RecordError, match="no such file"):
        restored(kept.with_name("nowhere.db"), new)
    assert not new.exists()


def test_a_backup_taken_while_others_write_is_one_moment(kept: Path) -> None:
    engine, stop = open_book(kept), threading.Event()

    def write() -> None:
        while not stop.is_set():
            with writing(engine) as session:
                for _ in range(2):  # always two at once
                    yards.add_operation(session, "x" * 900)

    writer = threading.Thread(target=write)
    with reading_file(kept) as raw:
        before = dict(contents(raw).rows)["operation"]
    writer.start()
    try:
        done = [backed_up(kept, kept.with_name(f"copy{n}.db"), DAY) for n in range(4)]
    finally:
        stop.set()
        writer.join()
        engine.dispose()
    counts = [dict(one.contents.rows)["operation"] - before for one in done]
    assert all(count % 2 == 0 for count in counts)
    for one in done:
        with reading_file(one.copy) as raw:
            assert contents(raw) == one.contents


def test_a_copy_is_one_file_that_can_be_read_where_nothing_can_be_written(kept: Path) -> None:
    copy = kept.with_name("copy.db")
    backed_up(kept, copy, DAY)
    assert copy.read_bytes()[18:20] == b"\x01\x01"  # no write-ahead log (SQLite file format, 1.3)
    assert not list(kept.parent.glob("copy.db-*"))


@pytest.mark.skipif(os.name != "posix", reason="rights of a file")
def test_a_copy_that_is_kept_read_only_comes_back_as_a_book_to_write_in(kept: Path) -> None:
    """Only root may write to a file of mode 0444, so that the rights are looked at as well."""
    copy, again = kept.with_name("stick.db"), kept.with_name("again.sqlite")
    backed_up(kept, copy, DAY)
    copy.chmod(0o444)
    restored(copy, again)
    assert stat.S_IMODE(again.stat().st_mode) == 0o644
    again.chmod(0o400)
    assert backed_up(again, kept.with_name("more.db"), DAY).copy.stat().st_mode & 0o777 == 0o600


def test_a_full_disk_is_said_and_leaves_nothing_behind(kept: Path) -> None:
    """The largest file this process may write is smaller than the book, as on a disk that is full."""
    copy = kept.with_name("copy.db")
    full = (
        "import resource, sys; from datetime import date; from pathlib import Path\n"
        "from breadline.errors import RecordError; from breadline.jobs.safe_copy import backed_up\n"
        "resource.setrlimit(resource.RLIMIT_FSIZE, (65536, resource.getrlimit(resource.RLIMIT_FSIZE)[1]))\n"
        "try: backed_up(Path(sys.argv[1]), Path(sys.argv[2]), date(2026, 3, 10))\n"
        "except RecordError as said: print(said)"
    )
    said = subprocess.run(
        [sys.executable, "-c", full, str(kept), str(copy)],
        capture_output=True,
        text=True,
        timeout=60,
        env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
    )
    assert "the disk is full or refuses to be written: the copy was not made" in said.stdout, said.stderr
    assert not copy.exists()
    assert [p.name for p in kept.parent.glob("*.unfinished*")] == []


def test_a_folder_that_cannot_be_written_is_said(kept: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refused(*_: object) -> int:  # the refusal of a read-only disk, which rights do not pass
        raise OSError(30, "Read-only file system")

    monkeypatch.setattr("breadline.records.copies.os.open", refused)
    with pytest.raises(RecordError, match="cannot be written there \\(Read-only file system\\)"):
        backed_up(kept, kept.with_name("copy.db"), DAY)
    monkeypatch.undo()
    with pytest.raises(RecordError, match="folder is not there"):
        backed_up(kept, kept.parent / "nowhere" / "copy.db", DAY)


def test_an_unfinished_copy_of_another_is_left_alone(kept: Path) -> None:
    other = kept.with_name("copy.db.unfinished")
    other.write_text("another's", "utf-8")
    with pytest.raises(RecordError, match="broke off"):
        backed_up(kept, kept.with_name("copy.db"), DAY)
    assert other.read_text("utf-8") == "another's"


@pytest.mark.parametrize("tail", ["-wal", "-journal"])
def test_the_log_of_a_book_that_lay_there_before_is_not_taken_for_the_copys_own(
    kept: Path, tail: str
) -> None:
    copy = kept.with_name("copy.db")
    backed_up(kept, copy, DAY)
    left = kept.with_name(f"again.db{tail}")
    left.write_bytes(b"entries of another book")
    with pytest.raises(RecordError, match="left its log behind"):
        restored(copy, kept.with_name("again.db"))
    assert left.read_bytes() == b"entries of another book"


@pytest.fixture
def stick(kept: Path) -> Path:
    """A book that was copied with its log to where nothing can be written beside it.

    Rights do not hold the tests' user back everywhere; a link to nowhere in the place of the
    shared memory does, and the database says the same of it as of a read-only disk.
    """
    stick = kept.parent / "stick"
    stick.mkdir()
    with closing(sqlite3.connect(kept, isolation_level=None)) as raw:
        raw.execute("PRAGMA wal_autocheckpoint=0")
        raw.execute(
            "INSERT INTO operation VALUES ('of the log', ?, '2026-03-10 00:00:00.000000')", ("f" * 32,)
        )
        for name in (kept.name, f"{kept.name}-wal"):
            shutil.copyfile(kept.with_name(name), stick / name)
    (stick / f"{kept.name}-shm").symlink_to(stick / "nowhere" / "shm")
    return stick / kept.name


def test_a_copy_with_a_log_where_nothing_can_be_written_is_read_with_its_log(stick: Path) -> None:
    before = {one.name: one.read_bytes() for one in stick.parent.iterdir() if one.is_file()}
    looked = verified(stick)
    assert looked.findings == ()
    new = stick.parent.parent / "new.db"
    restored(stick, new)
    assert ("of the log",) in [row[:1] for row in rows(new)["operation"]]
    assert looked.contents is not None
    assert looked.contents.rows == contents_of(new).rows
    assert {one.name: one.read_bytes() for one in stick.parent.iterdir() if one.is_file()} == before


def test_a_copy_with_a_log_that_finds_no_room_is_refused(
    stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("breadline.records.contents.shutil.copyfile", full)
    with pytest.raises(RecordError, match="could not be read elsewhere \\(No space left on device\\)"):
        restored(stick, stick.parent.parent / "new.db")


def contents_of(path: Path) -> Contents:
    """What a file holds, as SQLite alone opens it."""
    with closing(sqlite3.connect(path)) as raw:
        return contents(raw)
