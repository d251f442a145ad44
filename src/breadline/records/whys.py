"""Why something is asked: in English, as it is kept and searched, and as a message with its fields.

Whoever shows it says the message in the reader's language. A row of an older book has the English alone.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any


class Why(str):
    """The English sentence, with its message and fields in ``told``; None where these are not known."""

    __slots__ = ("told",)
    told: Mapping[str, Any] | None

    def __new__(cls, text: str, told: Mapping[str, Any] | None = None) -> Why:
        """A sentence of this text."""
        self = super().__new__(cls, text)
        self.told = told
        return self


def asking(message: str, **fields: Any) -> Why:
    """A message with its fields filled in: days, numbers, words, other messages, or a row of these.

    What is to be said in another language is marked by ``noted`` where it is named.
    """
    text = message.format(**{name: _text(one) for name, one in fields.items()})
    return Why(text, {"say": message} | {name: _plain(one) for name, one in fields.items()})


def asking_as(context: str, word: str) -> Why:
    """A word that means something else elsewhere, as ``say_as`` finds it."""
    return Why(word, {"say": word, "as": context})


def told_by(why: str) -> dict[str, Any] | None:
    """The message of a sentence as it is kept beside it; None where it is text alone."""
    return dict(why.told) if isinstance(why, Why) and why.told else None


def _text(one: Any) -> str:
    if isinstance(one, str):
        return one
    if isinstance(one, Sequence):
        return ", ".join(_text(each) for each in one)
    return f"{one:g}" if isinstance(one, float) else str(one)


def _plain(one: Any) -> Any:
    if isinstance(one, Why):
        return dict(one.told) if one.told else str(one)
    if isinstance(one, date):
        return {"day": one.isoformat()}
    if isinstance(one, Sequence) and not isinstance(one, str):
        return [_plain(each) for each in one]
    return one


def read(kind: str, value: float | None, word: str | None) -> Why:
    """What was read of a hive, as ``put on 200``; amounts stay what they are, for whoever shows them."""
    said = word if word is not None else "" if value is None else f"{value:g}"
    return Why(f"{kind.replace('_', ' ')} {said}", {"read": kind, "value": value, "word": word})
