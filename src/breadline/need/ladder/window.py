"""Breeding arithmetic: when feed has to go on to be bees by a date."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breadline.language import noted, say
from breadline.need.ladder.sight import Known, Reason, Sight
from breadline.need.ladder.timing import TROPIC
from breadline.need.words import half_frames

PURPOSE = {
    "frames": noted("the frame count"),
    "splits": noted("splits"),
    "nectar_flow": noted("the nectar flow"),
    "winter_bees": noted("winter bees"),
    "keep_alive": noted("keeping them alive"),
}


@dataclass(frozen=True)
class Window:
    """The days on which feed still turns into the bees that are wanted."""

    first: date  # two generations before the goal
    last: date  # after this the brood comes out, or matures, too late
    goal: date
    before_winter: bool = False  # the bees for it are raised before the winter rest


def feeding_window(sight: Sight) -> Window | None:
    """The window of the yard's goal; None without a date, and once it has closed."""
    window = goal_window(sight)
    return window if window is not None and sight.today <= window.last else None


def goal_window(sight: Sight) -> Window | None:
    """Counted back from the goal: two generations, to nurses and field bees or to adults."""
    goal = sight.yard.goal
    if goal is None or goal.on is None or goal.aim not in ("frames", "splits", "nectar_flow"):
        return None
    last = "ladder.weeks_adults" if goal.aim == "frames" else "ladder.weeks_field_bees"
    window = Window(
        goal.on - sight.weeks("ladder.weeks_two_generations"), goal.on - sight.weeks(last), goal.on
    )
    return _before_winter(window, sight) or window


def _before_winter(window: Window, sight: Sight) -> Window | None:
    """The window of a goal at the end of winter, whose own window falls into the winter rest.

    Queens hardly lay then, so its bees are raised before the rest.
    Sources: [ars_september]; the weeks are ``ladder.made_before_winter_*`` on the shelf.
    """
    if abs(sight.yard.place.latitude) < TROPIC:
        return None
    month = 12 if sight.yard.place.latitude > 0 else 6
    for year in (window.last.year - 1, window.last.year):
        shortest = date(year, month, 21)
        rest_ends = shortest + sight.weeks("ladder.winter_rest_ends")
        last = shortest - sight.weeks("ladder.made_before_winter_last")
        if last <= window.last <= rest_ends:
            return Window(shortest - sight.weeks("ladder.made_before_winter_first"), last, window.goal, True)
    return None


def goal_reason(sight: Sight) -> Reason | None:
    """How the goal's date stands to today; None without one."""
    window, goal = goal_window(sight), sight.yard.goal
    if window is None or goal is None or window.goal < sight.today:
        return None
    wanted = say("{half_frames} frames for ", half_frames=half_frames(goal.frames)) if goal.frames else ""
    head = say(
        "{wanted}{purpose} on {day}",
        wanted=wanted,
        purpose=say(PURPOSE[goal.aim]),
        day=sight.day(window.goal),
    )
    state: Known = "ok"
    if window.before_winter:
        made = say(
            "its bees are raised {day_range}, before queens rest",
            day_range=sight.day_range(window.first, window.last),
        )
        state = "ok" if sight.today <= window.last else "bad"
        tail = (
            made if state == "ok" else say("{made}; feed now comes late for it and only tops up", made=made)
        )
    elif sight.today > window.last:
        state, tail = (
            "bad",
            say("too late for that date: feed counted until {day}", day=sight.day(window.last)),
        )
    else:
        tail = say("feed for it counts {day_range}", day_range=sight.day_range(window.first, window.last))
    return Reason("Goal", f"{head[0].upper()}{head[1:]}; {tail}", state)
