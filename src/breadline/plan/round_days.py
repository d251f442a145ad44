"""To which round of a plan a day belongs: the one rule for what was fed, what is overdue and what is left."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

NEAR = 5  # days off its day at which a round still counts as given [d]
MOST_LATE = 14  # half of the longest interval that is proposed [d]


def nearer_until(days: Sequence[date], k: int) -> date:
    """The last day that is no nearer to the next round than to round ``k``; ``days`` in order.

    After the last round, which has no next one, as long as the interval before it says.
    """
    if len(days) < 2:
        return days[k] + timedelta(days=NEAR)
    first, after = (days[k], days[k + 1]) if k + 1 < len(days) else (days[k - 1], days[k])
    half = min(MOST_LATE, (after - first).days // 2)
    return days[k] + timedelta(days=half if k + 1 < len(days) else max(NEAR, half))


def counts_until(days: Sequence[date], k: int) -> date:
    """The last day on which feed may count for round ``k``."""
    return max(nearer_until(days, k), days[k] + timedelta(days=NEAR))


def may_count(days: Sequence[date], k: int, on: date) -> bool:
    """Whether feed of a day may count for round ``k``: some days early, or late while no other is nearer."""
    return days[k] - timedelta(days=NEAR) <= on <= counts_until(days, k)


def nearest_round(days: Sequence[date], on: date) -> int | None:
    """Which round a day is nearest to, of two alike the earlier; None where it belongs to none."""
    near = [k for k in range(len(days)) if may_count(days, k, on)]
    return min(near, key=lambda k: (abs((on - days[k]).days), k), default=None)
