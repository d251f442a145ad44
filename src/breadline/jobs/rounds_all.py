"""The rounds of several yards at once: who feeds what from when, what it brings, and one order for all."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from math import fsum

from breadline.errors import InputToMend
from breadline.jobs import rounds_words as words
from breadline.jobs.check_hives import left_out
from breadline.jobs.rounds_answered import RoundsAnswer
from breadline.jobs.rounds_given import who_gets_it
from breadline.jobs.rounds_needs import order_words
from breadline.jobs.rounds_paper import Printing, papers
from breadline.jobs.rounds_who import crew_words
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.language import say, say_counted
from breadline.need.words import counted
from breadline.plan.money import about
from breadline.plan.money import told as money_told
from breadline.plan.order import Order
from breadline.plan.ranked import Ranked
from breadline.plan.why import struck_pays
from breadline.sheets.order_list import needed_said

Line = tuple[str, str]
LATE = date.max  # of a yard that is not fed
MANY = 4  # yards; so many are told in a few lines each


@dataclass(frozen=True)
class Taken:
    """A yard with the best plan of its list."""

    told: RoundsAnswer
    at: Ranked

    @property
    def feeds(self) -> bool:
        """Whether it is fed; not where its own facts speak against any round now."""
        return bool(self.at.plan.pieces) and self.told.before is None

    @property
    def order(self) -> tuple[int, date, float]:
        """Those that are fed first, by the day; "do nothing" comes after what is to be done first."""
        if self.feeds:
            return 0, self.told.answer.question.ensemble.on(self.at.plan.pieces[0].day), -self.at.gain
        return (1 if self.told.before is not None else 2), LATE, -self.at.gain


def best_of_each(answers: Sequence[RoundsAnswer]) -> tuple[Taken, ...]:
    """The best plan of each yard, in the order of what is to be done."""
    return tuple(sorted((Taken(one, one.taken(None)) for one in answers), key=lambda one: one.order))


def summary_lines(answers: Sequence[RoundsAnswer]) -> Iterator[Line]:
    """For a terminal, before the yards one by one."""
    taken = best_of_each(answers)
    yield "bold", head_words(taken)
    for one in taken:
        yield "", f" - {yard_line(one)}"
    for text in total_words(taken):
        yield "bold", text
    yield "", ""


def short_lines(answers: Sequence[RoundsAnswer]) -> Iterator[Line]:
    """Many yards for a terminal: all together, then a few lines each, in the order of what is to be done."""
    taken = best_of_each(answers)
    yield "bold", head_words(taken)
    for text in total_words(taken):
        yield "bold", text
    for one in taken:
        yield "", ""
        who = f"{one.told.yard.name}, {_colonies(one.told.yard.colonies)}"
        yield "bold", f"{who}: {words.decision(one.told)}"
        yield from (("", f" - {text}") for text in _short(one) if text)
    yield "", ""
    yield "", say('What one yard rests on: ask again with --yard "{name}".', name=taken[0].told.yard.name)
    yield "", ""


def _short(one: Taken) -> tuple[str, ...]:
    """What its best plan brings and costs, who gets it, what is ordered, and what to take care of."""
    told, at = one.told, one.at
    if not one.feeds:
        return () if told.before is not None else (*told.answer.why[:1], *_would_pay(told))
    gets = (crew_words(told, at, who_gets_it(told, at)), order_words(told, at))
    return words.money_line(told, at), " ".join(filter(None, gets)), *words.cautions(told)[:1]


def _would_pay(told: RoundsAnswer) -> tuple[str, ...]:
    """Why the plan that would pay most is struck out, where one is that would."""
    found = told.answer.found
    if not struck_pays(found, told.answer.question.close):
        return ()
    most = max(found.struck, key=lambda one: one.gain)
    return (say("Struck out: {plan}", plan=words.struck_line(told, most)),)


def head_words(taken: Sequence[Taken]) -> str:
    """How many of the yards are fed."""
    return say_counted(
        "{fed} of {n} yard is worth feeding; each is told below.",
        "{fed} of {n} yards are worth feeding; each is told below.",
        len(taken),
        fed=sum(one.feeds for one in taken),
    )


def yard_line(one: Taken) -> str:
    """One yard: what from when, money in the middle and its range, chance, and what is ordered."""
    told, at, who = one.told, one.at, f"{one.told.yard.name}, {_colonies(one.told.yard.colonies)}"
    if not one.feeds:
        return f"{who}: {words.decision(told)}"
    return f"{who}: {words.plan_line(told, at)}"


def _colonies(many: int) -> str:
    return counted(many, "colony", "colonies")


def ordered(taken: Sequence[Taken]) -> Order | None:
    """One order for all yards that are fed, as for one truck; None where none can be printed."""
    fed = [one for one in taken if one.feeds]
    if not fed:
        return None
    try:
        of = [left_out(yard_paper(one.told, one.at), one.told.kept) for one in fed]
        return papers(of, Printing(fed[0].told.yard.today)).order
    except InputToMend:
        return None


def total_words(taken: Sequence[Taken]) -> tuple[str, ...]:
    """The order of all yards, what feeding them costs and what it is expected to bring."""
    fed = [one for one in taken if one.feeds]
    if not fed:
        return ()
    said, first = [], fed[0].told
    units, question = first.allowed.patty.units, first.answer.question
    if (order := ordered(taken)) is not None:
        what = "; ".join(
            say("{amount} of {name}", amount=needed_said(item, units), name=item.name) for item in order.items
        )
        if order.cost is None:
            said.append(say("To order for all of them, spare included: {what}.", what=what))
        else:
            costs = money_told(order.cost, order.items[0].money)
            said.append(
                say(
                    "To order for all of them, spare included: {what}; in all {money}.",
                    what=what,
                    money=costs,
                )
            )
    if len({one.told.answer.question.prices.money for one in fed}) == 1:
        gain = fsum(one.at.gain * one.told.yard.colonies for one in fed)
        cost = fsum(one.at.cost.total * one.told.yard.colonies for one in fed)
        said.append(
            say(
                "All of them together: expected {gain} over doing nothing, after {cost} of cost.",
                gain=about(gain, question.prices.money),
                cost=about(cost, question.prices.money),
            )
        )
    return (*said, *_not_in_it(taken))


def _not_in_it(taken: Sequence[Taken]) -> tuple[str, ...]:
    """Yards that have a plan of feeding in the list and of which nothing is in the order of all."""
    held = [one.told.yard.name for one in taken if one.at.plan.pieces and not one.feeds]
    if not held:
        return ()
    return (say("Not in it: {yards}, where something else comes before feed.", yards=", ".join(held)),)


def shared_notes(notes: Sequence[Sequence[str]]) -> frozenset[str]:
    """What stands below more than half of the yards, so that it is said once."""
    many = Counter(text for of in notes for text in dict.fromkeys(of))
    return frozenset(text for text, n in many.items() if 2 * n > len(notes))
