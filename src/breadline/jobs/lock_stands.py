"""Whether a lock came in time: before the feed went on and before anything was known of the ends.

Strength counted before the draw is what a draw goes by, so it lies before the lock and is no part of
this. A lock that came later is set aside, in the verdict and in what a trial teaches alike: the trial then
counts as one that nobody locked. It is not refused, since a trial that nobody locked is not refused either,
and taking the lock out of a file must not do better than leaving it in.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime

from breadline.language import noted, say
from breadline.need.words import day_and_year
from breadline.trial.colonies import Ended

NOT_LOCKED = noted("nothing was locked beforehand: outcome, day and lines could have been chosen afterwards")


def local_day(at: datetime) -> date:
    """The day of a moment where this program runs, which is what its keeper calls it."""
    return at.astimezone().date()


def set_aside(locked_at: datetime | None, ended: Sequence[Ended], fed_on: Sequence[date] = ()) -> str:
    """Why a lock counts as none; "" where it stands, or there is none.

    Parameters
    ----------
    locked_at
        When it was made; None where it never was.
    ended
        What became of the colonies, each with its day: a reading, or a loss.
    fed_on
        Days on which feed was put on, where they are known.
    """
    if locked_at is None:
        return ""
    locked = local_day(locked_at)
    known = [end.graded_on for end in ended if end.graded_on is not None]
    if fed_on and min(fed_on) < locked:
        return say(
            "it was locked on {day}, after the first feed of {feed}",
            day=day_and_year(locked), feed=day_and_year(min(fed_on)),
        )  # fmt: skip
    if known and min(known) < locked:
        return say(
            "it was locked on {day}, after the first end was known on {end}",
            day=day_and_year(locked), end=day_and_year(min(known)),
        )  # fmt: skip
    return ""


def lock_words(locked_at: datetime | None, ended: Sequence[Ended], fed_on: Sequence[date] = ()) -> str:
    """What is to be said of the lock, in the verdict and wherever the trial is used; "" where it stands."""
    if locked_at is None:
        return say(NOT_LOCKED)
    why = set_aside(locked_at, ended, fed_on)
    if not why:
        return ""
    return say(
        "{why}, so it counts as not locked: outcome, day and lines could have been chosen afterwards", why=why
    )
