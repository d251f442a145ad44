"""The one ruling that says yes, with its window and its end."""

from __future__ import annotations

from datetime import timedelta

from breadline.need.ladder.sight import Ruling, Sight, State
from breadline.need.ladder.window import feeding_window
from breadline.need.words import day

WEEK = timedelta(weeks=1)


def feed_ruling(sight: Sight, why: str, state: State) -> Ruling:
    """Yes, and why; with the days that count for the goal, and when to stop."""
    window = feeding_window(sight)
    until = _until(sight)
    if state == "soon":
        sentence = f"Yes, soon: {why}. Have feed ready{until}."
    elif window is not None and window.first <= sight.today + WEEK:
        first, last = max(window.first, sight.today), window.last
        counts = f"Feeding for {day(window.goal)} counts from {day(first)} to {day(last)}"
        sentence = f"Yes: {why}. {counts}{until}."
    else:
        sentence = f"Yes: {why}. Feed now{until}."
    return Ruling(
        "feed",
        state,
        sentence,
        sight.today + WEEK,
        "bread and pollen coming in" if state == "soon" else "what is left over, beetles, fresh arcs",
        (
            "Fresh arcs of pollen round the brood and settled weather: then stop.",
            "A hive that already has an arc of fresh pollen: leave it out.",
        ),
    )


def _until(sight: Sight) -> str:
    if sight.first_pollen is None or sight.first_pollen < sight.today:
        return "; stop when fresh arcs lie round the brood"
    return f"; stop when pollen is steady, about {day(sight.first_pollen)}"
