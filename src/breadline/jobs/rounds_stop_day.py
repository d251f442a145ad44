"""From which day to look whether to stop, and by which count."""

from __future__ import annotations

from datetime import date

from breadline.jobs.rounds import RoundsAnswer, day_of
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.plan.ranked import Ranked
from breadline.plan.ruled_out import first_pollen


def stop_words(told: RoundsAnswer, at: Ranked) -> str:
    """From when to look whether to stop; empty where the rounds end before pollen."""
    on = stop_day(told, at)
    if on is None:
        return ""
    by = bloom_on(told, on)
    by = say(" ({bloom} by the calendar)", bloom=by) if by else ""
    return say(
        "From {day}{by} look at each visit whether to stop: a hive with a fresh arc of "
        "pollen gets no piece, and rounds end when pollen comes in steadily: {threshold} "
        "in 100 bees that come in carry it, counted at the entrance.",
        day=day_and_year(on),
        by=by,
        threshold=round(100 * told.threshold),
    )


def stop_day(told: RoundsAnswer, at: Ranked) -> date | None:
    """First reliable pollen, where rounds are still to come then."""
    if not at.plan.pieces:
        return None
    on = first_pollen(told.yard, told.answer.question.ensemble, told.reader)
    last = day_of(told, at.plan.pieces[-1].day)
    return on if on is not None and told.yard.today <= on <= last else None


def bloom_on(told: RoundsAnswer, on: date) -> str:
    """The strongest source of pollen by date on a day; empty where none is told by date."""
    there = [one for one in told.yard.bloom if one.start and one.end and _between(one.start, one.end, on)]
    best = max(there, key=lambda one: one.strength, default=None)
    return "" if best is None else f"{best.name[0].lower()}{best.name[1:]}"


def _between(start: tuple[int, int], end: tuple[int, int], on: date) -> bool:
    day = (on.month, on.day)
    return start <= day <= end if start <= end else day >= start or day <= end
