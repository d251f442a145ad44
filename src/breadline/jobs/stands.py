"""How a book stands, in a word that changes with any entry that an answer can go by."""

from __future__ import annotations

from breadline.records import newest
from breadline.records.address import BookAt
from breadline.records.engine import is_there, only_reading


def stands_as(at: BookAt) -> str:
    """The word; "" where there is no book yet."""
    if not is_there(at):
        return ""
    with only_reading(at) as session:
        return newest.everything(session)
