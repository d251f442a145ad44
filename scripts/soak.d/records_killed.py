"""Killed at random moments under load, and eight phones at once, on both databases; nothing may be lost.

The short form is in tests/records/test_killed.py. It starts a PostgreSQL server of its own.
BREADLINE_KILLS says how often writers are killed (200); fewer make everything shorter.
"""

from __future__ import annotations

import json
import os
import random
import signal
import socket
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from http.client import HTTPConnection, HTTPException
from pathlib import Path
from threading import Thread
from typing import IO
from uuid import UUID

sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "tests"))

from book_places import Files, Places, databases
from breadline.jobs.field_book import FieldBook
from breadline.records.address import BookAt
from breadline.records.engine import checked, open_book, shut_book
from records.writers import (
    all_or_nothing,
    body,
    heard_by,
    kill_again_and_again,
    phones_at_once,
    typed,
    yard_with_hives,
)

ROOT = Path(__file__).resolve().parents[2]
KILLS = int(os.environ.get("BREADLINE_KILLS", "200"))
PHONES, POSTS, RECORDS = 8, max(KILLS // 5, 2), 20  # 40 posts with 200 kills
SERVER_KILLS = max(KILLS // 10, 2)
THOUSAND, TIMES = 1000, 11 if KILLS >= 200 else 2
SERVE = "from breadline.cli.app import main; main()"


def main() -> int:
    """Every proof on both databases; an AssertionError where one does not hold."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    with tempfile.TemporaryDirectory() as folder:
        for name, places in (("SQLite", Files(Path(folder))), ("PostgreSQL", databases())):
            print(f"{name}")
            writers_killed(places, seed)
            servers_killed(places, seed)
            phones(places)
            a_thousand_at_once(places, seed)
            places.close()
    return 0


def writers_killed(places: Places, seed: int) -> None:
    """Writers killed two at a time while both write."""
    found = kill_again_and_again(places.book(), KILLS, seed)
    print(
        f"  {found.kills} writers killed under load: {found.stored:,} records were answered, all are there;"
    )
    print(f"  {found.there:,} are in the book, each batch whole; the book is whole")


def servers_killed(places: Places, seed: int) -> None:
    """The program that serves the pages, killed while eight phones send."""
    at, picks, stored = places.book(), random.Random(seed), set[UUID]()
    engine = open_book(at)
    yard = yard_with_hives(engine)
    for _ in range(SERVER_KILLS):
        with served(at) as (server, port):
            phones = [
                Thread(target=send_until_gone, args=(port, yard, picks.random(), stored))
                for _ in range(PHONES)
            ]
            for phone in phones:
                phone.start()
            before = len(stored)
            heard_by(lambda before=before: len(stored) > before)
            time.sleep(picks.uniform(0.0, 2.0))
            server.send_signal(signal.SIGKILL)
            for phone in phones:
                phone.join()
        there = all_or_nothing(engine)
        assert stored <= there, f"{len(stored - there)} of {len(stored)} that were answered are gone"
    checked(engine)
    shut_book(engine)
    print(
        f"  breadline serve killed {SERVER_KILLS} times while {PHONES} phones sent: {len(stored):,} records"
    )
    print("  were answered, all are there; the book is whole")


@contextmanager
def served(at: BookAt) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """The real program over a book."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = int(probe.getsockname()[1])
    command = [sys.executable, "-c", SERVE, "serve", typed(at), "--port", str(port)]
    env = {**os.environ, "PYTHONPATH": str(ROOT / "src")}
    with tempfile.TemporaryFile() as said:  # shown only where it does not start
        server = subprocess.Popen(
            command, env=env, stdout=subprocess.DEVNULL, stderr=said, stdin=subprocess.DEVNULL
        )
        try:
            until = time.monotonic() + 900  # a busy machine
            while True:
                try:
                    socket.create_connection(("127.0.0.1", port), 1).close()
                    break
                except OSError:
                    assert server.poll() is None, f"the server did not start: {_all_of(said)}"
                    assert time.monotonic() < until, "the server did not start in time"
                    time.sleep(0.1)
            yield server, port
        finally:
            server.kill()
            server.wait()


def _all_of(said: IO[bytes]) -> str:
    said.seek(0)
    return said.read().decode("utf-8", "replace")


def send_until_gone(port: int, yard: UUID, seed: float, stored: set[UUID]) -> None:
    """A phone that sends until nobody answers."""
    picks = random.Random(seed)
    here = f"http://127.0.0.1:{port}"
    while True:
        line = HTTPConnection("127.0.0.1", port, timeout=60)
        try:
            post = body(yard, f"phone {seed}", picks, picks.randint(1, 8))
            line.request("POST", "/field/send", post, {"content-type": "application/json", "origin": here})
            answer = json.loads(line.getresponse().read())
            stored |= {
                UUID(one["id"]) for one in answer["answers"] if one["answer"] in ("stored", "conflict")
            }
        except (OSError, HTTPException, ValueError):
            return
        finally:
            line.close()


def phones(places: Places) -> None:
    """Eight phones that send at once, each post twice."""
    at, began = places.book(), time.perf_counter()
    counts = phones_at_once(at, PHONES, POSTS, RECORDS)
    took = time.perf_counter() - began
    engine = open_book(at)
    there = all_or_nothing(engine)
    checked(engine)
    shut_book(engine)
    sent = PHONES * POSTS * RECORDS
    assert len(there) == sent, f"{len(there)} records of {sent}"
    assert all(each["refused"] == 0 and each["stored"] == each["duplicate"] for each in counts)
    print(
        f"  {PHONES} phones × {POSTS} posts × {RECORDS} records at once, each post twice: {sent:,} records,"
    )
    print(f"  no error, none twice ({took:.0f} s)")


def a_thousand_at_once(places: Places, seed: int) -> None:
    """How long one batch of a thousand takes, into an empty book and into one that holds many."""
    at, picks = places.book(), random.Random(seed)
    engine = open_book(at)
    yard = yard_with_hives(engine)
    shut_book(engine)
    took = []
    for _ in range(TIMES):
        post = body(yard, "one phone", picks, THOUSAND)
        began = time.perf_counter()
        FieldBook(at).take(post)
        took.append(time.perf_counter() - began)
    print(f"  {THOUSAND:,} records in one batch: {took[0]:.1f} s into an empty book,")
    print(f"  {took[-1]:.1f} s into one that holds {(TIMES - 1) * THOUSAND:,}")


if __name__ == "__main__":
    if not os.environ.get("BREADLINE_POSTGRESQL"):
        os.execv(ROOT / "scripts" / "with-postgresql", ["with-postgresql", sys.executable, __file__])
    sys.exit(main())
