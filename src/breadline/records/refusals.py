"""What a database says when it refuses, in words that tell what to do.

SQLite says it in English. A PostgreSQL server speaks the language it was set up in, so
it is understood by its five-letter states and only where it sends none, at the door, by
its words; what is not understood there is passed on as it was said.
"""

from __future__ import annotations

from typing import Protocol

from breadline.errors import RecordError

CHANGED = "append-only"  # the triggers say this word

_ENTRY_AGAIN = (
    "an entry of the book cannot be changed or deleted",
    "a correction, which keeps both",
    "Correct or withdraw the entry",
)
# what the database says → what is wrong, what was expected, what to do
_SAYS: tuple[tuple[str, str, str, str], ...] = (
    (CHANGED, *_ENTRY_AGAIN),
    (
        "readonly database",
        "the book cannot be written: it is read-only",
        "a file and a folder you may write to",
        "Change the rights, or copy the book elsewhere",
    ),
    (
        "disk is full",
        "the disk is full: what was saved before is there, and nothing more can be saved",
        "free space",
        "Free some space; if you were entering something, enter it again",
    ),
    (
        "unable to open database file",
        "the book cannot be opened",
        "a file and a folder you may write to",
        "Check the path and the rights",
    ),
    (
        "is locked",
        "another program is writing to the book",
        "one writer at a time",
        "Wait a moment and try again",
    ),
    ("not a database", "it is not a book of Breadline", "a SQLite file", "Check the path"),
    (
        "malformed",
        "the book is damaged",
        "a whole file",
        "Keep this file as it is and go back to your last copy",
    ),
    (
        "Could not decode to UTF-8",
        "the book is damaged: letters of an entry are none",
        "a whole file",
        "Keep this file as it is and go back to your last copy; breadline verify says where it is damaged",
    ),
    (
        "disk I/O error",
        "the disk is full, or refuses to read or write",
        "free space, and a disk in order",
        "Free some space; if there is some, copy the book to another disk and open it there",
    ),
)


def in_plain_words(where: str, said: str) -> RecordError | None:
    """The refusal as an error to be shown; None where it is not one a user can mend."""
    for sign, what, expected, do in _SAYS:
        if sign in said:
            return RecordError(where, what, expected, do)
    return None


_DAMAGED = ("the book is damaged", "a whole database", "Leave it as it is and restore your last pg_dump")
_NOT_LET_IN = (
    "the server does not let this user in with this password",
    "a user of this database and the right password",
    "Keep the password in the file .pgpass, or in the address after the user: anna:PASSWORD@…",
)
_GONE = ("the server has shut the connection", "a server that runs", "Wait a moment and try again")

# state, or its first letters → what is wrong, what was expected, what to do
_STATES: tuple[tuple[str, tuple[str, str, str]], ...] = (
    ("23505", _ENTRY_AGAIN),  # SQLite's guards look for a row in the way before the key does
    ("25006", ("the book cannot be written: the server lets it be read only", "a server that may be written",
               "Ask whoever keeps the server; a copy that follows another server is read-only")),
    ("42501", ("this user may not do that in this database", "a user who owns the book's tables",
               "Ask whoever keeps the server for the right")),
    ("55P03", ("another program is writing to the book", "one writer at a time",
               "Wait a moment and try again")),
    ("53100", ("the server's disk is full: nothing more can be saved", "free space",
               "Free some space on the server; if you were entering something, enter it again")),
    ("53", ("the server has no room for another connection", "fewer programs at once",
            "Wait a moment and try again")),
    ("3D000", ("there is no such database on the server", "a database that is there",
               "Make it with: createdb --encoding=UTF8 --template=template0 NAME")),
    ("28", _NOT_LET_IN),
    ("57P", _GONE),
    ("58030", ("the server's disk refused to read or write", "a disk in order",
               "Ask whoever keeps the server")),
    ("XX001", _DAMAGED),
    ("XX002", _DAMAGED),
)  # fmt: skip

# what a server or the way to it says at the door, where no state comes with it
_AT_THE_DOOR: tuple[tuple[str, tuple[str, str, str]], ...] = (
    ("password", _NOT_LET_IN),
    ("pg_hba.conf", ("the server does not let this user in from this machine", "a rule in its pg_hba.conf",
                     "Ask whoever keeps the server")),
    ("role", ("the server does not know this user", "a user of the server",
              "Check the name before the @ of the address")),
    ("database", ("there is no such database on the server", "a database that is there",
                  "Make it with: createdb --encoding=UTF8 --template=template0 NAME")),
    ("", ("the server cannot be reached", "a PostgreSQL server that runs",
          "Check the address, and that the server runs and can be reached from here")),
)  # fmt: skip


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
        return RecordError(where, *_ENTRY_AGAIN)
    lost = met.is_disconnect or state.startswith(("08", "57P"))
    if lost and met.connection is not None:
        return _lost(where, ending=met.statement is None)
    for sign, words in _STATES:
        if state.startswith(sign):
            return RecordError(where, *words)
    if met.connection is None:
        words = next(words for sign, words in _AT_THE_DOOR if sign in said)
        line = " ".join(said.split())[-200:]
        return RecordError(where, f"{words[0]} ({line})", *words[1:])
    return None


def _lost(where: str, ending: bool) -> RecordError:
    if ending:
        what = "the connection was lost while the last entry was being saved; it may be there or not"
        return RecordError(where, what, "", "Look whether it is there before you enter it again")
    what = "the connection to the server was lost; what was being entered was not saved"
    return RecordError(where, what, "a server that can be reached", "Try again when it can")
