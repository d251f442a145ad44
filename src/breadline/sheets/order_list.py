"""The order list on one page: what to buy for all rounds, and what each round takes."""

from __future__ import annotations

from datetime import date
from math import fsum
from typing import Any

from breadline.errors import RecordError
from breadline.language import say, say_as, say_counted
from breadline.measures import Units, of_money
from breadline.need.words import counted, day_and_year, day_range
from breadline.plan.cuts import GRAMS_A_POUND, mass_words
from breadline.plan.order import Item, Order, RoundNeed
from breadline.ration.batch_contents import money
from breadline.ration.batch_words import bag_said
from breadline.ration.measures import GALLON_L, System, weight_said
from breadline.sheets.letterhead import Paper, cut, letterhead, long_date
from breadline.sheets.printed import printed
from breadline.sheets.syrup_words import syrup_said

MOST_ROUNDS, MOST_ITEMS = 24, 24  # lines that a page takes
LONGEST_FOOT = 480  # letters
_SYSTEM: dict[Units, System] = {"lb": "lb", "g": "kg"}


def order_list(order: Order, units: Units, on: date, paper: Paper, note: str = "") -> bytes:
    """The list as a tagged PDF of exactly one page, dated ``on``; ``note`` stands at its foot.

    Errors
    ------
    RecordError
        If the paper is none of ``Paper``, nothing is to be fed, or there are more lines than a page takes.
    """
    return printed("order_list.typ", order_list_data(order, units, on, paper, note), on)


def order_list_data(order: Order, units: Units, on: date, paper: Paper, note: str = "") -> dict[str, Any]:
    """Everything the list says, as plain data; its words are never markup."""
    if not order.rounds:
        raise RecordError(
            "order list", say("no round is planned"), say("at least one"), say("Nothing has to be ordered")
        )
    if len(order.rounds) > MOST_ROUNDS or len(order.items) > MOST_ITEMS:
        raise RecordError(
            "order list",
            say("{rounds} rounds of {items} kinds", rounds=len(order.rounds), items=len(order.items)),
            say("up to {most_rounds} and {most_items}", most_rounds=MOST_ROUNDS, most_items=MOST_ITEMS),
            say("Order for a part of the plan"),
        )
    return {
        **letterhead(paper, say("Order list · {long_date}", long_date=long_date(on))),
        "title": f"{cut(order.feed, 40)}, {counted(len(order.rounds), 'round')}",
        "when": _when(order),
        "buy": {
            "head": say("To order, spare included"),
            "columns": [
                say("What"),
                say("Needed"),
                say("Order"),
                say("Price"),
                say("Comes to"),
                say("Ordered"),
            ],
            "rows": [_bought(item, units) for item in order.items],
            "total": _total(order),
        },
        "rounds": {
            "head": say("By round"),
            "columns": [
                say("Round"),
                say("First truck"),
                say("Yards"),
                say("Hives fed"),
                say("Patties"),
                say("Feed"),
                say("Syrup"),
            ],
            "rows": [_round(need, units) for need in order.rounds],
            "sum": _sum(order, units),
        },
        "signs": [say("Ordered by"), say("On"), say("Comes on")],
        "foot": cut(f"{_foot(order, units)} {note}".strip(), LONGEST_FOOT),
    }


def _when(order: Order) -> str:
    first, last = order.rounds[0].first, max(need.last for need in order.rounds)
    if first.year != last.year:
        return say(
            "{day_and_year} to {day_and_year2}.",
            day_and_year=day_and_year(first),
            day_and_year2=day_and_year(last),
        )
    return say_as("dates", "{days} {year}.", days=day_range(first, last), year=last.year)


def needed_said(item: Item, units: Units) -> str:
    """How much of it: syrup by the gallon or litre, all else by weight."""
    if item.litres is not None:
        return syrup_said(item.litres, units)
    return weight_said(item.grams or 0.0, _SYSTEM[units])


def feed_said(grams: float, units: Units) -> str:
    """Feed of the order, in all or of a round, by weight: "10.5 kg", "47½ lb". [g]"""
    return weight_said(grams, _SYSTEM[units])


