"""What a database says when it refuses, in words that tell what to do."""

from __future__ import annotations

from breadline.errors import RecordError

CHANGED = "append-only"  # the triggers say this word

# what the database says → what is wrong, what was expected, what to do
_SAYS: tuple[tuple[str, str, str, str], ...] = (
    (
        CHANGED,
        "an entry of the book cannot be changed or deleted",
        "a correction, which keeps both",
        "Correct or withdraw the entry",
    ),
    (
        "readonly database",
        "the book cannot be written: it is read-only",
        "a file and a folder you may write to",
        "Change the rights, or copy the book elsewhere",
    ),
    (
        "disk is full",
        "the disk is full; the last entry was not saved",
        "free space",
        "Free some space and enter it again",
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
        "disk I/O error",
        "the disk refused to read or write",
        "a disk in order",
        "Copy the book to another disk and open it there",
    ),
)


def in_plain_words(where: str, said: str) -> RecordError | None:
    """The refusal as an error to be shown; None where it is not one a user can mend."""
    for sign, what, expected, do in _SAYS:
        if sign in said:
            return RecordError(where, what, expected, do)
    return None
