"""Why the best plan is the best, and where the answer turns, in sentences."""

from __future__ import annotations

from breadline.knowledge.shelf import Reader
from breadline.need.words import chance_in_hundred, counted, from_few_years
from breadline.plan.flips import Flips
from breadline.plan.money import told
from breadline.plan.search import Found
from breadline.plan.tried import Question

KG_A_POUND = 0.45359237
SAME = 0.5  # money closer than this is told as about the same [money/colony]


def why_best(found: Found, question: Question, reader: Reader) -> tuple[str, ...]:
    """Sentences on the best plan against doing nothing, and against itself with one thing changed."""
    money, best = question.prices.money, found.best
    if not best.plan.pieces:
        return (_nothing(found, money),)
    few = question.ensemble.few_years
    pays = f"{chance_in_hundred(best.pays, few)} seasons{from_few_years(few)}"
    said = [
        f"It brings {told(best.gain, money)} a colony over doing nothing (8 seasons in "
        f"10: {told(best.gain_low, money)} to {told(best.gain_high, money)}) after "
        f"{told(best.cost.total, money)} of cost, and pays in {pays}."
    ]
    if best.gain < reader.typical("plan.fair_chance") * best.cost.total:
        said.append("That is about even: doing nothing is as good a choice.")
    changes = [f"{one.what} {_more(one.more, money)}" for one in found.beside if not one.told.struck]
    if changes:
        said.append(f"One thing changed, a colony: {'; '.join(changes)}.")
    if found.missed:
        worst = min(range(len(found.missed)), key=lambda k: found.missed[k].gain)
        lost = found.missed[worst].gain
        of = f"round {worst + 1} of {best.plan.rounds}"
        said.append(f"A round missed costs up to {told(-lost, money)} a colony ({of})." if lost < -SAME else
                    "A round missed costs next to nothing in money.")  # fmt: skip
    return tuple(said)


def turns(of: Flips, question: Question) -> tuple[str, ...]:
    """At what feed price, fee or belief the answer turns, in sentences."""
    price, said = question.prices.feeds[of.feed].price, []
    now, then = ("stops paying", "below") if of.feeding_now else ("begins to pay", "above")
    if of.feed_price is not None:
        at, asked = (_price(price.amount * times, price.money) for times in (of.feed_price, 1.0))
        end = "above" if of.feeding_now else "below"
        said.append(f"Feeding {now} {end} {at} of feed; asked: {asked} ({price.year}).")
    elif not of.feeding_now:
        said.append("At no price of feed does a plan pay here, not even for nothing.")
    if of.pays is not None:
        times = f"{of.pays:.2g} times what the target pays"
        said.append(f"It {now} {then} {times}.")
    by = round(100 * (of.believed - 1))
    if of.belief is not None:
        said.append(f"It {now} where feeding {_adds(of.belief, of.feeding_now)}; {by} % more is believed.")
    elif of.feeding_now:
        said.append(f"No weaker belief that is at all likely turns it; {by} % more bees are believed.")
    return tuple(said)


def _nothing(found: Found, money: str) -> str:
    fed = [one for one in found.finalists if one.plan.pieces and one.rounds >= 1.0]
    if not fed:
        return "No plan of feeding is left to compare it with."
    other = max(fed, key=lambda one: one.money)
    brings = other.gain + other.cost.total
    many = counted(round(other.rounds), "round")
    return (
        f"The best plan of feeding, {many}, brings {told(max(0.0, brings), money)} a colony and costs "
        f"{told(other.cost.total, money)}."
    )


def _price(a_kg: float, money: str) -> str:
    return f"{told(a_kg, money)} a kg ({told(a_kg * KG_A_POUND, money)} a lb)"


def _adds(ratio: float, less: bool) -> str:
    per_cent = round(100 * abs(ratio - 1))
    if ratio < 1.0 and per_cent:
        return f"costs {'more' if less else 'less'} than {per_cent} % of the bees on average"
    return f"adds {'less' if less else 'more'} than {per_cent} % bees on average"


def _more(more: float, money: str) -> str:
    if abs(more) < SAME:
        return "about the same"
    return f"{told(abs(more), money)} {'more' if more > 0 else 'less'}"
