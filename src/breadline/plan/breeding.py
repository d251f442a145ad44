"""Breeding arithmetic said aloud: what can still be bred by a date, and what is too late by itself."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from breadline.knowledge.shelf import Reader
from breadline.language import noted, say, say_as, say_counted
from breadline.need.words import day_and_year
from breadline.plan.targets import Frames, HoneyFlow, KeepAlive, Splits, Target, last_day


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
        return self.late_reason

    @property
    def late_reason(self) -> str:
        """Why a plan of which no bee counts is struck out."""
        return say("too late for {day}: no bee raised on it is out by then", day=day_and_year(self.end))

    def partly_late_words(self, first: date) -> str:
        """That no bee raised on feed from a day on is out by the date, and what still counts of it."""
        if not self.also or first <= self.adults_from:
            return ""
        what = say(self.also)
        return say(
            "no bee raised on it is out by {day}: only {what} counts", day=day_and_year(self.on), what=what
        )


def breeding(today: date, target: Target, reader: Reader) -> Breeding:
    """Three weeks for more adults, six for nurses and field bees, nine for two generations.

    Sources: ``ladder.weeks_adults``, ``ladder.weeks_field_bees``, ``ladder.weeks_two_generations``.
    """
    weeks = [reader.typical(f"ladder.weeks_{what}") for what in ("adults", "field_bees", "two_generations")]
    adults, field, two = (target.on - timedelta(weeks=w) for w in weeks)
    needs, last = _asks(target, adults, field)
    left = (target.on - today).days / 7.0
    said = [
        say(
            "{weeks:g} weeks for more adults (eggs laid by {day}), {weeks2:g} for nurses and "
            "field bees ({day2}), {weeks3:g} for two generations ({day3}).",
            weeks=weeks[0],
            day=day_and_year(adults),
            weeks2=weeks[1],
            day2=day_and_year(field),
            weeks3=weeks[2],
            day3=day_and_year(two),
        )
    ]
    late = today > last
    if late:
        said.append(
            say(
                "Too late by itself: {needs} for {day} come from eggs laid by {day2}, and {weeks} are left.",
                needs=needs,
                day=day_and_year(target.on),
                day2=day_and_year(last),
                weeks=_weeks(left),
            )
        )
    elif today > two:
        said.append(say("One generation can still be bred, not two: that adds bees, seldom several frames."))
    else:
        said.append(
            say(
                "Time for two generations, if feeding goes on from {day} at the latest.",
                day=day_and_year(two),
            )
        )
    end = last_day(target)
    last_start = None if isinstance(target, Splits | KeepAlive) else end - (target.on - adults)
    also = _also(target)
    return Breeding(target.on, left, adults, field, two, needs, late, tuple(said), end, last_start, also)


def _also(target: Target) -> str:
    """What of feeding counts though no bee raised on it is out on the date; empty where nothing does."""
    if isinstance(target, HoneyFlow):
        return noted("the end of the flow")
    return noted("its brood") if isinstance(target, Splits) else ""


def _asks(target: Target, adults: date, field: date) -> tuple[str, date]:
    if isinstance(target, HoneyFlow):
        return say("field bees"), field
    if isinstance(target, Splits):
        return say("nurse bees"), field
    return (say("more bees") if isinstance(target, Frames) else say("more adults")), adults


def _weeks(weeks: float) -> str:
    if weeks < 1.0:
        return say_as("are left", "days")
    return say_counted("about {n} week", "about {n} weeks", round(weeks))
