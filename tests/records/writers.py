"""Writers that are killed at any moment, and phones that send at once: what was answered, against the book.

The short form is in ``test_killed.py``; ``scripts/soak.d/records_killed.py`` runs it at length.
"""

from __future__ import annotations

import json
import os
import random
import time
from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from functools import cache
from multiprocessing import get_context
from multiprocessing.connection import Connection
from multiprocessing.context import ForkServerContext
from multiprocessing.forkserver import ensure_running
from pathlib import Path
from threading import Thread
from uuid import UUID

from sqlalchemy import Engine, func, select

from breadline.jobs.field_book import FieldBook
from breadline.jobs.field_record import batch_of
from breadline.records import colonies, field, yards
from breadline.records.address import BookAt, OnServer
from breadline.records.append_only import current
from breadline.records.engine import checked, looking, open_book, shut_book, writing
from breadline.records.field_sent import Sent
from breadline.records.field_tables import FieldAnswer, FieldEntry, FieldReading
from breadline.records.ids import new_id
from breadline.records.tables import Reading
from records.conftest import MILL_LANE

TAGS = tuple(f"H{number}" for number in range(1, 41))
NOW = datetime(2026, 5, 3, 9, 0, tzinfo=UTC)

ROOT = Path(__file__).resolve().parents[2]


@cache
def processes() -> ForkServerContext:
    """Writers are children of one process that has imported all this, so that they start at once."""
    context = get_context("forkserver")
    context.set_forkserver_preload(["records.writers"])
    before = os.environ.get("PYTHONPATH", "")
    os.environ["PYTHONPATH"] = os.pathsep.join([*(str(ROOT / part) for part in ("src", "tests")), before])
    try:
        ensure_running()  # before Python 3.12 it finds modules by this alone
    finally:
        os.environ["PYTHONPATH"] = before
    return context


@dataclass(frozen=True)
class Killed:
    """What was found after writers were killed."""

    kills: int
    stored: int  # records that were answered "stored"
    there: int  # records that are in the book


def typed(at: BookAt) -> str:
    """The address as it would be typed, for another process."""
    return at.url.render_as_string(hide_password=False) if isinstance(at, OnServer) else str(at)


def yard_with_hives(engine: Engine) -> UUID:
    """A yard of forty hives."""
    with writing(engine) as session:
        key = yards.add_yard(session, MILL_LANE)
        for number, tag in enumerate(TAGS, 1):
            colonies.place_colony(session, key, tag, f"pallet {number}", number)
    return key


def body(yard: UUID, phone: str, picks: random.Random, records: int) -> bytes:
    """One post of a phone; ``by`` says of which batch each record is, and how many that has."""
    batch = new_id().hex
    told = [
        {
            "id": str(new_id()), "work": "look", "yard": str(yard), "tag": picks.choice(TAGS),
            "at": seen_at(picks), "by": f"{batch} {records}",
            "seen": {"frames_of_bees": {"value": picks.randint(2, 20) / 2, "unit": "frames",
                                        "definition": "one_layer"}},
        }
        for _ in range(records)
    ]  # fmt: skip
    sent = {"shape": "breadline.field/1", "phone": phone, "now": "2026-05-03T11:00:00+02:00", "records": told}
    return json.dumps(sent).encode()


def seen_at(picks: random.Random) -> str:
    """A moment of the last months, so that few records are of one hive on one day."""
    return (NOW - timedelta(days=picks.randint(0, 300))).isoformat()


def write_until_killed(address: str, yard: UUID, seed: int, told: Connection) -> None:
    """Take in batch after batch; each key goes up the pipe once its record was answered "stored"."""
    engine, picks = open_book(address), random.Random(seed)
    told.send_bytes(b"ready")
    while True:
        batch = batch_of(body(yard, f"phone {seed}", picks, picks.randint(1, 6)), NOW)
        with writing(engine) as session:
            answers = [field.take_in(session, one, NOW) for one in batch.records if isinstance(one, Sent)]
        told.send_bytes(b"".join(one.id.bytes for one in answers if one.answer in ("stored", "conflict")))


