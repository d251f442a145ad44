"""The one ruling that says yes, with its window and its end."""

from __future__ import annotations

from datetime import date, timedelta

from breadline.language import noted, say
from breadline.need.ladder.sight import Ruling, Sight, State
from breadline.need.ladder.timing import pollen_ends_it
from breadline.need.ladder.window import feeding_window

WEEK = timedelta(weeks=1)
UNLESS = (
    noted("Fresh arcs of pollen round the brood and settled weather: then stop."),
    noted("A hive that already has an arc of fresh pollen: leave it out."),
)


def feed_ruling(sight: Sight, why: str, start: date | None = None) -> Ruling:
    """Yes, and why; from when, with the days that count for the goal, and when to stop.

    ``start`` is the day from which the yard may be short; None where it is today.
    """
    if start is None:
        state: State = "feed"
        sentence = say("Yes: {why}. {from_today}", why=why, from_today=_from_today(sight))
        look, look_for = sight.today + WEEK, say("what is left over, beetles, fresh arcs")
    else:
        state = "soon"
        sentence = say(
            "Yes, soon: {why}. Feed from about {day}{until}.",
            why=why,
            day=sight.day(start),
            until=_until(sight, start),
        )
        look, look_for = min(sight.today + WEEK, start), say("bread and pollen coming in")
    return Ruling("feed", state, sentence, look, look_for, tuple(say(one) for one in UNLESS))


def _from_today(sight: Sight) -> str:
    window, until = feeding_window(sight), _until(sight, sight.today)
    if window is None or window.first > sight.today + WEEK:
        return say("Feed now{until}.", until=until)
    if sight.first_pollen is not None and sight.first_pollen > window.last:
        until = ""  # the window closes before pollen could end it
    return say(
        "Feeding for {day} counts from now to {day2}{until}.",
        day=sight.day(window.goal),
        day2=sight.day(window.last),
        until=until,
    )


def _until(sight: Sight, start: date) -> str:
    """When to stop; by the date of the first pollen only where the shortage begins before it.

    A dearth in season is over with the next bloom, long before the first pollen of the next year.
    """
    short = sight.outlook.short_from if sight.outlook else None
    middle = (short.middle if short else None) or start
    before = sight.first_pollen is not None and sight.first_pollen > max(start, middle)
    if sight.first_pollen is None or not before or not pollen_ends_it(sight):
        return say("; stop when fresh arcs lie round the brood")
    return say("; stop when pollen is steady, about {day}", day=sight.day(sight.first_pollen))
