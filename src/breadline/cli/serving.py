"""``breadline demo`` and ``breadline serve``: the pages, for this machine, and paired phones where asked."""

from __future__ import annotations

import errno
import socket
import sys
import threading
import webbrowser
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, TextIO

from rich.console import Console

from breadline.cli.printed import FIRST_SEASON, shown, told
from breadline.errors import RecordError
from breadline.jobs.book import Book
from breadline.jobs.phones import HOST_CERTIFICATE, HOST_KEY, PhonesBook, in_address
from breadline.records.address import BookAt, absolute
from breadline.records.engine import is_there

if TYPE_CHECKING:
    import uvicorn
    from fastapi import FastAPI

HOST = "127.0.0.1"
ANSWERED = {HOST, "::1", "0.0.0.0", "::"}  # the pages answer this machine anyway; all at once is no address
IN_NETWORK = "the name or address of this machine in its network, such as 192.168.1.20"
LOOK_UP = "Look it up in the settings of the network"


@dataclass(frozen=True)
class Demo:
    """What of the demo is wanted."""

    a_year_on: bool  # a whole season lived first
    serve: bool
    as_json: bool


def demo(place: BookAt | None, port: int, wanted: Demo) -> None:
    """Make the demo operation, print its first answer or what its season taught, open the pages."""
    from breadline.jobs.beside_plan import beside_advice
    from breadline.jobs.demo import OPERATION, TODAY, make_demo
    from breadline.jobs.demo_season import NEXT, YARD, live_season
    from breadline.jobs.last_season import SeasonsBook
    from breadline.jobs.season_told import season_document, season_lines

    joins = ""
    path: BookAt = place or Path("var/demo-a-year-on.sqlite" if wanted.a_year_on else "var/demo.sqlite")
    making, learnt = f"Making the demo operation and running its first season {FIRST_SEASON} …", ""
    with Console(stderr=True).status(making):
        book = make_demo(path)
        first = book.first_yard()
        if wanted.a_year_on:
            live_season(path)
            book = SeasonsBook(path, NEXT)
            first = book.keys_by_name()[YARD]
            last = book.last_season(first)
            learnt = "" if last is None else last.sentence
        answer = book.season(first)
        joins = beside_advice(path, book.today, first, answer.advice)
    if wanted.as_json:
        shown(season_document(answer))
    else:
        told([("dim", f"{OPERATION}. All yards, counts and weather of the demo are made up.")])
        told([("bold", learnt)] if learnt else [])
        told(season_lines(answer))
        told([("", joins)] if joins else [])
    if wanted.serve:
        on = NEXT if wanted.a_year_on else TODAY
        _open(path, Where(port), on, browser=True, to=sys.stderr if wanted.as_json else sys.stdout)


@dataclass(frozen=True)
class Where:
    """Where the pages answer: this machine, and by ``on`` paired phones of the house too."""

    port: int
    on: str | None = None  # name or address of this machine
    certificate: Path | None = None  # folder

    @property
    def address(self) -> str:
        """What a browser on this machine opens."""
        return f"http://{HOST}:{self.port}/"

    @property
    def for_phones(self) -> str:
        """What a phone opens."""
        return f"{'https' if self.certificate else 'http'}://{in_address(self.on or HOST)}:{self.port}/pair"


def serve(path: BookAt, where: Where, today: date | None, *, as_json: bool, begin: bool = False) -> None:
    """Open the pages of a book; to ``begin`` makes an empty one where there is none.

    Errors
    ------
    RecordError
        If there is no such book, the port is taken, or phones are to come and none was offered a code.
    """
    if not begin and not is_there(path):
        raise RecordError(
            str(path),
            "there is no such book",
            "a book of records",
            "With --new an empty one is begun there",
        )
    Book(path, today)  # refuses what is no book before anything is served
    _may_be_reached(path, where)
    _free(where.port)
    print(f"Opening the book, up to a minute {FIRST_SEASON} …", file=sys.stderr, flush=True)
    if as_json:
        shown({"shape": "breadline.serve/1", "address": where.address, "book": absolute(path)})
    _open(path, where, today, browser=False, to=sys.stderr if as_json else sys.stdout)


