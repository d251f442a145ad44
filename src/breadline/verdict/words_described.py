"""What is described beside the answer, in sentences; none of it is decided on."""

from __future__ import annotations

from math import isfinite

from breadline.language import noted, say, say_counted
from breadline.need.words import counted, day_and_year
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.trial.design import group_name
from breadline.verdict.amounts import POUNDS, Measure, amount, plain, span
from breadline.verdict.described import Described, Eaten, Measured
from breadline.verdict.lived import GroupLived, Lived

HEAD = noted("Described, not decided on")
BROOD = Measure(noted("frame of brood"), noted("frames of brood"))
NAMES = {
    Measured.BROOD: noted("Brood"), Measured.WEIGHT: noted("Weight"), Measured.HONEY: noted("Honey taken"),
}  # fmt: skip
WITH_LOST = {
    Measured.BROOD: noted("Brood, lost colonies as 0"),
    Measured.WEIGHT: noted("Weight of living hives"),
    Measured.HONEY: noted("Honey taken, lost colonies as 0"),
}
READ_BESIDE_0 = noted(
    "Nobody settled what {what} would have to add to pay, so it is read beside 0 alone: a range that holds 0 "
    "tells no difference, one that does not still says nothing of money."
)
IN_A_SENTENCE = {
    Measured.BROOD: noted("brood"), Measured.WEIGHT: noted("weight"), Measured.HONEY: noted("honey taken"),
}  # fmt: skip
KG, G = 1000.0 / GRAMS_A_POUND, 1.0 / GRAMS_A_POUND  # to pounds


def described_line(one: Described) -> str:
    """One measure: the difference with its range, and the mean of each group."""
    check, fed = (group_name(name) for name in one.names)
    means = say(
        "{fed} {much_fed}, {check} {much_check} on average",
        fed=fed, much_fed=_much(one.what, one.fed), check=check, much_check=_much(one.what, one.check),
    )  # fmt: skip
    if not one.nearly_all:
        (of_check, check_lived), (of_fed, fed_lived) = one.living
        return say(
            "{what}: read of {of_fed} of {all_fed} living {fed} and {of_check} of {all_check} living {check} "
            "colonies, too few to tell the groups apart; of those read {means}.",
            what=say(NAMES[one.what]), of_fed=of_fed, all_fed=fed_lived, fed=fed, of_check=of_check,
            all_check=check_lived, check=check, means=means,
        )  # fmt: skip
    name = say(WITH_LOST[one.what])
    read = (
        say("{n} of {all} colonies read", n=one.read, all=one.of)
        if one.read < one.of
        else say("{n} colonies", n=one.read)
    )
    if one.estimate is None or one.low is None or one.high is None:
        return say(
            "{what}: {means}; {read}; the difference is not to be told.", what=name, means=means, read=read
        )
    digits = _pounds(one.low, one.high).digits
    return say(
        "{what}: {fed} less {check} {difference}, from {range} ({means}; {read}).",
        what=name, fed=fed, check=check, difference=_much(one.what, one.estimate, digits),
        range=_span(one.what, one.low, one.high), means=means, read=read,
    )  # fmt: skip


def which_line(found: tuple[Described, ...]) -> tuple[str, ...]:
    """Beside which line the ranges that were told are read; nothing where none was."""
    told = [say(IN_A_SENTENCE[one.what]) for one in found if one.estimate is not None]
    if not told:
        return ()
    what = told[0] if not told[1:] else say("{some} or {last}", some=", ".join(told[:-1]), last=told[-1])
    return (say(READ_BESIDE_0, what=what),)


def eaten_lines(found: tuple[Eaten, ...]) -> tuple[str, ...]:
    """Feed eaten by group, mean and range; nothing where nobody wrote it down."""
    if not found:
        return ()
    each = "; ".join(
        say(
            "{group} {mean:,.0f} g ({pounds} lb) a colony, {least:,.0f} to {most:,.0f} g, {n} read",
            group=group_name(one.arm),
            mean=one.mean,
            pounds=plain(one.mean * G),
            least=one.least,
            most=one.most,
            n=one.read,
        )
        for one in found
    )
    return (say("Feed eaten: {each}. Colonies choose what they eat, so nothing follows from it.", each=each),)


def lived_line(found: Lived) -> str:
    """Share of each group that lived to the last day."""
    fed, check = (_group(one, found.alone) for one in (found.fed, found.check))
    living = say(
        "Living on {day}, by the days on which losses were found: {fed}; {check}.",
        day=day_and_year(found.until), fed=fed, check=check,
    )  # fmt: skip
    return f"{living} {_no_losses(found)}{say('One season promises nothing about losses.')}"


def _group(one: GroupLived, alone: bool) -> str:
    low, middle, high = one.last
    said = say("{n:.0f} of 100 {group}", n=100 * middle, group=group_name(one.name))
    if not alone or not isfinite(low):
        return said
    ends = say("{low} to {high}", low=f"{100 * low:.0f}", high=f"{100 * high:.0f}")
    none_lost = "" if one.lost else say("; none of {n} lost", n=one.to_end)
    return f"{said} ({ends}{none_lost})"


def _no_losses(found: Lived) -> str:
    """Ends that count as 0 in the answer and are no losses."""
    merged, weak = (
        sum(getattr(one, name) for one in (found.fed, found.check)) for name in ("merged", "weak")
    )
    said = [
        say_counted("{n} merged colony until then", "{n} merged colonies until "
                                                    "then", merged) if merged else "",
        say("{colonies} below one frame as living", colonies=counted(weak, "colony", "colonies"))
        if weak else "",
    ]  # fmt: skip
    if not (merged or weak):
        return ""
    counted_here = say(" and ").join(part for part in said if part)
    return say("Counted here: {what}.", what=counted_here) + " "


def _pounds(low: float, high: float) -> Measure:
    """Pounds as finely as a range in kilograms asks [kg]."""
    return POUNDS.over(low * KG, high * KG)


def _much(what: Measured, value: float, digits: int = POUNDS.digits) -> str:
    if what is Measured.BROOD:
        return amount(value, BROOD)
    return say("{kg} kg ({lb} lb)", kg=plain(value), lb=plain(value * KG, digits))


def _span(what: Measured, low: float, high: float) -> str:
    if what is Measured.BROOD:
        return span(low, high)
    return say(
        "{kg} kg ({lb} lb)",
        kg=span(low, high),
        lb=span(low * KG, high * KG, digits=_pounds(low, high).digits),
    )
