"""Why the best plan is the best, and where the answer turns, in sentences."""

from __future__ import annotations

from breadline.knowledge.shelf import Reader
from breadline.measures import Units
from breadline.need.words import chance_in_hundred, counted, from_few_years
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.flips import Flips
from breadline.plan.money import about, told
from breadline.plan.ranked import Ranked
from breadline.plan.search import Found
from breadline.plan.targets import Frames, HoneyFlow, Splits, Target, WinterBees
from breadline.plan.tried import Question

BREAD_ALONE = (
    "The list of yards asks whether bread runs short and may say to feed; here only what feeding brings "
    "for this goal counts, after its cost."
)
HARDLY = 0.05  # chance of a goal [share]
FAR = 5.0  # times a fee; farther off than that no fee is told


def why_best(found: Found, question: Question, reader: Reader) -> tuple[str, ...]:
    """Sentences on the best plan against doing nothing, and against itself with one thing changed."""
    money, best, close = question.prices.money, found.best, question.close
    if not best.plan.pieces:
        far = _out_of_reach(found, question.target)
        return (_nothing(found, money), far or BREAD_ALONE)
    few = question.ensemble.few_years
    pays = f"{chance_in_hundred(best.pays, few)} seasons{from_few_years(few)}"
    said = [
        f"It brings {about(best.gain, money)} a colony over doing nothing (8 seasons in "
        f"10: {about(best.gain_low, money)} to {about(best.gain_high, money)}) after "
        f"{told(best.cost.total, money)} of cost, and pays in {pays}."
    ]
    if best.gain < reader.typical("plan.fair_chance") * best.cost.total:
        said.append("That is about even: doing nothing is as good a choice.")
    changes = [f"{one.what} {_more(one.more, money, close)}" for one in found.beside if not one.told.struck]
    if changes:
        said.append(f"One thing changed, a colony: {'; '.join(changes)}.")
    if found.missed:
        worst = min(range(len(found.missed)), key=lambda k: found.missed[k].gain)
        lost = found.missed[worst].gain
        of = f"round {worst + 1} of {best.plan.rounds}"
        said.append(f"A round missed costs up to {about(-lost, money)} a colony ({of})." if lost < -close else
                    "A round missed costs next to nothing in money.")  # fmt: skip
    return tuple(said)


def turns(of: Flips, question: Question, units: Units | None = None) -> tuple[str, ...]:
    """At what feed price, fee or belief the answer turns, in sentences; ``units`` None says both.

    Nothing where no plan is left to turn to.
    """
    if not of.any_left:
        return ()
    feeds, said = question.prices.feeds, []
    price, name = feeds[of.feed].price, feeds[of.feed].name if len(feeds) > 1 else "feed"
    now, then = ("stops paying", "below") if of.feeding_now else ("begins to pay", "above")
    if of.feed_price is not None:
        at, asked = (_price(price.amount * times, price.money, units) for times in (of.feed_price, 1.0))
        end = "above" if of.feeding_now else "below"
        said.append(f"Feeding {now} {end} {at} of {name}; asked: {asked} ({price.year}).")
    elif not of.feeding_now and of.free > 0.0:
        said.append(
            f"Even for nothing {name} would bring {about(of.free, price.money)} a colony, less than these "
            "seasons can tell apart from nothing."
        )
    elif not of.feeding_now:
        said.append("At no price of feed does a plan pay here, not even for nothing.")
    if of.pays is not None and of.pays <= FAR:
        said.append(f"It {now} {then} {_fee(of.pays, question.target, units)}.")
    elif of.pays is not None:
        said.append(f"It {now} only {then} many times what the target pays.")
    by = round(100 * (of.believed - 1))
    if of.belief is not None:
        said.append(f"It {now} where feeding {_adds(of.belief, of.feeding_now)}; {by} % more is believed.")
    elif of.feeding_now:
        said.append(f"No weaker belief that is at all likely turns it; {by} % more bees are believed.")
    return tuple(said)


def _nothing(found: Found, money: str) -> str:
    other = best_fed(found)
    if other is None:
        return "No plan of feeding is left to compare it with."
    brings = other.gain + other.cost.total
    many = counted(round(other.rounds), "round")
    return (
        f"The best plan of feeding, {many}, brings {about(max(0.0, brings), money)} a colony and costs "
        f"{told(other.cost.total, money)}."
    )


def _out_of_reach(found: Found, target: Target) -> str:
    """Why a yard that runs short of bread is not fed for this: the goal is too far, fed or not."""
    other = best_fed(found)
    if other is None or not isinstance(target, Frames | Splits | WinterBees):
        return ""
    if max(found.best.chance, other.chance) >= HARDLY:
        return ""
    return (
        "Fed or not, fewer than 5 in 100 get there by that day, and only that is counted here: "
        "ask for a later day or a smaller goal, or for “Keep them alive”."
    )


def best_fed(found: Found) -> Ranked | None:
    """The plan of feeding that comes nearest, of those that feed at all; None where none is left."""
    fed = [one for one in found.finalists if one.plan.pieces and one.rounds >= 1.0]
    return max(fed, key=lambda one: one.money, default=None)


def _price(a_kg: float, money: str, units: Units | None) -> str:
    a_pound = f"{told(a_kg * GRAMS_A_POUND / 1000.0, money)} a lb"
    if units == "lb":
        return a_pound
    return f"{told(a_kg, money)} a kg" + ("" if units == "g" else f" ({a_pound})")


def _fee(times: float, target: Target, units: Units | None) -> str:
    """What the target would have to pay; as a fee where there is only one, else as times of all of it."""
    if isinstance(target, HoneyFlow):
        return f"{_price(times * target.price.amount, target.price.money, units)} of honey"
    if isinstance(target, Frames) and (target.premium is not None or target.below is not None):
        return f"{times:.2g} times what the contract pays"
    of = target.fee if isinstance(target, Frames) else target.value
    return f"{about(times * of.amount, of.money)} where {about(of.amount, of.money)} is paid now"


def _adds(ratio: float, less: bool) -> str:
    per_cent = round(100 * abs(ratio - 1))
    if not per_cent:
        return (
            "adds next to no bees, or costs some, on average" if less else "adds any bees at all on average"
        )
    if ratio < 1.0:
        return f"costs {'more' if less else 'less'} than {per_cent} % of the bees on average"
    return f"adds {'less' if less else 'more'} than {per_cent} % bees on average"


def _more(more: float, money: str, close: float) -> str:
    if abs(more) < close:
        return "about the same"
    return f"{about(abs(more), money)} {'more' if more > 0 else 'less'}"