def _may_be_reached(path: BookAt, where: Where) -> None:
    """Nobody but this machine, unless access is set up."""
    if where.certificate is not None:
        for name in (HOST_CERTIFICATE, HOST_KEY):
            if not (where.certificate / name).is_file():
                raise RecordError(str(where.certificate), f"{name} is not there", "a folder of a certificate",
                                  "breadline certificate FOLDER --for ADDRESS makes one")  # fmt: skip
    if where.on is None:
        return
    if not PhonesBook(path).phones():
        raise RecordError("--on", "no phone may send to this book yet", "access that is set up",
                          "breadline phones BOOK --pair NAME offers a phone its code")  # fmt: skip
    try:
        found = socket.getaddrinfo(where.on, where.port)
    except OSError:
        raise RecordError("--on", f"{where.on} is not known", IN_NETWORK, LOOK_UP) from None
    if found[0][4][0] in ANSWERED:
        raise RecordError("--on", f"{where.on} is no address at which a phone finds this machine", IN_NETWORK,
                          f"{LOOK_UP}; for this machine alone leave --on out")  # fmt: skip


def _open(path: BookAt, where: Where, today: date | None, *, browser: bool, to: TextIO) -> None:
    from breadline.jobs.warm import warm_up
    from breadline.web.app import create_app

    _free(where.port)
    here = _listening(HOST, where.port)
    there = None if where.on is None else _listening(where.on, where.port)
    warm_up()
    said = f"\nOpen {where.address} in a browser on this machine. The book is {absolute(path)}."
    said += " Stop with Ctrl+C."
    if where.on is not None:
        said += f"\nA phone of the house opens {where.for_phones} and types its code."
    print(said, file=to, flush=True)
    hosts = () if where.on is None else (where.on,)
    app = create_app(path, lambda book: Book(book, today), today=lambda: today or date.today(), hosts=hosts)
    if browser and sys.stdout.isatty():
        threading.Timer(1.0, webbrowser.open, args=(where.address,)).start()
    if there is not None:  # phones have a door of their own; this machine needs no certificate
        threading.Thread(target=_door(app, where).run, args=([there],), daemon=True).start()
    _server(app).run([here])


def _door(app: FastAPI, where: Where) -> uvicorn.Server:
    """The server for phones, whose certificate was read."""
    secret = where.certificate
    if secret is None:
        return _server(app)
    door = _server(app, str(secret / HOST_CERTIFICATE), str(secret / HOST_KEY))
    try:
        door.config.load()
    except OSError as fault:  # of which those of a certificate are
        raise RecordError(
            str(secret), f"its certificate and key can't be used ({fault})", "files that go together",
            "breadline certificate FOLDER --for ADDRESS makes them anew",
        ) from None  # fmt: skip
    return door


def _server(app: FastAPI, certificate: str | None = None, key: str | None = None) -> uvicorn.Server:
    import uvicorn

    # no word of a proxy is believed: who asks is who is at the other end
    told = uvicorn.Config(
        app, log_level="warning", ssl_certfile=certificate, ssl_keyfile=key, proxy_headers=False
    )
    return uvicorn.Server(told)


def _in_use(port: int, name: str = "") -> RecordError:
    what = f"another program uses it at {name}" if name else "another program uses it"
    return RecordError(f"port {port}", what, "a free port",
                       f"Try --port {port + 1}; the other may be a Breadline that still runs")  # fmt: skip


def _listening(name: str, port: int) -> socket.socket:
    """A socket on one address of this machine."""
    family, kind, _, _, address = socket.getaddrinfo(name, port, type=socket.SOCK_STREAM)[0]
    made = socket.socket(family, kind)
    made.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        made.bind(address)
        made.listen()  # or another program's would be found out in a thread, after all was said to be well
    except OSError as fault:
        if fault.errno == errno.EADDRINUSE:
            raise _in_use(port, name) from None
        raise RecordError("--on", f"{name} can't be listened on ({fault.strerror})",
                          "an address that this machine has") from None  # fmt: skip
    return made


def _free(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            raise _in_use(port) from None
