"""Of which day a record is where the clock of its phone was wrong, and perhaps put right before it was sent.

A phone tells its time when it sends, so that we see how far it is ahead of ours then. Each record tells
how far it was ahead when the phone had last reached us before the record was made. Where the two do
not agree the clock was set in between, before or after the record: what lies before that meeting or
after now cannot be; where both ways can be and the days differ, a person is asked.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from breadline.language import noted
from breadline.records.whys import asking

FEW_SECONDS = 120.0  # less than this between two clocks is the way there [s]
NO_DAY = asking(noted("the clock of the phone was wrong when this was entered: of which day is it?"))


@dataclass(frozen=True)
class Met:
    """The last time that a phone reached us before a record was made.

    Parameters
    ----------
    ahead_s
        Its clock minus ours. [s]
    met
        When that was, by our clock.
    """

    ahead_s: float
    met: datetime


@dataclass(frozen=True)
class Clocked:
    """How far ahead the clock was when a record was made [s], and why a person has to say its day."""

    ahead_s: float
    doubt: str = ""


def clocked(seen_at: datetime, sending_s: float, known: Met | None, now: datetime) -> Clocked:
    """How far a phone's clock was ahead when a record was made.

    ``seen_at`` is by that clock, ``sending_s`` how far it was ahead when the record was sent [s].
    """
    if known is None:
        return Clocked(sending_s)
    both = (sending_s, _or_none(known.ahead_s))
    could = [ahead for ahead in both if _can_be(seen_at, ahead, known.met, now)]
    if not could:
        return Clocked(sending_s, NO_DAY)
    days = sorted({(seen_at - timedelta(seconds=ahead)).date() for ahead in could})
    if len(days) == 1:
        return Clocked(could[0])
    asks = noted("the clock of the phone was set before this was sent: is it of {day} or of {other}?")
    why = asking(asks, day=days[0], other=days[1])
    return Clocked(could[0], why)


def _or_none(ahead_s: float) -> float:
    return ahead_s if abs(ahead_s) > FEW_SECONDS else 0.0


def _can_be(seen_at: datetime, ahead_s: float, met: datetime, now: datetime) -> bool:
    few = timedelta(seconds=FEW_SECONDS)
    return met - few <= seen_at - timedelta(seconds=ahead_s) <= now + few
