"""The index of a book's log, in the -shm file beside it: as far as programs at work on the book take its log.

By "The WAL-Index File Format" of the SQLite documentation (sqlite.org/walformat.html, section 2): a header of
48 bytes, held twice, in the machine's own order of bytes but for the salt, which is that of the log's header.
"""

from __future__ import annotations

import os
import struct
import sys
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from threading import Lock

HEAD = 48  # [bytes]
AT_WORK = 128  # the byte on which every connection holds a lock as long as it is open (SQLite, os_unix.c)
ORDER = "<" if sys.byteorder == "little" else ">"
_OPEN: dict[tuple[int, int], int] = {}  # by device and inode
_TURN = Lock()  # pages are asked for by several threads


@dataclass(frozen=True)
class LogIndex:
    """How many frames of which log are taken as written."""

    frames: int
    salt: bytes


def log_index(book: Path) -> LogIndex | None:
    """The index of a log that somebody works with; None where nobody does, or it is just being written."""
    both = b""
    with suppress(OSError):
        both = _read(book.with_name(f"{book.name}-shm"))
    head = both[:HEAD]
    if len(both) < 2 * HEAD or head != both[HEAD:]:
        return None
    if log_sum(ORDER, (0, 0), head[:40]) != struct.unpack("=II", head[40:]):
        return None
    return LogIndex(struct.unpack("=I", head[16:20])[0], head[32:40])


def log_sum(order: str, so_far: tuple[int, int], content: bytes) -> tuple[int, int]:
    """The checksum of the file format, 4.2: two sums over pairs of 32-bit numbers."""
    one, two = so_far
    words = struct.unpack(f"{order}{len(content) // 4}I", content)
    for first, second in zip(words[::2], words[1::2], strict=True):
        one = (one + first + two) & 0xFFFFFFFF
        two = (two + second + one) & 0xFFFFFFFF
    return one, two


def _read(path: Path) -> bytes:
    """The first bytes of a file in use; it is never closed while it is there.

    To close it would take away every lock that this program holds on it (fcntl(2), "Record locking").
    """
    if sys.platform == "win32":  # locks are of the handle there
        return path.read_bytes()[: 2 * HEAD]
    with _TURN:
        file = _opened(path)
        return os.pread(file, 2 * HEAD, 0) if _in_use(file) else b""


def _opened(path: Path) -> int:
    """The one handle of this program on it; those of files that are gone are closed."""
    for key in [key for key, file in _OPEN.items() if not os.fstat(file).st_nlink]:
        os.close(_OPEN.pop(key))
    seen = path.stat()
    file = _OPEN.get((seen.st_dev, seen.st_ino))
    if file is None:
        file = os.open(path, os.O_RDONLY | os.O_CLOEXEC)
        own = os.fstat(file)
        _OPEN[own.st_dev, own.st_ino] = file
    return file


def _in_use(file: int) -> bool:
    """Whether a connection of any program, this one too, holds its lock.

    An index that was left behind by a power cut, or by who read a damaged log, is no witness. Where the
    system cannot be asked it counts as in use: this program reads a damaged log in a copy only.
    """
    if sys.platform != "linux":
        return True
    import fcntl

    told = "hhqqi0q"  # struct flock: type, whence, start, length, process
    asked = struct.pack(told, fcntl.F_WRLCK, os.SEEK_SET, AT_WORK, 1, 0)
    return bool(struct.unpack(told, fcntl.fcntl(file, fcntl.F_OFD_GETLK, asked))[0] != fcntl.F_UNLCK)
