"""A form that was sent, read before its page is asked: pages themselves may then wait for the book.

A page that is no coroutine is answered in a thread of its own, so that one which writes to the
book, or waits for another that does, holds up nobody else.
"""

from __future__ import annotations

from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import FormData


async def _sent(request: Request) -> FormData:
    return await request.form()


SentForm = Annotated[FormData, Depends(_sent)]


def texts(form: FormData, longest: int | None = None) -> dict[str, str]:
    """Its fields that are text, each cut at ``longest`` [letters]."""
    return {key: value[:longest] for key, value in form.items() if isinstance(value, str)}
