"""Why the best plan is the best, and where the answer turns, in sentences."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from breadline.knowledge.shelf import Reader
from breadline.language import noted, say
from breadline.measures import Units
from breadline.need.words import chance_in_hundred, counted, from_few_years
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.plan.flips import Flips
from breadline.plan.money import about, told
from breadline.plan.ranked import Ranked
from breadline.plan.search import Found
from breadline.plan.targets import Frames, HoneyFlow, Splits, Target, WinterBees
from breadline.plan.tried import Question

BREAD_ALONE = noted(
    "The list of yards asks whether bread runs short and may say to feed; here only what "
    "feeding brings for this goal counts, after its cost."
)
BREAD_TOO = noted(
    "The list of yards asks whether bread runs short, and may say that it is too early or that there is no "
    "need; here what feeding brings for this goal counts, after its cost."
)
HARDLY = 0.05  # chance of a goal [share]
LEAST_FED = 0.5  # of a plan that feeds at all, in the mean of the seasons [rounds]
FAR = 5.0  # times a fee; farther off than that no fee is told


def why_best(found: Found, question: Question, reader: Reader) -> tuple[str, ...]:
    """Sentences on the best plan against doing nothing, and against itself with one thing changed."""
    money, best, close = question.prices.money, found.best, question.close
    if not best.plan.pieces:
        far = _out_of_reach(found, question.target)
        return tuple(text for text in (_nothing(found, money), far, say(BREAD_ALONE)) if text)
    few = question.ensemble.few_years
    pays = say("{chance} seasons{few}", chance=chance_in_hundred(best.pays, few), few=from_few_years(few))
    said = [
        say(
            "It brings {money} a colony over doing nothing (8 seasons in 10: {low} to {high}) after "
            "{cost} of "
            "cost, and pays in {pays}.",
            money=about(best.gain, money),
            low=about(best.gain_low, money),
            high=about(best.gain_high, money),
            cost=told(best.cost.total, money),
            pays=pays,
        )
    ]
    if best.gain < reader.typical("plan.fair_chance") * best.cost.total:
        said.append(say("That is about even: doing nothing is as good a choice."))
    changes = [_more(one.what, one.more, money, close) for one in found.beside if not one.told.struck]
    if changes:
        said.append(say("One thing changed, a colony: {changes}.", changes="; ".join(changes)))
    if found.missed:
        worst = min(range(len(found.missed)), key=lambda k: found.missed[k].gain)
        lost = found.missed[worst].gain
        said.append(
            say(
                "A round missed costs up to {money} a colony (round {n} of {rounds}).",
                money=about(-lost, money),
                n=worst + 1,
                rounds=best.plan.rounds,
            )
            if lost < -close
            else say("A round missed costs next to nothing in money.")
        )
    return (*said, say(BREAD_TOO))


def turns(
    of: Flips, question: Question, units: Units | None = None, struck_pays: bool = False
) -> tuple[str, ...]:
    """At what feed price, fee or belief the answer turns, in sentences; ``units`` None says both.

    ``struck_pays``: some plan that is struck out would pay.

    Nothing where no plan is left to turn to.
    """
    if not of.any_left:
        return ()
    said = [
        text
        for text in (_price_turns(of, question, units, struck_pays), _fee_turns(of, question, units))
        if text
    ]
    by = round(100 * (of.believed - 1))
    if of.belief is not None:
        adds = _adds(of.belief, of.feeding_now)
        said.append(
            say("It stops paying where feeding {adds}; {by} % more is believed.", adds=adds, by=by)
            if of.feeding_now
            else say("It begins to pay where feeding {adds}; {by} % more is believed.", adds=adds, by=by)
        )
    elif of.feeding_now:
        said.append(
            say("No weaker belief that is at all likely turns it; {by} % more bees are believed.", by=by)
        )
    return tuple(said)


def _price_turns(of: Flips, question: Question, units: Units | None, struck_pays: bool) -> str:
    feeds = question.prices.feeds
    price, name = feeds[of.feed].price, feeds[of.feed].name if len(feeds) > 1 else say("feed")
    if of.feed_price is not None:
        at, asked = (_price(price.amount * times, price.money, units) for times in (of.feed_price, 1.0))
        told = {"at": at, "asked": asked, "name": name, "year": price.year}
        if len(feeds) > 1:  # the others may still pay
            return _of_one_feed(told, of.feeding_now)
        if of.feeding_now:
            return say("Feeding stops paying above {at} of {name}; asked: {asked} ({year}).", **told)
        return say("Feeding begins to pay below {at} of {name}; asked: {asked} ({year}).", **told)
    if of.feeding_now:
        return ""
    if of.free > 0.0:
        return say(
            "Even for nothing {name} would bring {money} a colony, less than these seasons can tell apart "
            "from nothing.",
            name=name,
            money=about(of.free, price.money),
        )
    if struck_pays:
        return say(
            "Of the plans that are not struck out none pays at any price of feed, not even for nothing."
        )
    return say("At no price of feed does a plan pay here, not even for nothing.")


def _of_one_feed(told: Mapping[str, Any], feeding_now: bool) -> str:
    if feeding_now:
        return say("{name} stops paying above {at}; asked: {asked} ({year}).", **told)
    return say("{name} begins to pay below {at}; asked: {asked} ({year}).", **told)


def _fee_turns(of: Flips, question: Question, units: Units | None) -> str:
    if of.pays is None:
        return ""
    if of.pays > FAR:
        if of.feeding_now:
            return say("It stops paying only below many times what the target pays.")
        return say("It begins to pay only above many times what the target pays.")
    fee = _fee(of.pays, question.target, units)
    if of.feeding_now:
        return say("It stops paying below {fee}.", fee=fee)
    return say("It begins to pay above {fee}.", fee=fee)


def _nothing(found: Found, money: str) -> str:
    other = best_fed(found)
    if other is None:
        return say("No plan of feeding is left to compare it with.")
    brings = other.gain + other.cost.total
    many = counted(round(other.rounds), "round")
    if other.gain > 0.0:  # by less than seasons can tell apart
        return say(
            "The best plan of feeding, {many}, brings about what it costs, {cost} a colony.",
            many=many,
            cost=told(other.cost.total, money),
        )
    return say(
        "The best plan of feeding, {many}, brings {money} a colony and costs {cost}.",
        many=many,
        money=about(max(0.0, brings), money),
        cost=told(other.cost.total, money),
    )


def _out_of_reach(found: Found, target: Target) -> str:
    """Why a yard that runs short of bread is not fed for this: the goal is too far, fed or not."""
    other = best_fed(found)
    if other is None or not isinstance(target, Frames | Splits | WinterBees):
        return ""
    if max(found.best.chance, other.chance) >= HARDLY:
        return ""
    return say(
        "Fed or not, 5 in 100 or fewer get there by that day, and only that is counted "
        "here: ask for a later day or a smaller goal, or for “Keep them alive”."
    )


def struck_pays(found: Found, close: float) -> bool:
    """Whether a plan that is struck out would pay more than ``close`` [money/colony]."""
    return any(one.gain > close for one in found.struck)


def best_fed(found: Found) -> Ranked | None:
    """The plan of feeding that comes nearest, of those that feed at all; None where none is left.

    One whose rounds are left out in many seasons only where no other is left.
    """
    fed = [one for one in found.finalists if one.plan.pieces and one.rounds > LEAST_FED]
    return max(fed, key=lambda one: (one.rounds >= 1.0, one.money), default=None)


def _price(a_kg: float, money: str, units: Units | None) -> str:
    a_pound = say("{money} a lb", money=told(a_kg * GRAMS_A_POUND / 1000.0, money))
    if units == "lb":
        return a_pound
    return say("{money} a kg", money=told(a_kg, money)) + ("" if units == "g" else f" ({a_pound})")


def _fee(times: float, target: Target, units: Units | None) -> str:
    """What the target would have to pay; as a fee where there is only one, else as times of all of it."""
    if isinstance(target, HoneyFlow):
        return say("{price} of honey", price=_price(times * target.price.amount, target.price.money, units))
    if isinstance(target, Frames) and (target.premium is not None or target.below is not None):
        return say("{times:.2g} times what the contract pays", times=times)
    of = target.fee if isinstance(target, Frames) else target.value
    return say(
        "{money} where {money2} is paid now",
        money=about(times * of.amount, of.money),
        money2=told(of.amount, of.money),
    )


def _adds(ratio: float, less: bool) -> str:
    per_cent = round(100 * abs(ratio - 1))
    if not per_cent:
        return (
            say("adds next to no bees, or costs some, on average")
            if less
            else say("adds any bees at all on average")
        )
    if ratio < 1.0:
        return (
            say("costs more than {n} % of the bees on average", n=per_cent)
            if less
            else say("costs less than {n} % of the bees on average", n=per_cent)
        )
    return (
        say("adds less than {n} % bees on average", n=per_cent)
        if less
        else say("adds more than {n} % bees on average", n=per_cent)
    )


def _more(what: str, more: float, money: str, close: float) -> str:
    if abs(more) < close:
        return say("{what} about the same", what=what)
    told = about(abs(more), money)
    return (
        say("{what} {money} more", what=what, money=told)
        if more > 0
        else say("{what} {money} less", what=what, money=told)
    )
