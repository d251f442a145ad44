"""The pollen balance where the season model has spoken."""

from __future__ import annotations

from datetime import timedelta

from breadline.language import say
from breadline.need.ladder.feed_now import feed_ruling
from breadline.need.ladder.sight import Ruling, Sight
from breadline.need.outlook import Outlook, ShortFrom
from breadline.need.words import chance_in_hundred, counted, from_few_years

WEEK = timedelta(weeks=1)


def by_outlook(sight: Sight, outlook: Outlook) -> Ruling:
    """From when the yard is short, against what is seen today."""
    short, forage = outlook.short_from, sight.yard.forage
    if short is None:
        return without_a_fit(sight)
    if short.now and forage.fresh_arcs and forage.coming_in != "none":
        return _arcs_today(sight)
    if short.now and forage.coming_in == "plenty":
        return _arcs_decide(sight)
    if short.now:
        return feed_ruling(sight, say("bread and pollen don't carry the brood today"))
    soon = sight.today + sight.weeks("ladder.soon_weeks")
    if short.middle is not None and short.middle <= soon:
        start = max(short.earliest or short.middle, sight.today + timedelta(days=1))
        return feed_ruling(sight, say("short of bread from {when}", when=_when(sight, short)), start)
    if short.chance >= sight.figures.typical("ladder.chance_worth_a_look"):
        return _short_later(sight, short)
    return Ruling(
        "no_need",
        "no_need",
        say(
            "No need seen: bread and pollen carry the brood; not short before {day}, as far as "
            "this outlook {and_weather}.",
            day=sight.day(short.not_before),
            and_weather=_and_weather(short),
        ),
        sight.today + 3 * WEEK,
        say("bread and fresh arcs"),
        (say("Less bread or poorer weather than the years of the forecast."),),
    )


def without_a_fit(sight: Sight) -> Ruling:
    """No date, since the season model does not fit the yard's own counts."""
    return Ruling(
        "look_again",
        "cannot_tell",
        say(
            "Can't tell: the season model does not fit this yard's counts. Count bees, brood and "
            "bread again in {hives}.",
            hives=counted(sight.hives, "hive"),
        ),
        sight.today,
        say("bees, brood and bread"),
        (
            say(
                "A fresh count with afresh = true, if the colonies changed: the answer then begins "
                "anew with it."
            ),
        ),
    )


def _when(sight: Sight, short: ShortFrom) -> str:
    """The middle date with its range, "about 20 August (12 August to 4 September)"."""
    assert short.middle is not None
    if short.earliest is None or short.latest is None:
        return say("about {day}", day=sight.day(short.middle))
    return say(
        "about {day} ({day_range})",
        day=sight.day(short.middle),
        day_range=sight.day_range(short.earliest, short.latest),
    )


def _and_weather(short: ShortFrom) -> str:
    """ "reaches", or "and 4 years of weather reach" where they are few."""
    return (
        say("reaches")
        if short.few_years is None
        else say("and {years} of weather reach", years=counted(short.few_years, "year"))
    )


def _arcs_today(sight: Sight) -> Ruling:
    look = sight.today + WEEK
    return Ruling(
        "look_again",
        "soon",
        say(
            "Not today: fresh arcs of pollen lie round the brood, though the forecast is short. "
            "Look again {day}.",
            day=sight.day(look),
        ),
        look,
        say("fresh arcs of pollen round the brood"),
        (say("Arcs that shrink, or a week without flying weather."),),
    )


def _arcs_decide(sight: Sight) -> Ruling:
    where = counted(sight.hives, "hive")
    return Ruling(
        "look_again",
        "cannot_tell",
        say(
            "Can't tell yet: pollen comes in, yet the forecast is short. Look for fresh arcs "
            "round the brood in {where}.",
            where=where,
        ),
        sight.today,
        say("fresh arcs of pollen in {where}", where=where),
        (say("Fresh arcs: no need. No arcs: feed."),),
    )


def _short_later(sight: Sight, short: ShortFrom) -> Ruling:
    first = short.earliest or short.not_before
    look = max(sight.today + WEEK, first - 2 * WEEK)
    if short.middle is not None:
        when = say("short from {when}", when=_when(sight, short))
    else:
        chance = say(
            "{chance_in_hundred} seasons run short",
            chance_in_hundred=chance_in_hundred(short.chance, short.few_years),
        )
        few = from_few_years(short.few_years)
        if short.not_before <= sight.today:
            when = say("{chance}{from_few_years}, some from today on", chance=chance, from_few_years=few)
        else:
            day = sight.day(short.not_before)
            when = say(
                "{chance}{from_few_years}, not before {day}", chance=chance, from_few_years=few, day=day
            )
    return Ruling(
        "look_again",
        "soon",
        say("Not yet: {when}. Look again about {day}.", when=when, day=sight.day(look)),
        look,
        say("bread, and pollen coming in"),
        (say("Pollen that stops earlier, or less bread than was counted."),),
    )
