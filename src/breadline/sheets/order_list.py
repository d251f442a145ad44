"""The order list on one page: what to buy for all rounds, and what each round takes."""

from __future__ import annotations

from datetime import date
from typing import Any

from breadline.errors import RecordError
from breadline.need.words import counted, day_and_year, day_range
from breadline.plan.cuts import GRAMS_A_POUND, Units, mass_words
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
        raise RecordError("order list", "no round is planned", "at least one", "Nothing has to be ordered")
    if len(order.rounds) > MOST_ROUNDS or len(order.items) > MOST_ITEMS:
        raise RecordError(
            "order list", f"{len(order.rounds)} rounds of {len(order.items)} kinds",
            f"up to {MOST_ROUNDS} and {MOST_ITEMS}", "Order for a part of the plan",
        )  # fmt: skip
    return {
        **letterhead(paper, f"Order list · {long_date(on)}"),
        "title": f"{cut(order.feed, 40)}, {counted(len(order.rounds), 'round')}",
        "when": _when(order),
        "buy": {
            "head": "To order, spare included",
            "columns": ["What", "Needed", "Order", "Price", "Comes to", "Ordered"],
            "rows": [_bought(item, units) for item in order.items],
            "total": _total(order),
        },
        "rounds": {
            "head": "By round",
            "columns": ["Round", "First truck", "Yards", "Hives fed", "Patties", "Feed", "Syrup"],
            "rows": [_round(need, units) for need in order.rounds],
            "sum": _sum(order, units),
        },
        "signs": ["Ordered by", "On", "Comes on"],
        "foot": cut(f"{_foot(order, units)} {note}".strip(), LONGEST_FOOT),
    }


def _when(order: Order) -> str:
    first, last = order.rounds[0].first, max(need.last for need in order.rounds)
    if first.year != last.year:
        return f"{day_and_year(first)} to {day_and_year(last)}."
    return f"{day_range(first, last)} {last.year}."


def _bought(item: Item, units: Units) -> list[str]:
    if item.litres is not None:
        needed = syrup_said(item.litres, units)
    else:
        needed = weight_said(item.grams or 0.0, _SYSTEM[units])
    return [cut(item.name, 48), needed, _packs(item, units) or needed, _each(item, units), _cost(item)]


def _packs(item: Item, units: Units) -> str:
    if item.packs is None or item.pack_g is None:
        return ""
    noun, many = ("box", "boxes") if item.ready else ("bag", "bags")
    return f"{counted(item.packs, noun, many)} of {bag_said(item.pack_g, _SYSTEM[units])}"


def _each(item: Item, units: Units) -> str:
    if item.each is None or item.year is None:
        return "ask"
    if item.packs is not None:
        return f"{_to_the_cent(item.each, item.money)} a {'box' if item.ready else 'bag'} ({item.year})"
    if item.litres is not None:
        per, unit = (item.each * GALLON_L, "gal") if units == "lb" else (item.each, "L")
    else:
        per, unit = (item.each * GRAMS_A_POUND / 1000, "lb") if units == "lb" else (item.each, "kg")
    return f"{_to_the_cent(per, item.money)} a {unit} ({item.year})"


def _to_the_cent(amount: float, unit: str) -> str:
    """A price that somebody will multiply by hand."""
    return f"{amount:,.2f} {unit}" if unit[-1:].isalpha() else f"{unit}{amount:,.2f}"


def _cost(item: Item) -> str:
    return "–" if item.cost is None else money(item.cost, item.money)


def _total(order: Order) -> str:
    """The sum with the years of its prices, or why there is none."""
    if order.cost is not None:
        years = " and ".join(str(year) for year in order.years)
        return f"In all {money(order.cost, order.items[0].money)}, at your {years} prices."
    without = [item.name for item in order.items if item.cost is None]
    if without:
        return cut(f"No total: ask a price for {', '.join(without)}.", 200)
    return "No total: the prices are in different money." if order.items else "Nothing has to be ordered."


def _round(need: RoundNeed, units: Units) -> list[str]:
    syrup = syrup_said(need.syrup_l, units) if need.syrup_l else "–"
    patties = f"{need.for_hives:,} + {need.spare:,}"
    return [f"{need.round}", day_and_year(need.first), f"{need.yards:,}", f"{need.fed:,}", patties,
            weight_said(need.feed_g, _SYSTEM[units]), syrup]  # fmt: skip


def _sum(order: Order, units: Units) -> list[str]:
    there = order.rounds
    patties = f"{sum(need.for_hives for need in there):,} + {sum(need.spare for need in there):,}"
    if _goes_on(order):
        patties = f"{order.patties:,}"
    syrup = sum(need.syrup_l for need in there)
    feed = weight_said(order.feed_g, _SYSTEM[units])
    return ["In all", "", "", "", patties, feed, syrup_said(syrup, units) if syrup else "–"]


def _foot(order: Order, units: Units) -> str:
    cut_from = " or ".join(mass_words(grams, units) for grams in order.patty_g)
    bags = "Whole bags and boxes are worked over all rounds together."
    left = (
        " What a round leaves of its patties goes on the next, so all together are fewer."
        if _goes_on(order)
        else ""
    )
    return f"Patties of {cut_from}: for the hives + spare.{left} {bags}"


def _goes_on(order: Order) -> bool:
    """Whether what a round leaves spares patties of the next."""
    return order.patties < sum(need.patties for need in order.rounds)
