"""Turns among the threads of one program: first come, first served.

SQLite lets whoever asks at the right moment write next, and asks again ever more rarely
for one who waits, so that of eight phones that send at once one may wait for ever.
"""

from __future__ import annotations

from collections import deque
from threading import Event, Lock


class Turns:
    """One thread at a time, in the order in which they came."""

    def __init__(self) -> None:
        self._mutex = Lock()
        self._waiting: deque[Event] = deque()
        self._taken = False

    def take(self, patience_s: float) -> bool:
        """Wait for one's turn, ``patience_s`` at most [s]; whether it came."""
        with self._mutex:
            if not self._taken:
                self._taken = True
                return True
            mine = Event()
            self._waiting.append(mine)
        if mine.wait(patience_s):
            return True
        with self._mutex:
            if mine.is_set():  # it came at the last moment
                return True
            self._waiting.remove(mine)
            return False

    def pass_on(self) -> None:
        """Let the next one."""
        with self._mutex:
            if self._waiting:
                self._waiting.popleft().set()
            else:
                self._taken = False
