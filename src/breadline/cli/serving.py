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

from breadline.cli.printed import first_season, shown, told
from breadline.errors import RecordError
from breadline.jobs.book import Book
from breadline.jobs.phones import HOST_CERTIFICATE, HOST_KEY, PhonesBook, in_address
from breadline.language import language, noted
from breadline.language import say as worded
from breadline.records.address import BookAt, absolute
from breadline.records.engine import is_there
from breadline.records.log_file import refuse_damaged_log

if TYPE_CHECKING:
    import uvicorn
    from fastapi import FastAPI

HOST = "127.0.0.1"
ANSWERED = {HOST, "::1", "0.0.0.0", "::"}  # the pages answer this machine anyway; all at once is no address
IN_NETWORK = noted("the name or address of this machine in its network, such as 192.168.1.20")
LOOK_UP = noted("Look it up in the settings of the network")


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
    making = worded("Making the demo operation and running its first season {why} …", why=first_season())
    learnt = ""
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
        made_up = worded("{name}. All yards, counts and weather of the demo are made up.", name=OPERATION)
        told([("dim", made_up)])
        if language() != "en":
            told([("dim", worded("Its names and notes stay in English, as its people typed them."))])
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
        If there is no such book, its log is damaged, the port is taken, or phones are to come and none was
        offered a code.
    """
    if not begin and not is_there(path):
        raise RecordError(
            str(path),
            worded("there is no such book"),
            worded("a book of records"),
            worded("With --new an empty one is begun there"),
        )
    if isinstance(path, Path) and path.is_file():
        refuse_damaged_log(path)  # served, its last entries would be gone for good
    Book(path, today)  # refuses what is no book before anything is served
    _may_be_reached(path, where)
    _free(where.port)
    opening = worded("Opening the book, up to a minute {why} …", why=first_season())
    print(opening, file=sys.stderr, flush=True)
    if as_json:
        shown({"shape": "breadline.serve/1", "address": where.address, "book": absolute(path)})
    _open(path, where, today, browser=False, to=sys.stderr if as_json else sys.stdout)


def _may_be_reached(path: BookAt, where: Where) -> None:
    """Nobody but this machine, unless access is set up."""
    if where.certificate is not None:
        for name in (HOST_CERTIFICATE, HOST_KEY):
            if not (where.certificate / name).is_file():
                raise RecordError(
                    str(where.certificate),
                    worded("{name} is not there", name=name),
                    worded("a folder of a certificate"),
                    worded("breadline certificate FOLDER --for ADDRESS makes one"),
                )
    if where.on is None:
        return
    if not PhonesBook(path).phones():
        raise RecordError(
            "--on",
            worded("no phone may send to this book yet"),
            worded("access that is set up"),
            worded("breadline phones BOOK --pair NAME offers a phone its code"),
        )
    try:
        found = socket.getaddrinfo(where.on, where.port)
    except OSError:
        raise RecordError(
            "--on", worded("{on} is not known", on=where.on), worded(IN_NETWORK), worded(LOOK_UP)
        ) from None
    if found[0][4][0] in ANSWERED:
        raise RecordError(
            "--on",
            worded("{on} is no address at which a phone finds this machine", on=where.on),
            worded(IN_NETWORK),
            worded("Look it up in the settings of the network; for this machine alone leave --on out"),
        )


def _open(path: BookAt, where: Where, today: date | None, *, browser: bool, to: TextIO) -> None:
    from breadline.cli.doors import answer, door
    from breadline.jobs.warm import warm_up
    from breadline.web.app import create_app

    _free(where.port)
    here = _listening(HOST, where.port)
    there = None if where.on is None else _listening(where.on, where.port)
    warm_up()
    said = "\n" + worded(
        "Open {address} in a browser on this machine. The book is {book}. Stop with Ctrl+C.",
        address=where.address, book=absolute(path),
    )  # fmt: skip
    if where.on is not None:
        said += "\n" + worded(
            "A phone of the house opens {address} and types its code.", address=where.for_phones
        )
    print(said, file=to, flush=True)
    hosts = () if where.on is None else (where.on,)
    app = create_app(path, lambda book: Book(book, today), today=lambda: today or date.today(), hosts=hosts)
    if browser and sys.stdout.isatty():
        threading.Timer(1.0, webbrowser.open, args=(where.address,)).start()
    # phones have a door of their own; this machine needs no certificate
    phones = None if there is None else (_door(app, where), there)
    answer(door(app), here, phones)


def _door(app: FastAPI, where: Where) -> uvicorn.Server:
    """The server for phones, whose certificate was read."""
    from breadline.cli.doors import door

    secret = where.certificate
    if secret is None:
        return door(app)
    made = door(app, str(secret / HOST_CERTIFICATE), str(secret / HOST_KEY))
    try:
        made.config.load()
    except OSError as fault:  # of which those of a certificate are
        raise RecordError(
            str(secret),
            worded("its certificate and key can't be used ({fault})", fault=fault),
            worded("files that go together"),
            worded("breadline certificate FOLDER --for ADDRESS makes them anew"),
        ) from None
    return made


def _in_use(port: int, name: str = "") -> RecordError:
    what = worded("another program uses it")
    if name:
        what = worded("another program uses it at {name}", name=name)
    return RecordError(
        f"port {port}",
        what,
        worded("a free port"),
        worded("Try --port {port}; the other may be a Breadline that still runs", port=port + 1),
    )


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
        raise RecordError(
            "--on",
            worded("{name} can't be listened on ({strerror})", name=name, strerror=fault.strerror),
            worded("an address that this machine has"),
        ) from None
    return made


def _free(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            raise _in_use(port) from None
