"""A log whose end does not hold is told; what a sound program leaves in one is no damage. All invented."""

from __future__ import annotations

import json
import os
import shutil
import sqlite3
import struct
import subprocess
import sys
import threading
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from typer.testing import CliRunner

from breadline.cli.app import app
from breadline.cli.serving import Where, serve
from breadline.errors import RecordError
from breadline.jobs.safe_copy import restored
from breadline.jobs.verified import verified, verified_document
from breadline.records import log_file, yards
from breadline.records.engine import open_book, writing
from breadline.records.log_file import FRAME, HEAD, LogEnd, log_end
from breadline.records.log_index import log_index
from breadline.records.shape import migrate
from tests.records.conftest import MILL_LANE

PUT = "INSERT INTO operation (id, name, made_at) VALUES (?, ?, '2026-03-10 00:00:00.000000')"
TRANSACTIONS, OF_EACH = 6, 4
LONG = "x" * 3000  # so that a transaction is of several pages


@pytest.fixture(autouse=True)
def looks_again_sooner(monkeypatch: pytest.MonkeyPatch) -> None:
    """These logs lie still: between two looks at one, nobody is waited for as long as for who writes."""
    monkeypatch.setattr(log_file, "BETWEEN_S", 0.01)


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    path = tmp_path_factory.mktemp("made") / "book.db"
    engine = open_book(path)
    with writing(engine) as session:
        yards.add_yard(session, MILL_LANE)
    engine.dispose()
    return path


@pytest.fixture
def carried(made: Path, tmp_path: Path) -> Path:
    """A book copied with its log, as from a machine whose power went: six transactions of four rows each."""
    book = Path(shutil.copy(made, tmp_path))

    def write(raw: sqlite3.Connection) -> None:
        for transaction in range(TRANSACTIONS):
            entered(raw, transaction)

    return with_log(book, tmp_path / "carried", write)


def entered(raw: sqlite3.Connection, transaction: int, end: str = "COMMIT") -> None:
    raw.execute("BEGIN")
    for row in range(OF_EACH):
        raw.execute(PUT, (f"{transaction * 100 + row:032x}", LONG))
    raw.execute(end)


def with_log(book: Path, folder: Path, write: Callable[[sqlite3.Connection], None]) -> Path:
    """The book and its log as they lie on the disk after some writing, copied before anybody closes it."""
    folder.mkdir()
    with closing(sqlite3.connect(book, isolation_level=None)) as raw:
        raw.execute("PRAGMA wal_autocheckpoint=0")
        write(raw)
        for name in (book.name, f"{book.name}-wal"):
            shutil.copyfile(book.with_name(name), folder / name)
    return folder / book.name


def log_of(book: Path) -> Path:
    return book.with_name(f"{book.name}-wal")


def frames(log: bytes) -> list[tuple[int, bool]]:
    """Where each frame begins, and whether it ends a transaction: the sizes and places of section 4.1."""
    size = FRAME + struct.unpack(">I", log[8:12])[0]
    places = range(HEAD, len(log), size)
    return [(at, struct.unpack(">I", log[at + 4 : at + 8])[0] != 0) for at in places]


def exported(book: Path, name: str) -> dict[str, Any]:
    """What ``breadline export`` says, and its JSON."""
    said = CliRunner().invoke(app, ["export", str(book), str(book.with_name(name)), "--as", "json"])
    again = book.with_name(f"again-{name}")
    told = CliRunner().invoke(app, ["export", str(book), str(again), "--as", "json", "--json"])
    assert (said.exit_code, told.exit_code) == (0, 0)
    return json.loads(told.stdout) | {"said": " ".join(said.stdout.split())}


def rows(book: Path) -> int:
    """How many rows of the log SQLite itself still finds, on a copy."""
    aside = book.parent / "aside"
    aside.mkdir()
    for one in (book, log_of(book)):
        shutil.copyfile(one, aside / one.name)
    with closing(sqlite3.connect(aside / book.name)) as raw:
        (count,) = raw.execute("SELECT count(*) FROM operation WHERE name = ?", (LONG,)).fetchone()
    shutil.rmtree(aside)
    return int(count)


def test_a_whole_log_is_sound(carried: Path) -> None:
    assert log_end(carried) == LogEnd()
    assert rows(carried) == TRANSACTIONS * OF_EACH
    assert verified(carried).findings == ()


