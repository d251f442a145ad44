"""A book is looked over and taken out where nothing can be written beside it, and left as it is. Invented."""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from breadline.errors import RecordError
from breadline.jobs.export import taken_out
from breadline.jobs.safe_copy import backed_up, restored
from breadline.jobs.verified import verified
from breadline.records import yards
from breadline.records.engine import only_reading, open_book, writing
from tests.records.conftest import MILL_LANE

NOW = datetime(2026, 3, 10, 12, tzinfo=UTC)


@pytest.fixture
def book(tmp_path: Path) -> Path:
    path = tmp_path / "book.db"
    engine = open_book(path)
    with writing(engine) as session:
        yards.add_yard(session, MILL_LANE)
    engine.dispose()
    return path


@pytest.fixture(params=["full", "read-only"])
def shut(request: pytest.FixtureRequest, book: Path, tmp_path: Path) -> Iterator[Path]:
    """The book on a disk that takes nothing more: a real one where the tests may mount it, else a link
    to nowhere in the place of the shared memory, of which the database says the same."""
    disk = tmp_path / "disk"
    disk.mkdir()
    size = f"size={book.stat().st_size + 65536}"
    mounted = (
        os.geteuid() == 0
        and not subprocess.run(
            ["mount", "-t", "tmpfs", "-o", size, "tmpfs", str(disk)], capture_output=True, check=False
        ).returncode
    )
    place = Path(shutil.copy(book, disk))
    if not mounted:
        (disk / f"{book.name}-shm").symlink_to(disk / "nowhere" / "shm")
    elif request.param == "full":
        try:
            with (disk / "fill").open("wb", buffering=0) as fill:
                while fill.write(bytes(4096)):
                    pass
        except OSError as fault:
            assert fault.errno == 28  # noqa: PT017  no space left
    else:
        subprocess.run(["mount", "-o", "remount,ro", str(disk)], check=True)
    yield place
    if mounted:
        subprocess.run(["umount", "--lazy", str(disk)], check=True)


def test_a_book_on_a_disk_that_takes_nothing_more_is_looked_over_and_taken_out(
    shut: Path, book: Path, tmp_path: Path
) -> None:
    looked = verified(shut)
    assert (looked.findings, looked.contents) == ((), verified(book).contents)
    there, here = tmp_path / "there.json", tmp_path / "here.json"
    assert taken_out(shut, there, "json", NOW).records == taken_out(book, here, "json", NOW).records > 0
    assert there.read_bytes() == here.read_bytes()
    copy, new = tmp_path / "copy.db", tmp_path / "new.db"
    assert backed_up(shut, copy, date(2026, 3, 10)).contents == looked.contents
    assert restored(shut, new).contents == looked.contents
    assert shut.read_bytes() == book.read_bytes()


def test_what_cannot_be_written_is_not_said_to_have_been_entered(shut: Path) -> None:
    """Somebody who only opens it entered nothing that could be lost."""
    with pytest.raises(RecordError) as refused:
        open_book(shut)
    assert "not saved" not in str(refused.value)
    assert "another disk" in refused.value.do or "rights" in refused.value.do


def test_a_copy_that_was_looked_over_is_the_same_file(book: Path, tmp_path: Path) -> None:
    """Also its header, which a program that may write to it would set to write-ahead logging."""
    copy = tmp_path / "copy.db"
    backed_up(book, copy, date(2026, 3, 10))
    before = copy.read_bytes()
    assert before[18:20] == b"\x01\x01"  # SQLite file format, 1.3
    assert verified(copy).findings == ()
    taken_out(copy, tmp_path / "all.json", "json", NOW)
    assert copy.read_bytes() == before
    assert not list(tmp_path.glob("copy.db-*"))


def test_nothing_can_be_written_by_one_who_only_reads(book: Path) -> None:
    with only_reading(book) as session, pytest.raises(RecordError, match="read-only"):
        yards.add_operation(session, "x")
