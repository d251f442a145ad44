"""From a share that survives a whole stage to a daily rate, and back along the stages.

Sources: fukuda1968.
"""

from __future__ import annotations

from breadline.errors import FigureError
from breadline.language import say


def daily_survival(alive_after: float, alive_before: float, days: float) -> float:
    """Daily survival [1/day] of a stage that leaves ``alive_after`` of ``alive_before`` in ``days``."""
    if not 0.0 < alive_after <= alive_before or days <= 0:
        raise FigureError(
            "survival",
            say(
                "{alive_after} of {alive_before} after {days} days",
                alive_after=alive_after,
                alive_before=alive_before,
                days=days,
            ),
            say("a share up to 1"),
        )
    return float((alive_after / alive_before) ** (1.0 / days))


def alive_after_stages(eggs: float, daily: tuple[float, ...], days: tuple[int, ...]) -> tuple[float, ...]:
    """Brood alive at the end of each stage, in the unit of ``eggs``."""
    alive, ends = eggs, []
    for rate, length in zip(daily, days, strict=True):
        alive *= rate**length
        ends.append(alive)
    return tuple(ends)
