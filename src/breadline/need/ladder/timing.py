"""Rungs about the moment: too early, too cold, too few bees, beetles."""

from __future__ import annotations

from datetime import date, timedelta

from breadline.language import say
from breadline.need.ladder.sight import Finding, Reason, Ruling, Sight
from breadline.need.words import counted, frames_against

TROPIC = 25.0  # degrees; nearer the equator there is no winter to be early for
BEFORE_SHORTEST_DAY = timedelta(days=60)
WITHOUT_A_DATE = timedelta(days=90)  # from the shortest day to spring, where no first pollen is known
LATEST_SPRING = timedelta(days=150)  # a first pollen later than this is not the spring's


def too_early_or_cold(sight: Sight) -> Finding:
    """Not long before pollen, not on few bees, not on a day when a hive can't be opened.

    Sources: [patty_label], [bigcountry_checklist], [texas_supplier].
    """
    reasons = (_early(sight), _bees(sight), _warmth(sight))
    said = tuple(reason for reason in reasons if reason is not None)
    bad = [reason for reason in said if reason.state == "bad"]
    if not bad and sight.first_pollen is None and winter_side(sight) and not window_is_open(sight):
        return Finding("timing", said, _when_is_pollen(sight), waits=True)
    if not bad:
        return Finding("timing", said)
    return Finding("timing", said, _wait(sight, bad), sources=("patty_label", "bigcountry_checklist"))


def winter_side(sight: Sight) -> bool:
    """True from two months before the shortest day of the place to its first reliable pollen."""
    if abs(sight.yard.place.latitude) < TROPIC or _pollen_seen(sight):
        return False
    month = 12 if sight.yard.place.latitude > 0 else 6
    for year in (sight.today.year - 1, sight.today.year):
        shortest = date(year, month, 21)
        spring = shortest + WITHOUT_A_DATE
        if sight.first_pollen and shortest <= sight.first_pollen <= shortest + LATEST_SPRING:
            spring = sight.first_pollen
        if shortest - BEFORE_SHORTEST_DAY <= sight.today < spring:
            return True
    return False


def window_is_open(sight: Sight) -> bool:
    """True where a contract or split date is near enough that its first brood is due now."""
    goal = sight.yard.goal
    if goal is None or goal.on is None or goal.aim not in ("frames", "splits"):
        return False
    return goal.on - sight.weeks("ladder.weeks_two_generations") <= sight.today <= goal.on


def _pollen_seen(sight: Sight) -> bool:
    return sight.yard.forage.coming_in == "plenty" or bool(sight.yard.forage.fresh_arcs)


def earliest(sight: Sight) -> date | None:
    """The day from which feed makes sense before the first reliable pollen."""
    if sight.first_pollen is None:
        return None
    return sight.first_pollen - sight.weeks("ladder.weeks_before_pollen")


def pollen_ends_it(sight: Sight) -> bool:
    """True where the next first reliable pollen is what the yard waits for: in winter, or close before it."""
    start = earliest(sight)
    return start is not None and (sight.today >= start or winter_side(sight))


def _early(sight: Sight) -> Reason | None:
    start = earliest(sight)
    if sight.first_pollen is None or start is None:
        if _pollen_seen(sight):
            return Reason("Date", say("Pollen is in season"), "ok")
        detail = say("First reliable pollen not known: ask neighbours or the club for its usual date")
        return Reason("Date", detail, "unknown")
    if sight.first_pollen < sight.today:
        return Reason(
            "Date", say("First reliable pollen was about {day}", day=sight.day(sight.first_pollen)), "ok"
        )
    about = say("first reliable pollen about {day}", day=sight.day(sight.first_pollen))
    if sight.today >= start or not winter_side(sight):
        return Reason("Date", f"{about[0].upper()}{about[1:]}", "ok")
    if window_is_open(sight) and sight.yard.goal and sight.yard.goal.on:
        return Reason(
            "Date",
            say(
                "Early ({about}), but brood for {day} is due now",
                about=about,
                day=sight.day(sight.yard.goal.on),
            ),
            "ok",
        )
    return Reason(
        "Date",
        say("Too early: {about}, and feed makes sense from about {day}", about=about, day=sight.day(start)),
        "bad",
    )


def _bees(sight: Sight) -> Reason | None:
    bees, least = sight.yard.count.frames_of_bees, sight.figures.typical("ladder.cluster_frames")
    if bees is None:
        return None
    said = frames_against(bees, least, "bees")
    if bees >= least or sight.yard.count.start != "colony":
        return Reason("Bees", said, "ok")
    if winter_side(sight):
        return Reason(
            "Bees", say("{said}: under {least:g}, too few to warm more brood", said=said, least=least), "bad"
        )
    return Reason("Bees", say("{said}: small; find out why before you feed", said=said), "ok")


