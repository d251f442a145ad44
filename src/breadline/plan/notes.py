"""What an answer rests on, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from breadline.belief.gain import Situation
from breadline.language import noted, say, say_counted
from breadline.need.words import day_and_year, half_frames
from breadline.plan.asked import Asked
from breadline.plan.costs import Work
from breadline.plan.ensemble import Ensemble
from breadline.plan.search import Found
from breadline.plan.situation import SELDOM, stretches
from breadline.plan.starving import losses_words
from breadline.plan.targets import Splits, amounts
from breadline.plan.tried import Question
from breadline.plan.value import FEWEST_GRADED

MOST_TURNS = 2  # of the situation whose days are told
APART = 1.25  # times; graded hives and the yard's count farther apart than that are told [ratio]
PLENTY_G = 1e9  # stores that are not known, and so not checked [g]
TIME_WORDS: dict[Situation, str] = {
    "dearth": noted("a pollen dearth"),
    "poor_spring": noted("little pollen"),
    "pollen": noted("pollen coming in"),
}


def notes(asked: Asked, one: Question, found: Found) -> tuple[str, ...]:
    """Sentences that stand beside any plan."""
    by = one.spread.told_by
    said = [
        say("How much colonies differ is taken from {by}.", by=by)
        if len(asked.graded) >= FEWEST_GRADED
        else say("How much colonies differ is taken from {by}; grade some of yours.", by=by)
    ]
    ensemble = one.ensemble
    if ensemble.because:
        told = say("No frames are foretold for the day: {because}.", because=ensemble.because)
        stands = (
            say(
                "The count you gave stands for the unfed yard, give or take, and no plan adds more "
                "to it than "
                "is believed of feeding."
            )
            if asked.unfed_frames is not None
            else say(
                "Your count of today stands for the unfed yard, give or take, and no plan adds more "
                "to it than "
                "is believed of feeding."
            )
        )
        said.append(f"{told} {stands}")
    said += (*_times(ensemble), *_bare_winter(ensemble))
    if isinstance(one.target, Splits) and one.target.nurses is not None:
        said.append(
            say(
                "A split is given where {n} of its {many} frames of bees are nurse bees, ten days "
                "old or younger.",
                n=half_frames(one.target.nurses),
                many=half_frames(one.target.bees),
            )
        )
    if asked.prices.syrup is None:
        said.append(say("What extra bees eat is not in the sum: no price of syrup was given."))
    said += unpaid(asked.prices.work)
    if one.watch.honey_g >= PLENTY_G:
        said.append(say("Stores were not checked: enter what a colony has."))
    elif one.stores.reckoned:
        said.append(
            say(
                "On a day of nectar bees leave the stores alone while they fly, and fill "
                "what was taken by what they bring beyond it; how much a field bee brings is "
                "our judgement (plan.nectar_bee_mg)."
            )
        )
    if asked.sugar_beside and one.watch.honey_g < PLENTY_G:
        said.append(
            say("Doing nothing means no protein: who is light gets sugar today, where no round brings it.")
        )
        said.append(say("Amounts of syrup count no nectar that fills stores: give less where it comes in."))
    years = {a.year for a in (*amounts(asked.target), *(f.price for f in asked.prices.feeds))}
    if len(years) > 1:
        said.append(
            say(
                "Prices are of {first} to {last}, not brought to one year.", first=min(years), last=max(years)
            )
        )
    said.append(_losses(asked, one, found))
    said.append(
        say("Plans are chosen in one half of the seasons; what they bring is told by the other half.")
    )
    of_feeds = [note for feed in asked.prices.feeds for note in feed.worth.notes]
    return (*said, *dict.fromkeys(of_feeds))


def graded_apart(graded: Sequence[float], counted: float | None) -> tuple[str, ...]:
    """That the graded hives are not those of the yard's count; nothing where they agree. [frames]"""
    seen = [frames for frames in graded if frames > 0.0]
    if len(seen) < FEWEST_GRADED or not counted:
        return ()
    mean = sum(seen) / len(seen)
    if 1.0 / APART <= mean / counted <= APART:
        return ()
    return (
        say(
            "The hives that were graded have {frames} frames of bees on average, the yard's "
            "count {here}: plans go by the count. Mend the one that is old.",
            frames=half_frames(mean),
            here=half_frames(counted),
        ),
    )


def without_bees(hives: Sequence[tuple[str, float]]) -> tuple[str, ...]:
    """Graded hives in which no bees were, by tag and frames of bees [frames]; none where all had."""
    empty = [tag for tag, frames in hives if frames == 0.0]
    if not empty:
        return ()
    return (
        say_counted(
            "Hive {hives} was graded without bees: it gets no label, but still counts as a colony. "
            "Count it off the yard's number.",
            "Hives {hives} were graded without bees: they get no label, but still count as colonies. "
            "Count them off the yard's number.",
            len(empty),
            hives=", ".join(empty),
        ),
    )


def unpaid(work: Work) -> tuple[str, ...]:
    """What of the work and the drive is in no cost, because a price of it was left out."""
    if work.anyway and not work.minutes_colony:
        return ()
    if not work.minutes_colony and not work.minutes_drive and not work.miles:
        return (say("Work and drive are not in the cost: neither minutes nor a distance were given."),)
    said = []
    driven = 0.0 if work.anyway else work.minutes_drive
    if (work.minutes_colony or driven) and not work.wage.amount:
        said.append(say("Your time costs nothing in this sum: no wage was given."))
    if work.miles and work.mile is None and not work.anyway:
        said.append(say("The drive costs time alone in this sum: no price of a mile or kilometre was given."))
    return tuple(said)


def _losses(asked: Asked, one: Question, found: Found) -> str:
    """How many colonies are lost on the way, and of what."""
    best, own = found.best, asked.losses is not None
    fed, kept = (best.starved, best.kept) if best.plan.pieces else (None, None)
    learnt = bool(asked.survival)
    return losses_words(own, one.spread.losses, found.nothing.starved, fed, kept, learnt)


def _times(ensemble: Ensemble) -> tuple[str, ...]:
    """What is believed of feed where the situation changes on the way to the date."""
    if ensemble.situation is None:
        return ()
    found = stretches(ensemble.situation[ensemble.today :])
    if len(found) < 2:
        return ()
    first, then = say(TIME_WORDS[found[0][1]]), found[1 : MOST_TURNS + 1]
    later = ", ".join(
        say("{what} from {day}", what=say(TIME_WORDS[s]), day=day_and_year(ensemble.on(ensemble.today + t)))
        for t, s in then
    )
    if len(found) > MOST_TURNS + 1:
        return (
            say(
                "A piece does what is believed of the time in which it is eaten: {first} now, "
                "{later}, then by "
                "turns, in most seasons.",
                first=first,
                later=later,
            ),
        )
    return (
        say(
            "A piece does what is believed of the time in which it is eaten: {first} now, {later}, in most "
            "seasons.",
            first=first,
            later=later,
        ),
    )


def _bare_winter(ensemble: Ensemble) -> tuple[str, ...]:
    """Where a judgement of ours decides which belief holds: late winter without pollen."""
    bare = ensemble.bare_winter
    share = 0.0 if bare is None else float(bare[ensemble.today :].mean())
    if share <= SELDOM:
        return ()
    return (
        say(
            "In {share} of 100 days ahead next to no pollen comes in so early in the year: "
            "feed eaten then goes by the belief of a poor spring, not by that of a dearth "
            "(our judgement; with situation.spring_days at 0 it goes by the dearth's).",
            share=round(100 * share),
        ),
    )
