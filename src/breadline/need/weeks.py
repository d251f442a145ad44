"""Sums over the days around each day, a day at a time."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator

import numpy as np

from breadline.span import FloatArray


def sums(values: FloatArray, first: np.ndarray, end: np.ndarray) -> Iterator[FloatArray]:
    """For each day the sum of ``values`` from its ``first`` day to the one before its ``end``.

    Parameters
    ----------
    values
        Shape (days, members). [whatever the unit]
    first, end
        Days, neither ever falling, shape (days,). [d]

    Yields
    ------
    FloatArray
        In the unit of ``values``, shape (members,). As differences of one running total, of
        which only the days between are kept: a whole ensemble's would be written to memory
        and read back several times.
    """
    running, oldest = deque([np.zeros(values.shape[1])]), 0
    for a, b in zip(first.tolist(), end.tolist(), strict=True):
        while oldest + len(running) <= b:
            running.append(running[-1] + values[oldest + len(running) - 1])
        while oldest < a:
            running.popleft()
            oldest += 1
        yield running[b - oldest] - running[0]


def ahead(days: int, window: int) -> tuple[np.ndarray, np.ndarray]:
    """First day and end of the ``window`` that begins on each day; at the end the last whole one. [d]"""
    first = np.minimum(np.arange(days), max(days - window, 0))
    return first, np.minimum(first + window, days)


def around(days: int) -> tuple[np.ndarray, np.ndarray]:
    """First day and end of the seven days around each day, fewer at the ends. [d]"""
    return np.maximum(np.arange(days) - 3, 0), np.minimum(np.arange(days) + 4, days)
