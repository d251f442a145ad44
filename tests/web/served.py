"""A server of the pages in this process, on a free port of this machine."""

from __future__ import annotations

import socket
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from urllib.parse import urlencode

import uvicorn
from fastapi import FastAPI

from breadline.web.app import create_app
from web.pretend_book import TODAY, PretendBook


@contextmanager
def served(book: PretendBook, today: date = TODAY) -> Iterator[str]:
    """The address of a running server over a pretended book; it ends with the block."""
    with serving(create_app(Path("pretend.sqlite"), book.opened, lambda: today)) as where:
        yield where


@contextmanager
def serving(app: FastAPI) -> Iterator[str]:
    """The address of a running server of this app; it ends with the block."""
    listening = socket.socket()
    listening.bind(("127.0.0.1", 0))
    server = uvicorn.Server(uvicorn.Config(app, log_level="error", lifespan="off"))
    thread = threading.Thread(target=server.run, kwargs={"sockets": [listening]}, daemon=True)
    thread.start()
    until = time.monotonic() + 20
    while not server.started and time.monotonic() < until:
        time.sleep(0.02)
    assert server.started
    yield f"http://127.0.0.1:{listening.getsockname()[1]}"
    server.should_exit = True
    thread.join(10)
    listening.close()


def found(client, key, typed):
    """The page of the plans, looked at again as long as the search runs."""
    for _ in range(600):
        answer = client.get(f"/rounds/{key}/plans?{urlencode(typed)}")
        if 'http-equiv="refresh"' not in answer.text:
            return answer
        time.sleep(0.1)
    raise AssertionError("the search never ended")
