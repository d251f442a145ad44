"""The one ruling that says yes, with its window and its end."""

from __future__ import annotations

from datetime import date, timedelta

from breadline.need.ladder.sight import Ruling, Sight, State
from breadline.need.ladder.window import feeding_window

WEEK = timedelta(weeks=1)
UNLESS = (
    "Fresh arcs of pollen round the brood and settled weather: then stop.",
    "A hive that already has an arc of fresh pollen: leave it out.",
)


def feed_ruling(sight: Sight, why: str, start: date | None = None) -> Ruling:
    """Yes, and why; from when, with the days that count for the goal, and when to stop.

    ``start`` is the day from which the yard may be short; None where it is today.
    """
    if start is None:
        state: State = "feed"
        sentence = f"Yes: {why}. {_from_today(sight)}"
        look, look_for = sight.today + WEEK, "what is left over, beetles, fresh arcs"
    else:
        state = "soon"
        sentence = f"Yes, soon: {why}. Feed from about {sight.day(start)}{_until(sight, start)}."
        look, look_for = min(sight.today + WEEK, start), "bread and pollen coming in"
    return Ruling("feed", state, sentence, look, look_for, UNLESS)


def _from_today(sight: Sight) -> str:
    window, until = feeding_window(sight), _until(sight, sight.today)
    if window is None or window.first > sight.today + WEEK:
        return f"Feed now{until}."
    if sight.first_pollen is not None and sight.first_pollen > window.last:
        until = ""  # the window closes before pollen could end it
    return f"Feeding for {sight.day(window.goal)} counts from now to {sight.day(window.last)}{until}."


def _until(sight: Sight, start: date) -> str:
    """When to stop; by the date of the first pollen only where the shortage begins before it."""
    short = sight.outlook.short_from if sight.outlook else None
    middle = (short.middle if short else None) or start
    if sight.first_pollen is None or sight.first_pollen <= max(start, middle):
        return "; stop when fresh arcs lie round the brood"
    return f"; stop when pollen is steady, about {sight.day(sight.first_pollen)}"
