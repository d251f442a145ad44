"""The doors of ``breadline serve``: opened together, shut together, and then the book is let go of.

A server that the system ends (SIGTERM) or whose terminal is closed (SIGHUP) would else die where it stands,
and what was written last would lie in the log beside the book's one file.
"""

from __future__ import annotations

import logging
import signal
import socket
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from types import FrameType

import uvicorn
from fastapi import FastAPI

from breadline.records.engine import shut_all_books

PATIENCE_S = 5  # with whoever is still sending when the doors are shut, or still answered [s]
ENDS = ("SIGTERM", "SIGHUP", "SIGBREAK", "SIGINT")  # of which no system has all
ENDING = (signal.SIG_DFL, signal.default_int_handler)  # what ends the program at once


def door(app: FastAPI, certificate: str | None = None, key: str | None = None) -> uvicorn.Server:
    """A server of the pages."""
    # no word of a proxy is believed: who asks is who is at the other end
    told = uvicorn.Config(
        app, log_level="warning", ssl_certfile=certificate, ssl_keyfile=key, proxy_headers=False,
        timeout_graceful_shutdown=PATIENCE_S,
    )  # fmt: skip
    made = uvicorn.Server(told)
    # once it is to end it says nothing more: who then leaves halfway is no fault
    logging.getLogger("uvicorn.error").addFilter(lambda _: not made.should_exit)
    return made


def answer(
    here: uvicorn.Server, at: socket.socket, there: tuple[uvicorn.Server, socket.socket] | None
) -> None:
    """Answer at both doors until the program is ended; ``there`` is that of phones.

    What ended it takes its course after that, so that whoever started the program sees it.
    """
    with _held_back(here) as ended:
        thread = None if there is None else _beside(*there)
        try:
            here.run([at])
        finally:
            if there is not None and thread is not None:
                there[0].should_exit = True
                thread.join(2 * PATIENCE_S)
            shut_all_books()
    for number in ended:
        signal.raise_signal(number)


def _beside(server: uvicorn.Server, at: socket.socket) -> threading.Thread:
    thread = threading.Thread(target=server.run, args=([at],), name="phones", daemon=True)
    thread.start()
    return thread


@contextmanager
def _held_back(server: uvicorn.Server) -> Iterator[list[int]]:
    """What would end the program at once shuts the doors first; those that came meanwhile."""
    came: list[int] = []

    def told(number: int, _: FrameType | None) -> None:
        came[:] = [number]
        server.should_exit = True

    known = [getattr(signal, name) for name in ENDS if hasattr(signal, name)]
    before = {one: signal.getsignal(one) for one in known}
    mine = {one: how for one, how in before.items() if how in ENDING}  # "nohup" ignores one of them
    for one in mine:
        signal.signal(one, told)
    try:
        yield came
    finally:
        for one, how in mine.items():
            signal.signal(one, how)