def kill_again_and_again(at: BookAt, kills: int, seed: int, writers: int = 2) -> Killed:
    """Start writers, kill them at a random moment, and look whether all that was answered is there.

    Raises AssertionError where a record is missing, half there, or the book is not whole.
    """
    engine = open_book(at)
    yard = yard_with_hives(engine)
    picks, stored, killed = random.Random(seed), set[UUID](), 0
    while killed < kills:
        some = min(writers, kills - killed)
        for heard in _one_round(typed(at), yard, picks, some):
            stored |= {UUID(bytes=heard[n : n + 16]) for n in range(0, len(heard), 16)}
        killed += some
        there = all_or_nothing(engine)
        assert stored <= there, f"{len(stored - there)} of {len(stored)} that were answered are gone"
    checked(engine)
    shut_book(engine)
    return Killed(killed, len(stored), len(there))


def _one_round(address: str, yard: UUID, picks: random.Random, writers: int) -> Iterator[bytes]:
    heard: list[bytes] = []
    pipes, started, readers = [], [], []
    for _ in range(writers):
        ours, theirs = processes().Pipe(duplex=False)
        one = processes().Process(
            target=write_until_killed, args=(address, yard, picks.randrange(2**31), theirs), daemon=True
        )
        one.start()
        theirs.close()
        assert ours.recv_bytes() == b"ready"
        reader = Thread(target=_listen, args=(ours, heard))
        reader.start()
        pipes.append(ours)
        started.append(one)
        readers.append(reader)
    heard_by(lambda: bool(heard))
    for one in started:
        time.sleep(picks.uniform(0.0, 0.4))
        one.kill()
    for one, reader, pipe in zip(started, readers, pipes, strict=True):
        one.join(30)
        reader.join(30)
        pipe.close()
    yield from heard


def heard_by(come: Callable[[], bool], patience_s: float = 60.0) -> None:
    """Wait until something has come, so that what is killed was at work; AssertionError if it never does."""
    until = time.monotonic() + patience_s
    while not come():
        assert time.monotonic() < until, "nothing was stored in all that time"
        time.sleep(0.005)


def _listen(pipe: Connection, heard: list[bytes]) -> None:
    with suppress(EOFError, OSError):  # killed, perhaps in the middle of a word
        while True:
            heard.append(pipe.recv_bytes())


def all_or_nothing(engine: Engine) -> set[UUID]:
    """The keys of all records; AssertionError where a batch or a record is there by half."""
    with looking(engine) as session:
        rows = session.execute(select(FieldEntry.id, FieldEntry.by)).all()
        answered = set(session.scalars(select(FieldAnswer.entry_id)))
        seen = session.scalar(select(func.count(FieldReading.reading_id.distinct())))
        linked = set(session.scalars(select(FieldReading.entry_id)))
        holding = current(FieldAnswer).where(FieldAnswer.answer == "stored").order_by(None)
        stored = set(session.scalars(holding.with_only_columns(FieldAnswer.entry_id)))
        readings = session.scalar(
            select(func.count()).select_from(Reading).where(Reading.colony_id.is_not(None))
        )
    batches = Counter(by for _, by in rows)
    torn = [by for by, count in batches.items() if count != int(by.split()[1])]
    assert torn == [], "a batch is there whole or not at all"
    assert {key for key, _ in rows} == answered, "every record has its answer"
    assert seen == readings, "every reading of a hive is of a record"
    assert stored <= linked, "every record that was stored has its reading"
    return {key for key, _ in rows}


def phones_at_once(at: BookAt, phones: int, posts: int, records: int) -> Sequence[Counter[str]]:
    """Phones that send at once, each post twice, as after a lost reply; how each phone was answered.

    Raises what went wrong in a phone.
    """
    engine = open_book(at)
    yard = yard_with_hives(engine)
    shut_book(engine)
    counts: list[Counter[str]] = [Counter() for _ in range(phones)]
    failed: list[BaseException] = []

    def phone(number: int) -> None:
        picks = random.Random(number)
        try:
            for _ in range(posts):
                post = body(yard, f"phone {number}", picks, records)
                for _ in range(2):
                    answers = FieldBook(at).take(post, NOW)["answers"]
                    counts[number].update(one["answer"] for one in answers)
        except BaseException as error:  # noqa: BLE001  the thread's error is the test's
            failed.append(error)

    threads = [Thread(target=phone, args=(number,)) for number in range(phones)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    if failed:
        raise failed[0]
    return counts
