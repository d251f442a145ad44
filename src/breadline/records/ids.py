"""Keys of the book: UUID version 7 (RFC 9562, section 5.7), sorted by the moment they were made.

Python has its own only from 3.14. Keys made within one millisecond stay in order
through a 42-bit counter over the first random bits (RFC 9562, section 6.2,
method 1); the last 32 bits are random.
"""

from __future__ import annotations

import secrets
import threading
import time
from collections.abc import Callable
from uuid import UUID

_COUNTER_BITS = 42
_TAIL_BITS = 32


def laid_out(unix_ms: int, rand_a: int, rand_b: int) -> UUID:
    """A version 7 UUID from its three fields.

    Parameters
    ----------
    unix_ms
        Time since 1970-01-01 UTC [ms], 48 bits.
    rand_a, rand_b
        The 12 bits after the version and the 62 bits after the variant.
    """
    if not (0 <= unix_ms < 1 << 48 and 0 <= rand_a < 1 << 12 and 0 <= rand_b < 1 << 62):
        raise ValueError("a field of a UUID does not fit its bits")
    return UUID(int=unix_ms << 80 | 0x7 << 76 | rand_a << 64 | 0b10 << 62 | rand_b)


def made_ms(key: UUID) -> int:
    """The moment in a version 7 UUID, since 1970-01-01 UTC [ms]."""
    return key.int >> 80


class Keys:
    """A source of keys, each larger than the one before, even when the clock steps back."""

    def __init__(self, clock_ms: Callable[[], int] = lambda: time.time_ns() // 1_000_000) -> None:
        self._clock_ms = clock_ms
        self._lock = threading.Lock()
        self._ms = -1
        self._counter = 0

    def next(self) -> UUID:
        """The next key."""
        with self._lock:
            ms = self._clock_ms()
            if ms > self._ms:
                self._ms, self._counter = ms, _fresh_counter()
            else:
                self._counter += 1
                if self._counter >= 1 << _COUNTER_BITS:  # full: borrow the next millisecond
                    self._ms, self._counter = self._ms + 1, _fresh_counter()
            ms, counter = self._ms, self._counter
        tail = secrets.randbits(_TAIL_BITS)
        low_bits = counter & ((1 << 30) - 1)
        return laid_out(ms, counter >> 30, low_bits << _TAIL_BITS | tail)

    def many(self, count: int) -> list[UUID]:
        """The next keys, in order; the clock is read once for them all."""
        first = self.next()
        tails = secrets.token_bytes(4 * count)
        with self._lock:
            if self._counter + count >= 1 << _COUNTER_BITS:
                self._ms, self._counter = self._ms + 1, _fresh_counter()
            ms, counter = self._ms, self._counter
            self._counter += count
        top = ms << 80 | 0x7 << 76 | 0b10 << 62
        keys = [first]
        for number in range(1, count):
            here = counter + number
            tail = int.from_bytes(tails[4 * number : 4 * number + 4], "big")
            low = (here & ((1 << 30) - 1)) << _TAIL_BITS | tail
            keys.append(UUID(int=top | here >> 30 << 64 | low))
        return keys[:count]


def _fresh_counter() -> int:
    """A random start with its top bit clear, which leaves room to count."""
    return secrets.randbits(_COUNTER_BITS - 1)


_keys = Keys()


def new_id() -> UUID:
    """A new key, larger than every key this process made before."""
    return _keys.next()


def new_ids(count: int) -> list[UUID]:
    """Many new keys, each larger than the one before and than every key this process made before."""
    return _keys.many(count)
