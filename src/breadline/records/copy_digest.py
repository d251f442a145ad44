"""The digest that a copy carries of itself, so that rot on a stick is seen.

It lies in a table of the copy alone. It holds as long as nobody opened the copy as a book: then new
entries come in, and the file is in write-ahead logging from then on, which its header tells (SQLite
file format, 1.3).
"""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime
from pathlib import Path

from breadline.language import noted
from breadline.records.contents import COPY_DIGEST
from breadline.records.file_head import head_of

COPY_CHANGED = noted(
    "it no longer holds what it held when the copy was made: something in it was changed since"
)
ONLY_COPY = noted(
    "Take another copy. Where this is the only one: breadline export COPY all.json --as json, then "
    "breadline import NEW_BOOK all.json, and look its entries over"
)
NO_DIGEST = noted(
    "The copy carries no digest of itself (an older version made it, or it was opened as a book since): "
    "whether an entry was changed since it was made cannot be told."
)
_ROLLBACK = b"\x01\x01"  # versions for writing and reading of a file that is not in write-ahead logging


def keep_digest(copy: sqlite3.Connection, sha256: str) -> None:
    """Write the digest over all that a copy holds into it, in place of one that came along."""
    copy.execute("BEGIN")
    copy.execute(f"DROP TABLE IF EXISTS {COPY_DIGEST}")
    copy.execute(f"CREATE TABLE {COPY_DIGEST} (sha256 VARCHAR(64) NOT NULL, made_at VARCHAR NOT NULL)")
    made_at = datetime.now(UTC).isoformat(timespec="seconds")
    copy.execute(f"INSERT INTO {COPY_DIGEST} VALUES (?, ?)", (sha256, made_at))
    copy.execute("COMMIT")


def is_untouched(path: Path) -> bool:
    """Whether a file was never opened as a book since it was made as a copy."""
    return head_of(path, 20)[18:] == _ROLLBACK


def kept_digest(path: Path, connection: sqlite3.Connection) -> str | None:
    """The digest that a copy carries; None where it has none, or was opened as a book since."""
    if not is_untouched(path):
        return None
    there = connection.execute("SELECT 1 FROM sqlite_master WHERE name = ?", (COPY_DIGEST,)).fetchone()
    row = there and connection.execute(f"SELECT sha256 FROM {COPY_DIGEST}").fetchone()
    return str(row[0]) if row else None