@pytest.mark.parametrize("transaction", range(TRANSACTIONS))
@pytest.mark.parametrize("where", ["page", "checksum"])
def test_one_flipped_bit_in_an_entry_is_found(carried: Path, transaction: int, where: str) -> None:
    log = bytearray(log_of(carried).read_bytes())
    at = [place for place, ends in frames(bytes(log)) if ends][transaction]
    log[at + (FRAME + 100 if where == "page" else 17)] ^= 4
    log_of(carried).write_bytes(log)
    assert rows(carried) == transaction * OF_EACH  # so much is silently gone from there on
    found = verified(carried)
    assert [one.kind for one in found.findings] == ["log"]
    assert "what was written last may be missing" in found.findings[0].what
    assert found.findings[0].do
    assert found.contents is not None, "what is there is still read"
    assert verified_document(found)["whole"] is False
    with pytest.raises(RecordError, match="log of its last entries is damaged"):
        restored(carried, carried.with_name("new.db"))
    kept = log_of(carried).read_bytes()
    with pytest.raises(RecordError, match="log of its last entries is damaged"):
        serve(carried, Where(8417), None, as_json=False)
    with pytest.raises(RecordError, match="log of its last entries is damaged"):
        open_book(carried)
    said = exported(carried, "all.json")
    assert "what was written last may be missing" in said["said"]
    assert (said["log_damaged"], said["log_unfinished"]) == (True, False)
    assert log_of(carried).read_bytes() == kept, "opened to be written it would leave nothing to look at"


def test_a_damaged_head_of_a_log_is_found(carried: Path) -> None:
    log = bytearray(log_of(carried).read_bytes())
    log[20] ^= 1
    log_of(carried).write_bytes(log)
    assert rows(carried) == 0
    assert [one.kind for one in verified(carried).findings] == ["log"]


def test_a_log_that_was_cut_short_is_told(carried: Path) -> None:
    whole = log_of(carried).read_bytes()
    starts = [place for place, _ in frames(whole)]
    last = [place for place, ends in frames(whole) if ends][-1]
    for length in (len(whole) - 1, len(whole) - 4000, last + 5, last + FRAME, last, starts[-2] + 10):
        log_of(carried).write_bytes(whole[:length])
        assert rows(carried) == (TRANSACTIONS - 1) * OF_EACH
        found = verified(carried)
        assert found.findings == ()
        assert "ends in the middle of an entry" in found.sentence
        assert verified_document(found)["log_unfinished"] is True
    done = restored(carried, carried.with_name("new.db"))
    assert done.log_unfinished
    said = exported(carried, "all.json")
    assert "ends in the middle of an entry" in said["said"]
    assert (said["log_damaged"], said["log_unfinished"]) == (False, True)
    backed = CliRunner().invoke(app, ["backup", str(carried), str(carried.with_name("copy.db"))])
    assert "ends in the middle of an entry" in " ".join(backed.stdout.split())


def test_what_holds_of_an_older_book_is_taken_out_beside_its_damaged_log(made: Path, tmp_path: Path) -> None:
    older = Path(shutil.copy(made, tmp_path))
    engine = open_book(older)
    migrate(engine, "0017")
    engine.dispose()

    def write(raw: sqlite3.Connection) -> None:
        for transaction in range(2):
            entered(raw, transaction)

    book = with_log(older, tmp_path / "carried", write)
    log = bytearray(log_of(book).read_bytes())
    log[[place for place, ends in frames(bytes(log)) if ends][1] + FRAME + 100] ^= 4
    log_of(book).write_bytes(log)
    before = book.read_bytes(), log_of(book).read_bytes()
    said = exported(book, "all.json")
    assert said["log_damaged"]
    told = json.loads(book.with_name("all.json").read_text("utf-8"))
    assert sum(row["name"] == LONG for row in told["tables"]["operation"]) == OF_EACH
    with pytest.raises(RecordError, match="log of its last entries is damaged"):
        open_book(book)
    assert (book.read_bytes(), log_of(book).read_bytes()) == before
    assert not list(book.parent.glob("*.before-*"))


def test_what_an_earlier_round_of_the_log_left_behind_is_no_damage(made: Path, tmp_path: Path) -> None:
    """After a checkpoint the log is written from its start again; behind lie frames of another salt."""
    book = Path(shutil.copy(made, tmp_path))

    def write(raw: sqlite3.Connection) -> None:
        for transaction in range(TRANSACTIONS):
            entered(raw, transaction)
        raw.execute("PRAGMA wal_checkpoint(RESTART)").fetchall()
        entered(raw, TRANSACTIONS)

    carried = with_log(book, tmp_path / "carried", write)
    assert len({struct.unpack(">I", log_of(carried).read_bytes()[at + 8 : at + 12])
                for at, _ in frames(log_of(carried).read_bytes())}) == 2  # fmt: skip
    assert rows(carried) == (TRANSACTIONS + 1) * OF_EACH
    found = verified(carried)
    assert (found.findings, found.log_unfinished) == ((), False)


def test_what_a_transaction_that_was_given_up_left_behind_is_no_damage(made: Path, tmp_path: Path) -> None:
    book = Path(shutil.copy(made, tmp_path))

    def write(raw: sqlite3.Connection) -> None:
        raw.execute("PRAGMA cache_size=2")  # so that pages of it are written before its end
        entered(raw, 0)
        for _ in range(3):
            raw.execute("BEGIN")
            for row in range(60):
                raw.execute(PUT, (f"{row + 9000:032x}", LONG))
            raw.execute("ROLLBACK")
        entered(raw, 1)

    carried = with_log(book, tmp_path / "carried", write)
    assert not frames(log_of(carried).read_bytes())[-1][1], "its pages lie there"
    assert rows(carried) == 2 * OF_EACH
    assert verified(carried).findings == ()


