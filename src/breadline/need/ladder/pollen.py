"""The rung that the rest of the ladder leads to: does pollen carry the brood?"""

from __future__ import annotations

from datetime import date, timedelta

from breadline.language import say
from breadline.need.ladder.feed_now import feed_ruling
from breadline.need.ladder.forecast_balance import by_outlook, without_a_fit
from breadline.need.ladder.sight import Finding, Reason, Ruling, Sight
from breadline.need.ladder.window import goal_reason
from breadline.need.words import counted, days_or_weeks, frames_against, frames_of

WEEK = timedelta(weeks=1)


def pollen_balance(sight: Sight) -> Finding:
    """What is stored and what comes in against what the brood needs.

    Sources: [oliver2014] and [patty_label] for the stop rule; [mcafee2020] for
    winter bees; [texas_supplier] for half a frame of bread.
    """
    reasons = [_bread(sight), _pollen(sight)]
    goal = goal_reason(sight)
    if goal is not None:
        reasons.append(goal)
    ruling, sources = _ruling(sight)
    waits = ruling.answer == "look_again" and ruling.state == "cannot_tell"
    return Finding("pollen", tuple(reasons), ruling, waits, sources)


def _bread_low(sight: Sight) -> bool:
    return sight.bread_frames < sight.figures.typical("ladder.bread_frame_low")


def _bread(sight: Sight) -> Reason:
    low = sight.figures.typical("ladder.bread_frame_low")
    said = frames_against(sight.bread_frames, low, "bread", parts=4)
    said = said[0].upper() + said[1:]
    lasts = sight.outlook.lasts_days if sight.outlook else None
    if lasts is not None:
        said += say(
            ", enough for {days_or_weeks} if no pollen came in",
            days_or_weeks=days_or_weeks(lasts.low, lasts.high),
        )
    return Reason("Bread", said, "bad" if _bread_low(sight) else "ok")


def _pollen(sight: Sight) -> Reason:
    forage = sight.yard.forage
    arcs = {
        True: say(", fresh arcs round the brood"),
        False: say(", no fresh arcs round the brood"),
        None: "",
    }
    tail = arcs[forage.fresh_arcs] or say("; look for a fresh arc round the brood")
    if forage.coming_in == "plenty":
        return Reason(
            "Pollen",
            say("Plenty coming in{tail}", tail=tail),
            "unknown" if forage.fresh_arcs is None else "ok",
        )
    if forage.coming_in == "little":
        return Reason(
            "Pollen", say("A little coming in{tail}", tail=tail), "ok" if forage.fresh_arcs else "bad"
        )
    if forage.coming_in == "none":
        return Reason("Pollen", say("None coming in"), "bad")
    return Reason(
        "Pollen", say("Not looked at: {what_to_watch}", what_to_watch=_what_to_watch(sight)), "unknown"
    )


def _what_to_watch(sight: Sight) -> str:
    return say(
        "watch an entrance for 5 minutes on a flying day, and look for a fresh arc of pollen "
        "round the brood in {hives}",
        hives=counted(sight.hives, "hive"),
    )


def _ruling(sight: Sight) -> tuple[Ruling, tuple[str, ...]]:
    forage = sight.yard.forage
    if forage.coming_in == "plenty" and forage.fresh_arcs:
        return _stop(sight), ("oliver2014", "patty_label")
    if _wants_winter_bees(sight) and forage.coming_in in ("little", "plenty"):
        return _no_winter_bees(sight), ("mcafee2020",)
    if sight.outlook is not None:
        if sight.fits:
            return by_outlook(sight, sight.outlook), ("patty_label",)
        seen = _by_counts(sight)  # what is on the combs needs no model
        return (seen if seen.answer == "feed" else without_a_fit(sight)), ("texas_supplier",)
    return _by_counts(sight), ("texas_supplier",)


def _wants_winter_bees(sight: Sight) -> bool:
    goal = sight.yard.goal
    return goal is not None and goal.aim == "winter_bees"


def _stop(sight: Sight) -> Ruling:
    on = bool(sight.yard.given) or bool(sight.yard.wants_feed_because)
    sentence = (
        say("Stop: pollen is plenty and lies in fresh arcs round the brood. Protein feed adds nothing now.")
        if on
        else say("No need: pollen is plenty and lies in fresh arcs round the brood.")
    )
    return Ruling(
        "no_need",
        "stop" if on else "no_need",
        sentence,
        _next_look(sight),
        say("fresh arcs of pollen round the brood"),
        (
            say("Arcs that shrink, or a week without flying weather."),
            say(
                "If you still want to feed, leave a check group unfed: it costs least while pollen is plenty."
            ),
        ),
    )


def _next_look(sight: Sight) -> date:
    later = sight.today + 3 * WEEK
    short = sight.outlook.short_from if sight.outlook else None
    if short is None or short.earliest is None:
        return later
    return min(later, max(sight.today + WEEK, short.earliest - WEEK))


def _no_winter_bees(sight: Sight) -> Ruling:
    return Ruling(
        "no_need",
        "no_need",
        say(
            "No: in trials fed colonies raised no more winter bees, and theirs lived no longer. "
            "Check their weight."
        ),
        sight.today + WEEK,
        say("mites and weight"),
        (say("No pollen coming in for weeks, and under {low_bread}.", low_bread=sight.low_bread),),
    )


def _by_counts(sight: Sight) -> Ruling:
    coming_in, arcs = sight.yard.forage.coming_in, sight.yard.forage.fresh_arcs
    if coming_in is None:
        return _cannot_tell(sight)
    if coming_in == "plenty" and arcs is None:
        return _carried(sight, say("pollen is plenty"))
    if not _bread_low(sight) and coming_in != "none":
        return _carried(
            sight,
            say(
                "{frames_of} and pollen coming in", frames_of=frames_of(sight.bread_frames, "bread", parts=4)
            ),
        )
    if not _bread_low(sight):
        return _bread_for_now(sight)
    if coming_in == "none":
        return feed_ruling(sight, say("under {low_bread} and no pollen coming in", low_bread=sight.low_bread))
    if arcs or coming_in == "plenty":
        return _bread_for_now(sight)
    return feed_ruling(
        sight, say("under {low_bread} and only a little pollen coming in", low_bread=sight.low_bread)
    )


def _cannot_tell(sight: Sight) -> Ruling:
    return Ruling(
        "look_again",
        "cannot_tell",
        say("Can't tell yet: {what_to_watch}.", what_to_watch=_what_to_watch(sight)),
        sight.today,
        say("pollen loads, and fresh arcs in {hives}", hives=counted(sight.hives, "hive")),
        (say("Pollen seen, or none seen, on a flying day."),),
    )


def _carried(sight: Sight, why: str) -> Ruling:
    return Ruling(
        "no_need",
        "no_need",
        say("No need now: {why}.", why=why),
        sight.today + 2 * WEEK,
        say("bread and fresh arcs of pollen"),
        (say("No pollen for a week, or under {low_bread}.", low_bread=sight.low_bread),),
    )


def _bread_for_now(sight: Sight) -> Ruling:
    look = sight.today + WEEK
    said = frames_of(sight.bread_frames, "bread", parts=4)
    return Ruling(
        "look_again",
        "no_need",
        say(
            "Not now: {said} carries the brood for about a week. Look again about {day}.",
            said=said,
            day=sight.day(look),
        ),
        look,
        say("bread and pollen coming in"),
        (say("Under {low_bread} with no pollen coming in.", low_bread=sight.low_bread),),
    )
