"""What the book can keep and give back unbent, whichever database it lies in."""

from __future__ import annotations

from dataclasses import fields, is_dataclass
from math import isfinite
from typing import Any

from breadline.errors import RecordError
from breadline.language import say

MAX_INT = 2**31 - 1  # what every database keeps in an integer column


def storable(thing: Any, where: str) -> None:
    """Refuse what a database would bend, in a value, a tuple or a dataclass of such.

    SQLite turns a NaN into a missing value without a word, and PostgreSQL takes
    no text with a NUL in it.

    Errors
    ------
    RecordError
        With the name of the field.
    """
    if is_dataclass(thing):
        for part in fields(thing):
            storable(getattr(thing, part.name), f"{where}, {part.name}")
    elif isinstance(thing, tuple):
        for number, part in enumerate(thing, start=1):
            storable(part, f"{where} {number}")
    elif isinstance(thing, float) and not isfinite(thing):
        raise RecordError(where, say("{thing} is not a number to keep", thing=thing), say("a finite number"))
    elif isinstance(thing, int) and abs(thing) > MAX_INT:
        raise RecordError(
            where, say("{thing} is too large to keep", thing=thing), say("at most {max_int}", max_int=MAX_INT)
        )
    elif isinstance(thing, str) and any(c == "\0" or "\ud800" <= c <= "\udfff" for c in thing):
        raise RecordError(
            where, say("{thing!r} holds a character that cannot be kept", thing=thing), say("plain text")
        )
