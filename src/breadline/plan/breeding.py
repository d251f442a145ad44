"""Breeding arithmetic said aloud: what can still be bred by a date, and what is too late by itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from breadline.knowledge.shelf import Reader
from breadline.need.words import day_and_year
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, last_day

LATE = "too late for"


@dataclass(frozen=True)
class Breeding:
    """Counted back from the date."""

    on: date
    weeks_left: float  # [weeks]
    adults_from: date  # last day on which eggs become adults by then
    field_from: date  # the same for nurses and field bees
    two_from: date  # the same for two generations
    needs: str  # what the target asks for
    too_late: bool  # by itself: what it asks for can no longer be bred
    sentences: tuple[str, ...]
    end: date  # the last day on which a bee still counts
    last_start: date | None  # of a first round of which any bee counts; None where more than bees does
    also: str = ""  # what counts beside bees that are out on the date

    def late_words(self, first: date) -> str:
        """Why rounds from a day on are too late by themselves; empty where they are not."""
        if self.last_start is None or first <= self.last_start:
            return ""
        return f"{LATE} {day_and_year(self.end)}: no bee raised on it is out by then"

    def partly_late_words(self, first: date) -> str:
        """That no bee raised on feed from a day on is out by the date, and what still counts of it."""
        if not self.also or first <= self.adults_from:
            return ""
        return f"no bee raised on it is out by {day_and_year(self.on)}: only {self.also} counts"


def breeding(today: date, target: Target, reader: Reader) -> Breeding:
    """Three weeks for more adults, six for nurses and field bees, nine for two generations.

    Sources: ``ladder.weeks_adults``, ``ladder.weeks_field_bees``, ``ladder.weeks_two_generations``.
    """
    weeks = [reader.typical(f"ladder.weeks_{what}") for what in ("adults", "field_bees", "two_generations")]
    adults, field, two = (target.on - timedelta(weeks=w) for w in weeks)
    needs, last = _asks(target, adults, field)
    left = (target.on - today).days / 7.0
    said = [
        f"{weeks[0]:g} weeks for more adults (eggs laid by {day_and_year(adults)}), {weeks[1]:g} for nurses "
        f"and field bees ({day_and_year(field)}), {weeks[2]:g} for two generations ({day_and_year(two)})."
    ]
    late = today > last
    if late:
        said.append(f"Too late by itself: {needs} for {day_and_year(target.on)} come from eggs laid by "
                    f"{day_and_year(last)}, and {_weeks(left)} are left.")  # fmt: skip
    elif today > two:
        said.append("One generation can still be bred, not two: that adds bees, seldom several frames.")
    else:
        said.append(f"Time for two generations, if feeding goes on from {day_and_year(two)} at the latest.")
    end = last_day(target)
    last_start = None if isinstance(target, Splits | KeepAlive) else end - (target.on - adults)
    also = _also(target)
    return Breeding(target.on, left, adults, field, two, needs, late, tuple(said), end, last_start, also)


def _also(target: Target) -> str:
    """What of feeding counts though no bee raised on it is out on the date; empty where nothing does."""
    if isinstance(target, HoneyFlow):
        return "the end of the flow"
    return "its brood" if isinstance(target, Splits) else ""


def _asks(target: Target, adults: date, field: date) -> tuple[str, date]:
    if isinstance(target, HoneyFlow):
        return "field bees", field
    if isinstance(target, Splits):
        return "nurse bees", field
    return ("more bees" if isinstance(target, Frames) else "more adults"), adults


def _weeks(weeks: float) -> str:
    if weeks < 1.0:
        return "days"
    return f"about {round(weeks)} week{'' if round(weeks) == 1 else 's'}"
