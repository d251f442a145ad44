"""What a plan of the list takes of feed, as its order list has it, and what that comes to, in sentences."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, fsum

from breadline.errors import InputToMend
from breadline.jobs.check_hives import GETS, left_out
from breadline.jobs.rounds_answered import RoundsAnswer
from breadline.jobs.rounds_cut import own_patty
from breadline.jobs.rounds_paper import Printing, papers
from breadline.jobs.rounds_yard_paper import yard_paper
from breadline.language import noted, say, say_as
from breadline.need.words import counted
from breadline.plan.cuts import load_words
from breadline.plan.money import Amount
from breadline.plan.money import told as money_told
from breadline.plan.order import Item, Order
from breadline.plan.ranked import Ranked
from breadline.sheets.order_list import feed_said, needed_said
from breadline.trial.design import CheckArm

LEAST = 0.005  # money that is told [money]
CHECK = {
    GETS[CheckArm.SAME_CARE]: noted("{many} of the running check group left out"),
    GETS[CheckArm.USUAL]: noted("{many} of the running check group left out, fed as usual"),
    GETS[CheckArm.HALF]: noted("{many} of the running check group counted with half a piece"),
    GETS[CheckArm.SUGAR]: noted("{many} of the running check group left out, their sugar beside it"),
}


@dataclass(frozen=True)
class Needs:
    """What a plan takes for the yard."""

    patties: int
    grams: float  # [g]
    cost: float  # [money]
    spare: bool  # whether the spare is in it; not where no sheet can be printed of the plan
    check: tuple[str, ...] = ()  # who is told apart, in words
    beside: tuple[Item, ...] = ()  # syrup and sugar of the order list
    total: float | None = (
        None  # of the whole order list, by whole bags; None where a price is missing [money]
    )

    @property
    def sugar_cost(self) -> float | None:
        """What syrup and sugar come to; None where there is none, or without a price. [money]"""
        costs = [one.cost for one in self.beside if one.cost is not None]
        return fsum(costs) if self.beside and len(costs) == len(self.beside) else None


def needs(told: RoundsAnswer, at: Ranked) -> Needs:
    """Of its order list, spare included and check hives told apart.

    Of a plan that no sheet can be printed of: a full piece for every colony.
    """
    price = told.plan.feeds[at.plan.feed].price
    try:
        paper = left_out(yard_paper(told, at), told.kept)
        ordered = papers([paper], Printing(told.yard.today)).order
    except InputToMend:
        grams = at.feed_most_g * told.yard.colonies
        many = max(1, ceil(grams / own_patty(told, at.plan.feed).mass_g - 1e-6))
        return Needs(many, grams, grams / 1000.0 * price.amount, spare=False)
    cost = _bought(ordered)
    if cost is None:
        cost = ordered.feed_g / 1000.0 * price.amount
    most: dict[str, int] = {}
    for visit in paper.visits:
        for one in visit.left_out:
            most[one.gets] = max(most.get(one.gets, 0), sum(one.counts))
    check = tuple(say(CHECK[gets], many=counted(many, "check hive")) for gets, many in most.items())
    beside = tuple(item for item in ordered.items if item.beside)
    return Needs(ordered.patties, ordered.feed_g, cost, bool(paper.spare), check, beside, ordered.cost)


def _bought(ordered: Order) -> float | None:
    """What feed bought ready costs, by whole boxes where it has some; None where it is mixed. [money]"""
    ready = [item.cost for item in ordered.items if item.ready]
    return None if not ready or None in ready else fsum(cost for cost in ready if cost is not None)


def needs_words(told: RoundsAnswer, at: Ranked) -> str:
    """Feed for the yard: "12 patties, 12 lb", "400 g out of 1 patty"; a dash for "do nothing"."""
    if not at.plan.pieces:
        return "–"
    of = needs(told, at)
    return "; ".join((_words(told, at, of), *(_sugar_words(told, one) for one in of.beside)))


def _sugar_words(told: RoundsAnswer, item: Item) -> str:
    """ "3 gal of syrup, 67 % sugar"; by weight what is no syrup."""
    name = item.name if item.litres is not None else f"{item.name[0].lower()}{item.name[1:]}"
    return say("{amount} of {name}", amount=needed_said(item, told.allowed.patty.units), name=name)


def _sugar_bought(told: RoundsAnswer, item: Item) -> str:
    """The same with what it comes to, or that its price has to be asked."""
    words = _sugar_words(told, item)
    if item.cost is None or item.year is None:
        return say("{what} (ask its price)", what=words)
    comes_to = money_told(item.cost, item.money)
    return say("{what}, about {money} at the {year} quote", what=words, money=comes_to, year=item.year)


def _words(told: RoundsAnswer, at: Ranked, of: Needs) -> str:
    if not of.patties:
        return say_as("what to order", "none")
    own = own_patty(told, at.plan.feed).mass_g  # as it is bought
    many = counted(of.patties, "patty", "patties")
    weight = feed_said(of.grams, told.allowed.patty.units)
    whole = abs(of.patties * own - of.grams) < own / 100.0
    return f"{many}, {weight}" if whole else say("{weight} out of {many}", weight=weight, many=many)


def order_words(told: RoundsAnswer, at: Ranked) -> str:
    """What to order and what it comes to, as the order list has it; empty for "do nothing"."""
    if not at.plan.pieces:
        return ""
    said = to_order(told, at)
    return say("To order, {what}", what=said) if said else ""


def to_order(told: RoundsAnswer, at: Ranked) -> str:
    """The same without its head, as it stands beside one."""
    if not at.plan.pieces:
        return ""
    of = needs(told, at)
    price = told.plan.feeds[at.plan.feed].price
    what = _words(told, at, of)
    if of.patties:
        comes_to = money_told(of.cost, price.money)
        what = say("{what}, about {money} at the {year} quote", what=what, money=comes_to, year=price.year)
    what = "; ".join((what, *(_sugar_bought(told, one) for one in of.beside), *of.check, *_in_all(of, price)))
    said = say("spare included: {what}.", what=what) if of.spare else say("without spare: {what}.", what=what)
    said = f"{said} {_sugar_in_cost(told, at, of)}".strip()
    if not at.plan.by_rule:
        return said
    share = at.feed_most_g / max(1e-9, at.piece * fsum(piece.grams for piece in at.plan.pieces))
    if share > 1.0 - 1e-9:
        return said
    enough = load_words(of.grams * share, told.allowed.patty.units)
    more = say(
        "That is for all {n} rounds; {enough} is enough in 9 seasons of 10.",
        n=len(at.plan.pieces),
        enough=enough,
    )
    return f"{said} {more}"


def _in_all(of: Needs, price: Amount) -> tuple[str, ...]:
    """The order list's total, where it is not that of the feed alone."""
    if of.total is None or abs(of.total - of.cost) < LEAST:
        return ()
    return (say("in all {money}", money=money_told(of.total, price.money)),)


def _sugar_in_cost(told: RoundsAnswer, at: Ranked, of: Needs) -> str:
    """How much of the syrup is in what the plan costs a colony; empty where none is bought."""
    if of.sugar_cost is None:
        return ""
    money, each = told.answer.question.prices.money, of.sugar_cost / told.yard.colonies
    return say(
        "Syrup and sugar are {all} a colony of that; in the cost a colony stands {extra}, what more "
        "bees eat: the rest they need without protein too.",
        all=money_told(each, money),
        extra=money_told(at.cost.syrup, money),
    )
