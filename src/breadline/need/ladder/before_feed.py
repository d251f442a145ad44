"""Rungs that come before any feed: the inspector's matters, mites, queen, stores."""

from __future__ import annotations

from datetime import date, timedelta

from breadline.language import noted, say
from breadline.need.ladder.sight import Finding, Reason, Ruling, Sight
from breadline.need.ladder.timing import pollen_ends_it, winter_side
from breadline.need.words import counted, honey_said, per_hundred

RETEST = timedelta(weeks=3)  # one brood cycle: sealed brood has opened and shows its mites

FOULBROOD = noted(
    "Stop: signs of foulbrood. Feed nothing, move no gear, and call the apiary inspector today."
)
NO_EGGS = noted(
    "Queens first: {missing} of {looked} without eggs. Requeen or combine; protein can't raise brood that "
    "isn't laid."
)


def inspectors_matter(sight: Sight) -> Finding:
    """Signs of foulbrood stop everything.

    Sources: [qdaf_afb], [nswdpi_afb].
    """
    signs = sight.yard.health.foulbrood_signs
    if signs:
        ruling = Ruling(
            "something_first",
            "stop",
            say(FOULBROOD),
            look_again_for=say("what the inspector says"),
            what_would_change=(say("The inspector clears the yard."),),
        )
        reason = Reason(
            "Brood disease", say("Signs of foulbrood seen: the inspector decides, not this page"), "bad"
        )
        return Finding("foulbrood", (reason,), ruling, sources=("qdaf_afb", "nswdpi_afb"))
    if signs is None:
        detail = say("Not known: before you open, look for sunken or holed caps, ropy larvae, a foul smell")
        return Finding("foulbrood", (Reason("Brood disease", detail, "unknown"),))
    return Finding("foulbrood", (Reason("Brood disease", say("No signs of foulbrood seen"), "ok"),))


def mites(sight: Sight) -> Finding:
    """More brood from feed also breeds mites, so they are known and low first.

    Sources: [ars_september] for the September rule.
    """
    counted_mites = sight.yard.health.mites_per_100
    if counted_mites is None:
        return _mites_unknown(sight, say("Not tested"))
    found = round(counted_mites, 1)  # judged as it is said: 1.97 is 2
    limit = sight.figures.typical("ladder.mites_per_100")
    stop = sight.figures.typical("ladder.mites_stop")
    when = say(" on {day}", day=sight.day(sight.yard.health.mites_on)) if sight.yard.health.mites_on else ""
    if found < limit and _too_old(sight):
        return _mites_unknown(
            sight, say("{per_hundred}{when}, too long ago", per_hundred=per_hundred(found), when=when)
        )
    if found < limit:
        return Finding(
            "mites",
            (
                Reason(
                    "Mites",
                    say(
                        "{per_hundred}{when}, under {limit:g}",
                        per_hundred=per_hundred(found),
                        when=when,
                        limit=limit,
                    ),
                    "ok",
                ),
            ),
        )
    reason = Reason(
        "Mites",
        say(
            "{per_hundred}{when}, at or over {limit:g}",
            per_hundred=per_hundred(found),
            when=when,
            limit=limit,
        ),
        "bad",
    )
    return Finding("mites", (reason,), _mites_first(sight, found, stop), sources=("ars_september",))


def _too_old(sight: Sight) -> bool:
    on = sight.yard.health.mites_on
    return on is not None and sight.today - on > sight.weeks("ladder.mite_test_weeks")


def _mites_unknown(sight: Sight, known: str) -> Finding:
    n, when = sight.hives, say("on the next mild day") if sight.cold_today else say("today")
    ruling = Ruling(
        "something_first",
        "something_first",
        say(
            "Test for mites first: wash or roll half a cup of bees from {hives}, then ask again.",
            hives=counted(n, "hive"),
        ),
        sight.today,
        say("a mite test in {hives}", hives=counted(n, "hive")),
        (say("A mite count under the limit."),),
    )
    detail = say(
        "{known}: wash half a cup (300 bees) from {hives} {when}; feed breeds mites too",
        known=known,
        hives=counted(n, "hive"),
        when=when,
    )
    return Finding("mites", (Reason("Mites", detail, "unknown"),), ruling, waits=True)


def _mites_first(sight: Sight, found: float, stop: float) -> Ruling:
    change = [
        say("A test under the limit: protein can then be asked about for the colonies that tested low.")
    ]
    goal = sight.yard.goal
    if found >= stop and goal is not None and goal.aim in ("frames", "winter_bees"):
        sentence = say(
            "Mites first. At {per_hundred} before winter even more than 12 frames of bees have "
            "less than an even chance of 6 frames at early bloom.",
            per_hundred=per_hundred(found),
        )
        change.append(say("Hold protein for colonies that test low again; combine or keep back the rest."))
    else:
        sentence = say(
            "Mites first: {per_hundred} is too many. Bring them down and test again; feed would "
            "breed mites with the brood.",
            per_hundred=per_hundred(found),
        )
    return Ruling(
        "something_first",
        "something_first",
        sentence,
        sight.today + RETEST,
        say("a second mite test"),
        tuple(change),
    )


