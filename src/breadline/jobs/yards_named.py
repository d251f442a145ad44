"""The one of some yards that is meant by its name; two of one name are refused, never guessed."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.errors import RecordError
from breadline.language import say, say_counted


def same_name(known: Sequence[tuple[str, str]], name: str) -> list[str]:
    """The keys of the yards (key, name) of a name: as it is written, else in other letters."""
    found = [key for key, told in known if told == name]
    return found or [key for key, told in known if told.casefold() == name.casefold()]


def key_named(known: Sequence[tuple[str, str]], name: str) -> str | None:
    """The key of the yard of a book so named; None where there is none.

    Errors
    ------
    RecordError
        Where several have the name.
    """
    found = same_name(known, name)
    if len(found) > 1:
        raise RecordError(
            name, several_words(len(found)), say("a name that one yard has"),
            say("Give one of them another name first: {keys}", keys=", ".join(found)),
        )  # fmt: skip
    return found[0] if found else None


def several_words(many: int) -> str:
    """That so many yards have the name that was given."""
    return say_counted("{n} yard has this name", "{n} yards have this name", many)
