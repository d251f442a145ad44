"""The write-ahead log beside a book's file, read by itself: does it end where its last entry ends?

A database that opens a file leaves out, without a word, what comes after the first frame of its log that
does not fit its checksum. By the description of the SQLite file format (sqlite.org/fileformat2.html,
section 4, "The Write-Ahead Log"): a header of 32 bytes, then frames of 24 bytes and a page; a frame is of
this log where it repeats the header's salt, and holds where its checksum, which runs on from the header
through all frames before it, is right. A frame that ends a transaction says the file's size in pages.
"""

from __future__ import annotations

import struct
import time
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from breadline.errors import RecordError
from breadline.language import noted, say
from breadline.records.log_index import LogIndex, log_index, log_sum

HEAD, FRAME = 32, 24  # [bytes]
MAGIC = {0x377F0682: "<", 0x377F0683: ">"}  # the order of bytes in which the checksum is worked out
LOOKS, BETWEEN_S = 5, 0.2  # at a log that is being written to
DAMAGED = noted("the log of its last entries is damaged: what was written last may be missing")
SAVE_BOTH = noted(
    "Copy the book with its -wal file elsewhere and keep both as they are. What can be read is taken out "
    "by: breadline export BOOK all.json --as json, then breadline import NEW_BOOK all.json; hold that "
    "against your last copy and enter again what is missing"
)
UNFINISHED = noted(
    "Its log ends in the middle of an entry: the program or the machine stopped while that was written, or "
    "the -wal file was cut short on its way here. Look whether what was entered last is there."
)


@dataclass(frozen=True)
class LogEnd:
    """How a log ends."""

    damaged: bool = False  # an entry that was finished does not hold, nor what came after it
    unfinished: bool = False  # the last one was never finished, or is cut short


def refuse_damaged_log(book: Path) -> None:
    """Refuse a book's file whose log is damaged: whoever opens it to write leaves out what no longer holds.

    Errors
    ------
    RecordError
        If an entry of the log that was finished does not hold.
    """
    if log_end(book).damaged:
        raise RecordError(f"{book}-wal", say(DAMAGED), say("a whole log"), say(SAVE_BOTH))


def log_end(book: Path) -> LogEnd:
    """How the log of a book's file ends; sound where there is none. One in use is looked at again."""
    log = book.with_name(f"{book.name}-wal")
    for _ in range(LOOKS):
        before, index = _stamp(log), log_index(book)
        found = _end(log, index) if before else LogEnd()
        if found == LogEnd():
            return found
        time.sleep(BETWEEN_S)
        if (_stamp(log), log_index(book)) == (before, index):
            return found
    return LogEnd()  # somebody writes to it all the time, and so reads it


def _stamp(log: Path) -> tuple[int, int] | None:
    if not log.is_file() or not log.stat().st_size:
        return None
    return log.stat().st_mtime_ns, log.stat().st_size


def _end(log: Path, index: LogIndex | None) -> LogEnd:
    with log.open("rb") as file:
        head = file.read(HEAD)
        order = MAGIC.get(int.from_bytes(head[:4], "big"))
        if len(head) < HEAD:
            return LogEnd(unfinished=True)
        if order is None or log_sum(order, (0, 0), head[:24]) != struct.unpack(">II", head[24:]):
            return LogEnd(damaged=any(head))
        size = int.from_bytes(head[8:12], "big")
        frames = iter(lambda: file.read(FRAME + size), b"")
        counted = index.frames if index is not None and index.salt == head[16:24] else None
        return _of_frames(order, head, size, frames, counted)


def _of_frames(order: str, head: bytes, size: int, frames: Iterator[bytes], counted: int | None) -> LogEnd:
    """How frames end, of which by the log's index ``counted`` are written; None where it has none."""
    so_far, salt = struct.unpack(">II", head[24:]), head[16:24]
    holds, finished, sound, beyond = True, True, 0, 0
    for frame in frames:
        commit, ours = frame[4:8] != bytes(4), frame[8:16] == salt
        if holds and ours and len(frame) == FRAME + size:
            so_far = log_sum(order, log_sum(order, so_far, frame[:8]), frame[FRAME:])
            if so_far == struct.unpack(">II", frame[16:24]):
                finished, sound = commit, sound + 1
                beyond += commit and counted is not None and sound > counted
                continue
        if len(frame) < FRAME + size:
            return LogEnd(unfinished=holds and (ours or len(frame) < 16))
        finished &= not (holds and ours)
        holds = False
        left_behind = counted is not None and sound >= counted and beyond <= 1
        if ours and commit and not left_behind:  # what a transaction that was given up leaves has no end
            return LogEnd(damaged=True)
    return LogEnd(unfinished=not finished)
