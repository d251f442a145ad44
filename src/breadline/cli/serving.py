"""``breadline demo`` and ``breadline serve``: the pages, on this machine only."""

from __future__ import annotations

import socket
import sys
import threading
import webbrowser
from datetime import date
from typing import TextIO

from rich.console import Console

from breadline.cli.printed import FIRST_SEASON, shown, told
from breadline.errors import RecordError
from breadline.jobs.book import Book
from breadline.records.address import BookAt, absolute
from breadline.records.engine import is_there

HOST = "127.0.0.1"


def demo(path: BookAt, port: int, *, serve: bool, as_json: bool) -> None:
    """Make the demo operation, print its first yard's answer, then open the pages."""
    from breadline.jobs.demo import OPERATION, TODAY, make_demo
    from breadline.jobs.season_told import season_document, season_lines

    making = f"Making the demo operation and running its first season {FIRST_SEASON} …"
    with Console(stderr=True).status(making):
        book = make_demo(path)
        first = book.season(book.first_yard())
    if as_json:
        shown(season_document(first))
    else:
        told([("dim", f"{OPERATION}. All yards, counts and weather of the demo are made up.")])
        told(season_lines(first))
    if serve:
        _open(path, port, TODAY, browser=True, to=sys.stderr if as_json else sys.stdout)


def serve(path: BookAt, port: int, today: date | None, *, as_json: bool) -> None:
    """Open the pages of a book."""
    if not is_there(path):
        raise RecordError(
            str(path),
            "there is no such book",
            "a book of records",
            "breadline yards BOOK --add YARD.toml --weather FILE makes one",
        )
    Book(path, today)  # refuses what is no book before anything is served
    _free(port)
    if as_json:
        shown({"shape": "breadline.serve/1", "address": _address(port), "book": absolute(path)})
    _open(path, port, today, browser=False, to=sys.stderr if as_json else sys.stdout)


def _address(port: int) -> str:
    return f"http://{HOST}:{port}/"


def _open(path: BookAt, port: int, today: date | None, *, browser: bool, to: TextIO) -> None:
    import uvicorn

    from breadline.jobs.warm import warm_up
    from breadline.web.app import create_app

    _free(port)
    warm_up()
    address = _address(port)
    print(
        f"\nOpen {address} in a browser on this machine. The book is {absolute(path)}. Stop with Ctrl+C.",
        file=to,
        flush=True,
    )
    app = create_app(path, lambda book: Book(book, today), today=lambda: today or date.today())
    if browser and sys.stdout.isatty():
        threading.Timer(1.0, webbrowser.open, args=(address,)).start()
    uvicorn.run(app, host=HOST, port=port, log_level="warning")


def _free(port: int) -> None:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            raise RecordError(
                f"port {port}", "another program uses it", "a free port", f"Try --port {port + 1}"
            ) from None
