"""How ``breadline serve`` ends: the one file holds the whole book, whoever ends it and whoever still asks."""

from __future__ import annotations

import http.client
import json
import shutil
import signal
import socket
import sqlite3
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from threading import Event, Thread

import pytest
import uvicorn
from fastapi import FastAPI

from breadline.cli import phones
from breadline.cli.doors import answer, door
from breadline.jobs.certificate import AUTHORITY
from breadline.jobs.field_book import FieldBook
from breadline.jobs.yard_file import read_yard
from breadline.records.engine import shut_all_books
from breadline.records.ids import new_id

YARD = Path(__file__).parents[2] / "examples" / "first-yard" / "yard.toml"
LAN = "127.0.0.2"  # a second address of this machine, as the door for phones has
START = "import sys; from breadline.cli.app import main; main()"


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with a book of one hive and the certificate of its door, made once."""
    folder = tmp_path_factory.mktemp("made")
    path = folder / "own.sqlite"
    one = FieldBook(path, datetime.now(UTC).date())
    one.place_hives(one.add_yard(read_yard(YARD)), [("A1", "")])
    phones.run(path, "Crew 1", None, True)
    phones.certificate(folder / "cert", [LAN], False, True)
    shut_all_books()
    return folder


@pytest.fixture
def book(made: Path, tmp_path: Path) -> Path:
    return Path(shutil.copytree(made, tmp_path / "own")) / "own.sqlite"


@pytest.fixture(autouse=True)
def what_ends_is_heard() -> Iterator[None]:
    """Tests that are started behind ``&`` or by ``nohup`` ignore the end, and so does all they start."""
    ctrl_c = signal.signal(signal.SIGINT, signal.default_int_handler)
    closed = signal.signal(signal.SIGHUP, signal.SIG_DFL)
    yield
    signal.signal(signal.SIGINT, ctrl_c)
    signal.signal(signal.SIGHUP, closed)


@contextmanager
def serving(book: Path) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """The program that serves a book over https, and its port."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    words = ["serve", str(book), "--on", LAN, "--certificate", str(book.parent / "cert"), "--port", str(port)]
    quiet = subprocess.DEVNULL
    running = subprocess.Popen([sys.executable, "-c", START, *words], stdout=quiet, stderr=quiet)
    try:
        until = time.monotonic() + 90
        while time.monotonic() < until and running.poll() is None:
            with suppress(OSError), closing(phone(book, port)) as one:
                one.request("GET", "/pair")
                one.getresponse().read()
                break
            time.sleep(0.1)
        yield running, port
    finally:
        running.kill()
        running.wait()


def phone(book: Path, port: int) -> http.client.HTTPSConnection:
    """A phone that trusts the certificate; it keeps its connection."""
    trusts = ssl.create_default_context(cafile=book.parent / "cert" / AUTHORITY)
    return http.client.HTTPSConnection(LAN, port, timeout=30, context=trusts)


def send(one: http.client.HTTPSConnection, port: int, yard: str) -> None:
    """Send one record, and see it stored."""
    now = datetime.now(UTC).isoformat()
    record = {"id": str(new_id()), "work": "look", "yard": yard, "tag": "A1", "at": now, "seen": {}}
    told = {"shape": "breadline.field/1", "phone": "one", "now": now, "records": [record]}
    head = {"Origin": f"https://{LAN}:{port}", "Content-Type": "application/json"}
    one.request("POST", "/field/send", json.dumps(told), head)
    answer = json.loads(one.getresponse().read())["answers"][0]
    assert answer["answer"] == "stored"


def rows(book: Path, table: str) -> int:
    """How many a table has in the one file, without its log."""
    alone = book.with_name("alone.sqlite")
    shutil.copy(book, alone)
    with closing(sqlite3.connect(alone)) as connection:
        return int(connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0])


def log(book: Path) -> int:
    """How much its log holds; one that a thread had open to the end may lie there, empty. [bytes]"""
    beside = book.with_name(f"{book.name}-wal")
    return beside.stat().st_size if beside.exists() else 0


def asks_all_the_time(book: Path, port: int, over: Event) -> None:
    """Another phone, which looks for news for as long as somebody answers."""
    with suppress(OSError, http.client.HTTPException), closing(phone(book, port)) as other:
        while not over.is_set():
            other.request("GET", "/field/yards.json")
            other.getresponse().read()


@pytest.mark.skipif(sys.platform != "linux", reason="a second address of this machine, and signals")
@pytest.mark.parametrize("end", [signal.SIGTERM, signal.SIGINT, signal.SIGHUP])
def test_a_server_that_is_ended_leaves_all_in_the_one_file(book: Path, end: signal.Signals) -> None:
    yard = FieldBook(book).yards_for_phones()["yards"][0]["id"]
    shut_all_books()
    over = Event()
    with serving(book) as (running, port), closing(phone(book, port)) as one:
        asking = Thread(target=asks_all_the_time, args=(book, port, over))
        asking.start()
        try:
            send(one, port, yard)
            running.send_signal(end)
            code = running.wait(30)
        finally:
            over.set()
            asking.join()
    assert rows(book, "field_entry") == 1
    assert not log(book)
    assert code in (-end, 128 + end)  # who started it sees what ended it


def test_who_started_it_sees_ctrl_c_even_where_the_loop_would_take_it_for_itself(monkeypatch) -> None:
    """Where nobody else answers it the loop does; once, under load, nothing of it came out at the end."""

    def ended(self: uvicorn.Server, sockets: object) -> None:
        if signal.getsignal(signal.SIGINT) is not signal.default_int_handler:
            signal.raise_signal(signal.SIGINT)

    monkeypatch.setattr(uvicorn.Server, "run", ended)
    with socket.socket() as at, pytest.raises(KeyboardInterrupt):
        answer(door(FastAPI()), at, None)
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


@pytest.mark.skipif(sys.platform != "linux", reason="a second address of this machine, and signals")
def test_a_phone_that_sent_half_a_batch_keeps_no_server_from_ending(book: Path) -> None:
    with serving(book) as (running, port), closing(phone(book, port)) as one:
        one.putrequest("POST", "/field/send")
        one.putheader("Origin", f"https://{LAN}:{port}")
        one.putheader("Content-Length", "5000")
        one.endheaders(b"{")
        time.sleep(0.5)
        running.terminate()
        assert running.wait(40) == -signal.SIGTERM
    assert not log(book)


def test_the_file_is_whole_where_another_program_is_reading_it(book: Path) -> None:
    made = FieldBook(book)
    made.place_hives(made.yards_for_phones()["yards"][0]["id"], [("A2", "")])
    with closing(sqlite3.connect(book, isolation_level=None)) as other:
        other.execute("BEGIN")
        other.execute("SELECT count(*) FROM yard").fetchall()
        shut_all_books()
        assert rows(book, "colony") == 2
