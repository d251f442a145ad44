"""What a database says when it refuses, in words that tell what to do.

SQLite says it in English. A PostgreSQL server speaks the language it was set up in, so
it is understood by its five-letter states and only where it sends none, at the door, by
its words; what is not understood there is passed on as it was said.
"""

from __future__ import annotations

from typing import Protocol

from breadline.errors import RecordError
from breadline.language import noted, say

CHANGED = "append-only"  # the triggers say this word

_ENTRY_AGAIN = (
    noted("an entry of the book cannot be changed or deleted"),
    noted("a correction, which keeps both"),
    noted("Correct or withdraw the entry"),
)
# what the database says → what is wrong, what was expected, what to do
_SAYS: tuple[tuple[str, str, str, str], ...] = (
    (CHANGED, *_ENTRY_AGAIN),
    (
        "readonly database",
        noted("the book cannot be written: it is read-only"),
        noted("a file and a folder you may write to"),
        noted("Change the rights, or copy the book elsewhere"),
    ),
    (
        "disk is full",
        noted("the disk is full: what was saved before is there, and nothing more can be saved"),
        noted("free space"),
        noted("Free some space; if you were entering something, enter it again"),
    ),
    (
        "unable to open database file",
        noted("the book cannot be opened"),
        noted("a file and a folder you may write to"),
        noted("Check the path and the rights"),
    ),
    (
        "is locked",
        noted("another program is writing to the book"),
        noted("one writer at a time"),
        noted("Wait a moment and try again"),
    ),
    (
        "not a database",
        noted("it is not a book of Breadline"),
        noted("a SQLite file"),
        noted("Check the path"),
    ),
    (
        "malformed",
        noted("the book is damaged"),
        noted("a whole file"),
        noted("Keep this file as it is and go back to your last copy"),
    ),
    (
        "Could not decode to UTF-8",
        noted("the book is damaged: letters of an entry are none"),
        noted("a whole file"),
        noted(
            "Keep this file as it is and go back to your last copy; breadline verify says where it is damaged"
        ),
    ),
    (
        "disk I/O error",
        noted("the disk is full, or refuses to read or write"),
        noted("free space, and a disk in order"),
        noted("Free some space; if there is some, copy the book to another disk and open it there"),
    ),
)


UNREADABLE = ("not a database", "malformed", "Could not decode to UTF-8")


class Unreadable(RecordError):
    """A file whose pages cannot be read, or that is no book at all."""


def in_plain_words(where: str, said: str) -> RecordError | None:
    """The refusal as an error to be shown; None where it is not one a user can mend."""
    for sign, *words in _SAYS:
        if sign in said:
            kind = Unreadable if sign in UNREADABLE else RecordError
            return kind(where, *map(say, words))
    return None


_DAMAGED = (
    noted("the book is damaged"),
    noted("a whole database"),
    noted("Leave it as it is and restore your last pg_dump"),
)
_NOT_LET_IN = (
    noted("the server does not let this user in with this password"),
    noted("a user of this database and the right password"),
    noted("Keep the password in the file .pgpass, or in the address after the user: anna:PASSWORD@…"),
)
_GONE = (
    noted("the server has shut the connection"),
    noted("a server that runs"),
    noted("Wait a moment and try again"),
)

# state, or its first letters → what is wrong, what was expected, what to do
_STATES: tuple[tuple[str, tuple[str, str, str]], ...] = (
    ("23505", _ENTRY_AGAIN),  # SQLite's guards look for a row in the way before the key does
    (
        "25006",
        (
            noted("the book cannot be written: the server lets it be read only"),
            noted("a server that may be written"),
            noted("Ask whoever keeps the server; a copy that follows another server is read-only"),
        ),
    ),
    (
        "42501",
        (
            noted("this user may not do that in this database"),
            noted("a user who owns the book's tables"),
            noted("Ask whoever keeps the server for the right"),
        ),
    ),
    (
        "55P03",
        (
            noted("another program is writing to the book"),
            noted("one writer at a time"),
            noted("Wait a moment and try again"),
        ),
    ),
    (
        "53100",
        (
            noted("the server's disk is full: nothing more can be saved"),
            noted("free space"),
            noted("Free some space on the server; if you were entering something, enter it again"),
        ),
    ),
    (
        "53",
        (
            noted("the server has no room for another connection"),
            noted("fewer programs at once"),
            noted("Wait a moment and try again"),
        ),
    ),
    (
        "3D000",
        (
            noted("there is no such database on the server"),
            noted("a database that is there"),
            noted("Make it with: createdb --encoding=UTF8 --template=template0 NAME"),
        ),
    ),
    ("28", _NOT_LET_IN),
    ("57P", _GONE),
    (
        "58030",
        (
            noted("the server's disk refused to read or write"),
            noted("a disk in order"),
            noted("Ask whoever keeps the server"),
        ),
    ),
    ("XX001", _DAMAGED),
    ("XX002", _DAMAGED),
)

# what a server or the way to it says at the door, where no state comes with it
_AT_THE_DOOR: tuple[tuple[str, tuple[str, str, str]], ...] = (
    ("password", _NOT_LET_IN),
    (
        "pg_hba.conf",
        (
            noted("the server does not let this user in from this machine"),
            noted("a rule in its pg_hba.conf"),
            noted("Ask whoever keeps the server"),
        ),
    ),
    (
        "role",
        (
            noted("the server does not know this user"),
            noted("a user of the server"),
            noted("Check the name before the @ of the address"),
        ),
    ),
    (
        "database",
        (
            noted("there is no such database on the server"),
            noted("a database that is there"),
            noted("Make it with: createdb --encoding=UTF8 --template=template0 NAME"),
        ),
    ),
    (
        "",
        (
            noted("the server cannot be reached"),
            noted("a PostgreSQL server that runs"),
            noted("Check the address, and that the server runs and can be reached from here"),
        ),
    ),
)


class Refused(Protocol):
    """Where a refusal of a server was met."""

    @property
    def connection(self) -> object | None:
        """The connection; None where there was none yet."""

    @property
    def statement(self) -> str | None:
        """What was asked; None at the end of a transaction."""

    @property
    def is_disconnect(self) -> bool:
        """Whether the connection is lost."""


def of_server(where: str, refusal: BaseException, met: Refused) -> RecordError | None:
    """A server's refusal as an error to be shown; None where it is not one a user can mend."""
    said = str(refusal)
    state = str(getattr(refusal, "sqlstate", None) or "")
    if CHANGED in said:
        return RecordError(where, *map(say, _ENTRY_AGAIN))
    lost = met.is_disconnect or state.startswith(("08", "57P"))
    if lost and met.connection is not None:
        return _lost(where, ending=met.statement is None)
    for sign, words in _STATES:
        if state.startswith(sign):
            return RecordError(where, *map(say, words))
    if met.connection is None:
        words = next(words for sign, words in _AT_THE_DOOR if sign in said)
        line = " ".join(said.split())[-200:]
        return RecordError(where, f"{say(words[0])} ({line})", *map(say, words[1:]))
    return None


def _lost(where: str, ending: bool) -> RecordError:
    if ending:
        what = say("the connection was lost while the last entry was being saved; it may be there or not")
        return RecordError(where, what, "", say("Look whether it is there before you enter it again"))
    what = say("the connection to the server was lost; what was being entered was not saved")
    return RecordError(where, what, say("a server that can be reached"), say("Try again when it can"))
