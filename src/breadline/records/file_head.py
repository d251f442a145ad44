"""The first bytes of a database's file, read so that no lock of this program is lost.

On POSIX the first descriptor of a file that a program closes takes with it every lock that the program
holds on that file, those of its other connections too (SQLite, "How To Corrupt An SQLite Database File",
2.2). Another program that ends then takes itself for the last one and removes the log under them.
"""

from __future__ import annotations

import os
from collections import OrderedDict
from contextlib import suppress
from os import open as descriptor_of
from pathlib import Path
from threading import Lock

HELD = 64  # files whose descriptor stays open; a program looks at one book and at some copies
_ONE = Lock()
_OPEN: OrderedDict[tuple[int, int], int] = OrderedDict()  # descriptor of each device and file number


def head_of(path: Path, size: int) -> bytes:
    """The first bytes of a file.

    Errors
    ------
    OSError
        If it is not there or cannot be read.
    """
    if os.name == "nt":  # where a lock is its handle's own
        with path.open("rb") as file:
            return file.read(size)
    with _ONE:
        return os.pread(_descriptor(path), size, 0)


def _descriptor(path: Path) -> int:
    _let_go()
    there = path.stat()
    held = _OPEN.get((there.st_dev, there.st_ino))
    if held is None:
        held = descriptor_of(path, os.O_RDONLY)
        opened = os.fstat(held)
        _OPEN[opened.st_dev, opened.st_ino] = held
    return held


def _let_go() -> None:
    """Close what was deleted since, and the oldest where there are very many."""
    gone = [key for key, held in _OPEN.items() if os.fstat(held).st_nlink == 0]
    for key in gone or list(_OPEN)[: max(0, len(_OPEN) - HELD + 1)]:
        with suppress(OSError):
            os.close(_OPEN.pop(key))
