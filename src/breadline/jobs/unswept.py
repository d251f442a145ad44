"""Python's search for rings of objects, put off while a large sheet is in hand, where it takes a fifth."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager
from threading import Lock

_mutex = Lock()
_at_work = 0


@contextmanager
def unswept() -> Iterator[None]:
    """No search until the last of those who asked is done; what nobody needs is let go of all the same."""
    global _at_work
    with _mutex:
        _at_work += 1
        gc.disable()
    try:
        yield
    finally:
        with _mutex:
            _at_work -= 1
            if not _at_work:
                gc.enable()
