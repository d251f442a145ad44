"""Counts of hives that a book holds, and for how long they say which hives are strong."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breadline.language import say
from breadline.need.words import counted, day_and_year

LASTS = "check_group.counts_last"  # of the figures [d]


@dataclass(frozen=True)
class Counts:
    """The newest counts of some hives.

    Parameters
    ----------
    hives
        How many there are.
    days
        Of the newest count of each hive that has one.
    today
        The day on which it is asked.
    lasts
        Age after which a count no longer says which hives are strong. [d]
    """

    hives: int
    days: tuple[date, ...]
    today: date
    lasts: float

    @property
    def of_all(self) -> bool:
        """Whether every hive has one."""
        return 0 < self.hives == len(self.days)

    @property
    def oldest_d(self) -> int:
        """Age of the oldest [d]."""
        return (self.today - min(self.days)).days

    @property
    def old(self) -> bool:
        """Whether the oldest is older than counts last."""
        return self.oldest_d > self.lasts

    @property
    def age(self) -> str:
        """Of which days they are, and how old."""
        first, last = min(self.days), max(self.days)
        newest = (self.today - last).days
        of = (
            day_and_year(last)
            if first == last
            else say("{first} to {last}", first=day_and_year(first), last=day_and_year(last))
        )
        if self.oldest_d == newest:
            if not newest:
                return say("of {days}, today", days=of)
            return say("of {days}, {age} old", days=of, age=counted(newest, "day"))
        return say("of {days}, {low} to {high} old", days=of, low=newest, high=counted(self.oldest_d, "day"))

    @property
    def grade_again(self) -> str:
        """That they are too old, and what to do."""
        return say(
            "The counts in the book are {age}; after {lasts:.0f} days hives have changed places too much for "
            "sets of like strength. Grade each hive again before the draw.",
            age=self.age, lasts=self.lasts,
        )  # fmt: skip