@pytest.fixture
def written_over(made: Path, tmp_path: Path) -> Iterator[Path]:
    """A book at work whose log holds what a killed program left: a long entry, all but its head written over.

    A program that was killed after the last frame of its entry and before the index counted it leaves the
    entry behind; who goes on writes over it, and here writes less.
    """
    book = Path(shutil.copy(made, tmp_path))
    both = tmp_path / "long", tmp_path / "short"
    with closing(sqlite3.connect(book, isolation_level=None)) as raw:
        entered(raw, 0)
        for folder in both:
            folder.mkdir()
            for one in (book.name, f"{book.name}-wal", f"{book.name}-shm"):
                shutil.copyfile(book.with_name(one), folder / one)
    with closing(sqlite3.connect(both[0] / book.name, isolation_level=None)) as raw:
        raw.execute("BEGIN")
        raw.executemany(PUT, [(f"{row + 9000:032x}", LONG) for row in range(40)])
        raw.execute("COMMIT")
        killed = log_of(both[0] / book.name).read_bytes()
    at_work = both[1] / book.name
    with closing(sqlite3.connect(at_work, isolation_level=None)) as raw:
        entered(raw, 1)
        log = log_of(at_work).read_bytes()
        assert log[:HEAD] == killed[:HEAD]
        assert len(log) < len(killed)
        with log_of(at_work).open("ab") as file:
            file.write(killed[len(log) :])
        assert frames(log_of(at_work).read_bytes())[-1][1], "an entry that was finished, and never counted"
        yield at_work


def test_what_a_killed_program_left_in_the_log_of_a_book_at_work_is_no_damage(written_over: Path) -> None:
    assert not log_end(written_over).damaged
    assert verified(written_over).findings == ()
    engine = open_book(written_over)
    with writing(engine) as session:
        yards.add_operation(session, "Sedge Hill Bees")
    engine.dispose()
    with closing(sqlite3.connect(written_over)) as raw:
        names = [name for (name,) in raw.execute("SELECT name FROM operation")]
    assert names.count(LONG) == 2 * OF_EACH
    assert "Sedge Hill Bees" in names


def test_damage_before_what_a_killed_program_left_is_found(written_over: Path) -> None:
    log = bytearray(log_of(written_over).read_bytes())
    log[[place for place, ends in frames(bytes(log)) if ends][1] + FRAME + 100] ^= 4
    log_of(written_over).write_bytes(log)
    assert log_end(written_over).damaged


@pytest.mark.parametrize("parts", [("", "-wal"), ("", "-wal", "-shm")])
def test_where_nobody_is_at_work_what_a_killed_program_left_cannot_be_told_from_damage(
    written_over: Path, parts: tuple[str, ...]
) -> None:
    apart = written_over.parent / "apart"
    apart.mkdir()
    for part in parts:
        shutil.copy(f"{written_over}{part}", apart)
    assert log_end(apart / written_over.name).damaged


def test_looking_at_a_log_leaves_the_locks_of_who_works_with_it(written_over: Path) -> None:
    """Another program would take the index for one that nobody uses, and begin it anew under this one."""
    for _ in range(3):
        log_end(written_over)
    asks = (
        "import os, struct, sys, fcntl; file = os.open(sys.argv[1], os.O_RDWR);"
        "told = struct.pack('hhqqi0q', fcntl.F_WRLCK, 0, 128, 1, 0);"
        "print(struct.unpack('hhqqi0q', fcntl.fcntl(file, fcntl.F_GETLK, told))[4])"
    )
    shm = f"{written_over}-shm"
    holds = subprocess.run([sys.executable, "-c", asks, shm], capture_output=True, text=True, check=True)
    assert int(holds.stdout) == os.getpid()


def test_pages_that_look_at_a_log_at_once_do_not_stumble_over_each_other(made: Path, tmp_path: Path) -> None:
    """Each opening makes a new index and each end takes it away, while others ask for it."""
    book = Path(shutil.copy(made, tmp_path))
    index = book.with_name(f"{book.name}-shm")
    ends = threading.Event()

    def ask() -> int:
        asked = 0
        while not ends.is_set():
            log_index(book)
            asked += 1
        return asked

    with ThreadPoolExecutor(8) as pages:
        asking = [pages.submit(ask) for _ in range(8)]
        for n in range(400):
            index.with_name(f"{n}").write_bytes(bytes(96))
            index.with_name(f"{n}").replace(index)
        ends.set()
        assert all(one.result() for one in asking)


def test_a_log_that_somebody_writes_to_is_sound(carried: Path) -> None:
    engine = open_book(carried)
    with writing(engine) as session:
        yards.add_operation(session, LONG)
        assert log_end(carried) == LogEnd()
    assert log_end(carried) == LogEnd()
    engine.dispose()
    assert log_end(carried) == LogEnd()