def _warmth(sight: Sight) -> Reason | None:
    outside, least = sight.yard.forage.outside_c, sight.figures.typical("ladder.open_c")
    if outside is None:
        return None
    now = sight.warmth(outside)
    if outside >= least:
        return Reason("Warmth", say("{now}: hives can be opened on a still day", now=now), "ok")
    if outside >= sight.figures.typical("ladder.slip_in_c"):
        return Reason("Warmth", say("{now}: only slip a piece under the lid, pull no frames", now=now), "ok")
    return Reason(
        "Warmth",
        say("{now}: too cold to open a hive; wait for {warmth}", now=now, warmth=sight.warmth(least)),
        "bad",
    )


def _wait(sight: Sight, bad: list[Reason]) -> Ruling:
    figures, start = sight.figures, earliest(sight)
    opening = sight.warmth(figures.typical("ladder.open_c"))
    heads = {reason.head for reason in bad}
    look = sight.today + timedelta(weeks=1)
    if start is not None and start > look and winter_side(sight):
        look = start
    if "Date" in heads and sight.first_pollen:
        why = say("too early, first pollen is about {day}", day=sight.day(sight.first_pollen))
    elif "Bees" in heads:
        why = say("too few bees to warm more brood")
    else:
        why = say("too cold to open a hive")
    return Ruling(
        "look_again",
        "no_need",
        say(
            "Not now: {why}. Look again about {day}, on a still day above {opening}.",
            why=why,
            day=sight.day(look),
            opening=opening,
        ),
        look,
        say("bread and bees on a still day above {opening}", opening=opening),
        (
            say(
                "Under {low_bread}, at least {cluster_frames:g} frames of bees and a cold or wet "
                "spell ahead.",
                low_bread=sight.low_bread,
                cluster_frames=figures.typical("ladder.cluster_frames"),
            ),
        ),
    )


def _when_is_pollen(sight: Sight) -> Ruling:
    weeks = sight.figures.typical("ladder.weeks_before_pollen")
    return Ruling(
        "look_again",
        "cannot_tell",
        say(
            "Can't tell yet: ask when the first reliable pollen comes here. Feed makes sense "
            "from {weeks:g} weeks before it, not earlier.",
            weeks=weeks,
        ),
        sight.today,
        say("the usual date of the first reliable pollen"),
        (say("A first reliable pollen within {weeks:g} weeks.", weeks=weeks),),
    )


def beetles(sight: Sight) -> Finding:
    """Never more than the bees clear before beetles breed in it.

    Sources: [texas_supplier], [georgia_workshop].
    """
    health, days = sight.yard.health, sight.figures.typical("ladder.beetle_days")
    if health.maggots_seen:
        ruling = Ruling(
            "something_first",
            "something_first",
            say(
                "Beetles first: take out every infested piece and freeze it for 3 days; no new feed "
                "on these hives until they are clean."
            ),
            sight.today + timedelta(weeks=1),
            say("maggots and slime on the combs"),
            (say("No maggots a week later, and only hives full of bees."),),
        )
        reason = Reason("Beetles", say("Maggots in the feed or on the combs"), "bad")
        return Finding("beetles", (reason,), ruling, sources=("texas_supplier",))
    if health.beetles_seen and _few_bees(sight):
        return _too_small_for_beetles(sight)
    if health.beetles_seen:
        detail = say("Seen: only pieces that are cleared within {days}", days=counted(round(days), "day"))
        return Finding("beetles", (Reason("Beetles", detail, "ok"),), sources=("georgia_workshop",))
    if health.beetles_seen is None:
        return Finding("beetles", (Reason("Beetles", say("Not known: look under the lid"), "unknown"),))
    return Finding("beetles", (Reason("Beetles", say("None seen"), "ok"),))


def _few_bees(sight: Sight) -> bool:
    bees = sight.yard.count.frames_of_bees
    return bees is not None and bees < sight.figures.typical("ladder.cluster_frames")


def _too_small_for_beetles(sight: Sight) -> Finding:
    least = say(
        "{cluster_frames:g} frames of bees", cluster_frames=sight.figures.typical("ladder.cluster_frames")
    )
    ruling = Ruling(
        "something_first",
        "something_first",
        say(
            "Beetles first: under {least} can't clear feed before beetles breed in it. Combine "
            "or strengthen them before you feed.",
            least=least,
        ),
        sight.today + timedelta(weeks=2),
        say("bees and beetles"),
        (say("At least {least}, or no beetles under the lid.", least=least),),
    )
    reason = Reason("Beetles", say("Seen, on hives of under {least}", least=least), "bad")
    return Finding("beetles", (reason,), ruling, sources=("texas_supplier",))
