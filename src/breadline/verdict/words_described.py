"""What is described beside the answer, in sentences; none of it is decided on."""

from __future__ import annotations

from math import isfinite

from breadline.need.words import counted, day_and_year
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.verdict.amounts import Measure, amount, plain, span
from breadline.verdict.described import Described, Eaten, Measured
from breadline.verdict.lived import GroupLived, Lived

HEAD = "Described, not decided on"
BROOD = Measure("frame of brood", "frames of brood")
NAMES = {Measured.BROOD: "Brood", Measured.WEIGHT: "Weight", Measured.HONEY: "Honey taken"}
LOST_AS_0 = {
    Measured.BROOD: ", lost colonies as 0",
    Measured.WEIGHT: " of living hives",
    Measured.HONEY: ", lost colonies as 0",
}
KG, G = 1000.0 / GRAMS_A_POUND, 1.0 / GRAMS_A_POUND  # to pounds


def described_line(one: Described) -> str:
    """One measure: the difference with its range, and the mean of each group."""
    check, fed = one.names
    means = f"{fed} {_much(one.what, one.fed)}, {check} {_much(one.what, one.check)} on average"
    if not one.nearly_all:
        (of_check, check_lived), (of_fed, fed_lived) = one.living
        return (
            f"{NAMES[one.what]}: read of {of_fed} of {fed_lived} living {fed} and {of_check} of "
            f"{check_lived} living {check} colonies, too few to tell the groups apart; of those read {means}."
        )
    name = NAMES[one.what] + LOST_AS_0[one.what]
    read = f"{one.read} of {one.of} colonies read" if one.read < one.of else f"{one.read} colonies"
    if one.estimate is None or one.low is None or one.high is None:
        return f"{name}: {means}; {read}; the difference is not to be told."
    return (
        f"{name}: {fed} less {check} {_much(one.what, one.estimate)}, "
        f"from {_span(one.what, one.low, one.high)} ({means}; {read})."
    )


def eaten_lines(found: tuple[Eaten, ...]) -> tuple[str, ...]:
    """Feed eaten by group, mean and range; nothing where nobody wrote it down."""
    if not found:
        return ()
    each = "; ".join(
        f"{one.arm} {one.mean:,.0f} g ({plain(one.mean * G)} lb) a colony, {one.least:,.0f} to "
        f"{one.most:,.0f} g, {one.read} read"
        for one in found
    )
    return (f"Feed eaten: {each}. Colonies choose what they eat, so nothing follows from it.",)


def lived_line(found: Lived) -> str:
    """Share of each group that lived to the last day."""
    fed, check = (_group(one, found.alone) for one in (found.fed, found.check))
    return (
        f"Living on {day_and_year(found.until)}, by the days on which losses were found: "
        f"{fed}; {check}. {_no_losses(found)}One season promises nothing about losses."
    )


def _group(one: GroupLived, alone: bool) -> str:
    low, middle, high = one.last
    said = f"{100 * middle:.0f} of 100 {one.name}"
    if not alone or not isfinite(low):
        return said
    ends = f"{100 * low:.0f} to {100 * high:.0f}"
    none_lost = "" if one.lost else f"; none of {one.to_end} lost"
    return f"{said} ({ends}{none_lost})"


def _no_losses(found: Lived) -> str:
    """Ends that count as 0 in the answer and are no losses."""
    merged, weak = (
        sum(getattr(one, name) for one in (found.fed, found.check)) for name in ("merged", "weak")
    )
    said = [
        f"{counted(merged, 'merged colony', 'merged colonies')} until then" if merged else "",
        f"{counted(weak, 'colony', 'colonies')} below one frame as living" if weak else "",
    ]
    return f"Counted here: {' and '.join(part for part in said if part)}. " if merged or weak else ""


def _much(what: Measured, value: float) -> str:
    if what is Measured.BROOD:
        return amount(value, BROOD)
    return f"{plain(value)} kg ({plain(value * KG)} lb)"


def _span(what: Measured, low: float, high: float) -> str:
    if what is Measured.BROOD:
        return span(low, high)
    return f"{span(low, high)} kg ({span(low * KG, high * KG)} lb)"