def _bought(item: Item, units: Units) -> list[str]:
    needed = needed_said(item, units)
    return [cut(item.name, 48), needed, _packs(item, units) or needed, _each(item, units), _cost(item)]


def _packs(item: Item, units: Units) -> str:
    if item.packs is None or item.pack_g is None:
        return ""
    packs = counted(item.packs, "box", "boxes") if item.ready else counted(item.packs, "bag")
    return say("{packs} of {size}", packs=packs, size=bag_said(item.pack_g, _SYSTEM[units]))


def _each(item: Item, units: Units) -> str:
    if item.each is None or item.year is None:
        return say("ask")
    if item.packs is not None:
        pack = say("box") if item.ready else say("bag")
        return say(
            "{price} a {unit} ({year})", price=_to_the_cent(item.each, item.money), unit=pack, year=item.year
        )
    if item.litres is not None:
        per, unit = (item.each * GALLON_L, "gal") if units == "lb" else (item.each, "L")
    else:
        per, unit = (item.each * GRAMS_A_POUND / 1000, "lb") if units == "lb" else (item.each, "kg")
    return say("{price} a {unit} ({year})", price=_to_the_cent(per, item.money), unit=unit, year=item.year)


def _to_the_cent(amount: float, unit: str) -> str:
    """A price that somebody will multiply by hand."""
    return of_money(f"{amount:,.2f}", unit)


def _cost(item: Item) -> str:
    return "–" if item.cost is None else money(item.cost, item.money)


def _total(order: Order) -> str:
    """The sum with the years of its prices, or why there is none."""
    if order.cost is not None:
        return say(
            "In all {money}, at your {years} prices.",
            money=money(order.cost, order.items[0].money),
            years=_years(order),
        )
    without = [item.name for item in order.items if item.cost is None]
    if without:
        asked = say("No total: ask a price for {join}.", join=", ".join(without))
        return cut(f"{asked} {_without_them(order)}".strip(), 300)
    return (
        say("No total: the prices are in different money.")
        if order.items
        else say("Nothing has to be ordered.")
    )


def _without_them(order: Order) -> str:
    """What is priced comes to; empty where nothing is, or in different money."""
    priced = [item for item in order.items if item.cost is not None]
    if not priced or len({item.money for item in priced}) > 1:
        return ""
    comes_to = money(fsum(item.cost or 0.0 for item in priced), priced[0].money)
    return say("Without it {money}, at your {years} prices.", money=comes_to, years=_years(order))


def _years(order: Order) -> str:
    return say(" and ").join(str(year) for year in order.years)


def _round(need: RoundNeed, units: Units) -> list[str]:
    syrup = syrup_said(need.syrup_l, units) if need.syrup_l else "–"
    patties = f"{need.for_hives:,} + {need.spare:,}"
    return [f"{need.round}", day_and_year(need.first), f"{need.yards:,}", f"{need.fed:,}", patties,
            feed_said(need.feed_g, units), syrup]  # fmt: skip


def _sum(order: Order, units: Units) -> list[str]:
    there = order.rounds
    patties = f"{sum(need.for_hives for need in there):,} + {sum(need.spare for need in there):,}"
    if _goes_on(order):
        patties = f"{order.patties:,}"
    syrup = sum(need.syrup_l for need in there)
    feed = feed_said(order.feed_g, units)
    return [say("In all"), "", "", "", patties, feed, syrup_said(syrup, units) if syrup else "–"]


def _foot(order: Order, units: Units) -> str:
    cut_from = say(" or ").join(mass_words(grams, units) for grams in order.patty_g)
    bags = say("Whole bags and boxes are worked over all rounds together.")
    left = (
        say(" What a round leaves of its patties goes on the next, so all together are fewer.")
        if _goes_on(order)
        else ""
    )
    told = say(
        "Patties of {cut_from}: for the hives + spare.{left} {bags}", cut_from=cut_from, left=left, bags=bags
    )
    apart = max(need.without_feed for need in order.rounds)
    if not apart:
        return told
    none = say_counted("{n:,} check hive gets none of it.", "{n:,} check hives get none of it.", apart)
    return f"{told} {none}"


def _goes_on(order: Order) -> bool:
    """Whether what a round leaves spares patties of the next."""
    return order.patties < sum(need.patties for need in order.rounds)