def queen(sight: Sight) -> Finding:
    """Without a laying queen there is no brood to feed."""
    laying, looked = sight.yard.health.queens_laying, sight.yard.health.queens_looked_for
    if laying is None or not looked:
        return _queen_unknown(sight)
    said = say("{laying} of {hives} with a laying queen", laying=laying, hives=counted(looked, "hive"))
    if laying == looked:
        return Finding("queen", (Reason("Queens", said, "ok"),))
    missing = counted(looked - laying, "hive")
    if laying / looked >= sight.figures.typical("ladder.queens_right_share"):
        detail = say("{said}; leave the {missing} without one out of the feeding", said=said, missing=missing)
        return Finding("queen", (Reason("Queens", detail, "ok"),))
    ruling = Ruling(
        "something_first",
        "something_first",
        say(NO_EGGS, missing=missing, looked=looked),
        sight.today + timedelta(weeks=1),
        say("eggs and young larvae"),
        (say("Eggs in the hives that had none."),),
    )
    return Finding("queen", (Reason("Queens", said, "bad"),), ruling)


def _queen_unknown(sight: Sight) -> Finding:
    where = counted(sight.hives, "hive")
    if sight.yard.count.frames_of_brood > 0:
        detail = say("Brood is there; look for eggs in {where} to be sure of the queens", where=where)
        return Finding("queen", (Reason("Queens", detail, "unknown"),))
    ruling = Ruling(
        "look_again",
        "cannot_tell",
        say(
            "Can't tell yet: look for eggs in {where} on a still day above {warmth}.",
            where=where,
            warmth=sight.warmth(sight.figures.typical("ladder.open_c")),
        ),
        sight.today,
        say("eggs in {where}", where=where),
        (say("Eggs and young larvae seen."),),
    )
    reason = Reason("Queens", say("Not looked for: look for eggs in {where}", where=where), "unknown")
    return Finding("queen", (reason,), ruling, waits=True)


def stores(sight: Sight) -> Finding:
    """Brood from feed burns honey: light hives get sugar before protein.

    Sources: [bigcountry_checklist]; [agrifutures2020] for syrup without pollen.
    """
    health = sight.yard.health
    note = f" ({honey_said(health.honey_note)})" if health.honey_note else ""
    if health.honey == "enough":
        return Finding("stores", (Reason("Stores", say("Enough honey or syrup{note}", note=note), "ok"),))
    if health.honey is None:
        return _stores_unknown(sight)
    reason = Reason("Stores", say("Light{note}: sugar is the need, not protein", note=note), "bad")
    return Finding("stores", (reason,), _sugar_first(sight), sources=("bigcountry_checklist",))


def _stores_unknown(sight: Sight) -> Finding:
    where = counted(sight.hives, "hive")
    ruling = Ruling(
        "look_again",
        "cannot_tell",
        say(
            "Can't tell yet: lift the back of {where} for weight. Protein on light hives burns "
            "the last stores.",
            where=where,
        ),
        sight.today,
        say("the weight of {where}", where=where),
        (say("Enough honey or syrup in the hives."),),
    )
    reason = Reason("Stores", say("Not known: lift the back of {where}", where=where), "unknown")
    return Finding("stores", (reason,), ruling, waits=True)


def _sugar_first(sight: Sight) -> Ruling:
    outside = sight.yard.forage.outside_c
    warm = not winter_side(sight)
    if outside is not None:
        warm = outside >= sight.figures.typical("ladder.syrup_c")
    what = say("syrup") if warm else say("sugar on top")
    which = say("the light hive") if sight.yard.colonies <= 2 else say("the light hives")
    look = _after_sugar(sight)
    return Ruling(
        "something_first",
        "something_first",
        say(
            "No protein feed now: give {which} {what} today. Look again about {day}.",
            which=which,
            what=what,
            day=sight.day(look),
        ),
        look,
        _look_for(sight),
        (say("Hives that are heavy again, and then the bread, bees and weather of that day."),),
    )


def _after_sugar(sight: Sight) -> date:
    week = sight.today + timedelta(weeks=1)
    if sight.first_pollen is None or not pollen_ends_it(sight):
        return week
    early = sight.first_pollen - sight.weeks("ladder.weeks_before_pollen")
    return max(week, early)


def _look_for(sight: Sight) -> str:
    figures = sight.figures
    mild = sight.warmth(figures.typical("ladder.open_c"))
    cluster = say(
        "{cluster_frames:g} frames of bees", cluster_frames=figures.typical("ladder.cluster_frames")
    )
    return say(
        "weight, bread and bees on a still day above {mild}; feed then only with under "
        "{low_bread}, at least {cluster} and a cold or wet spell ahead",
        mild=mild,
        low_bread=sight.low_bread,
        cluster=cluster,
    )
