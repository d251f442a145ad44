"""A form that was sent, read before its page is asked: pages themselves may then wait for the book.

A page that is no coroutine is answered in a thread of its own, so that one which writes to the
book, or waits for another that does, holds up nobody else.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Annotated

from fastapi import Depends, Request
from starlette.datastructures import FormData

from breadline.web.own_fields import MOST_FIELDS, unmarked


async def _sent(request: Request) -> FormData:
    return unmarked(await request.form(max_fields=MOST_FIELDS))


SentForm = Annotated[FormData, Depends(_sent)]


def texts(form: FormData, longest: int | None = None) -> dict[str, str]:
    """Its fields that are text, each cut at ``longest`` [letters]."""
    return {key: value[:longest] for key, value in form.items() if isinstance(value, str)}


def line_numbers(typed: Mapping[str, str], table: str, field: str = "") -> dict[int, str]:
    """Numbers of the lines of a table, ``table-0-…``, and what a field of each holds.

    Without a ``field`` the lines that hold anything at all. A line that no page has, of no number or
    past 999, is none.
    """
    found = {}
    for key, value in typed.items():
        name, _, rest = key.partition("-")
        number, _, of = rest.partition("-")
        known = name == table and number.isdecimal() and number.isascii() and len(number) < 4
        if known and value and (not field or of == field):
            found[int(number)] = value
    return found
