"""A page that waits for the book holds up no other page. All invented."""

from __future__ import annotations

import asyncio
import inspect
import threading
from concurrent.futures import ThreadPoolExecutor
from urllib.parse import urlencode

from starlette.routing import Route

from breadline.records.engine import open_book, writing
from breadline.web.app import SCREENS
from web.conftest import HERE
from web.test_field_keying import client

__all__ = ["client"]
READ_BEFORE_THEIR_THREAD = {"/field/send", "/field/keying/{yard_id}"}  # a body, a form of many fields


def test_every_page_that_may_wait_for_the_book_has_a_thread_of_its_own():
    routes = [route for screen in SCREENS for route in screen.router.routes if isinstance(route, Route)]
    found = {one.path for one in routes if inspect.iscoroutinefunction(one.endpoint)}
    assert found == READ_BEFORE_THEIR_THREAD
    assert len(routes) > 50


async def answered(app, method: str, path: str, body: bytes = b"") -> int:
    """The status of one request, beside others of the same loop."""
    told = {"host": HERE.removeprefix("http://"), "origin": HERE, "content-length": str(len(body)),
            "content-type": "application/x-www-form-urlencoded"}  # fmt: skip
    scope = {"type": "http", "asgi": {"version": "3.0"}, "http_version": "1.1", "method": method,
             "path": path, "raw_path": path.encode(), "query_string": b"", "root_path": "", "scheme": "http",
             "headers": [(key.encode(), value.encode()) for key, value in told.items()],
             "client": ("127.0.0.1", 50000), "server": ("127.0.0.1", 80)}  # fmt: skip
    came, sent = asyncio.Queue(), []
    await came.put({"type": "http.request", "body": body, "more_body": False})

    async def send(message) -> None:
        sent.append(message)

    await app(scope, came.get, send)
    return next(one["status"] for one in sent if one["type"] == "http.response.start")


def test_another_page_is_answered_while_a_form_waits_for_its_turn_to_write(client):
    engine, held, go = open_book(client.path), threading.Event(), threading.Event()

    def hold() -> None:
        with writing(engine):
            held.set()
            go.wait(20)

    async def both() -> tuple[int, bool, int]:
        form = urlencode({"rows": "A1, pallet 1\nA7"}).encode()
        waits = asyncio.create_task(answered(client.app, "POST", f"/field/hives/{client.yard}", form))
        await asyncio.sleep(0.2)
        meanwhile = await asyncio.wait_for(answered(client.app, "GET", "/field/questions"), 10)
        pending = not waits.done()
        go.set()
        return meanwhile, pending, await waits

    holder = threading.Thread(target=hold)
    holder.start()
    held.wait(10)
    with ThreadPoolExecutor(1) as own:  # a loop may run in this thread already
        assert own.submit(lambda: asyncio.run(both())).result() == (200, True, 303)
    holder.join()
    assert "A7" in [one.tag for one in client.book.hives(client.yard)[1]]
