"""What a plan of the list takes of feed, and what it comes to, in sentences."""

from __future__ import annotations

from math import ceil

from breadline.jobs.rounds import RoundsAnswer
from breadline.jobs.rounds_cut import own_patty
from breadline.need.words import counted
from breadline.plan.cuts import mass_words
from breadline.plan.money import told as money_told
from breadline.plan.ranked import Ranked


def needs_words(told: RoundsAnswer, at: Ranked) -> str:
    """Feed for the yard: "12 patties, 12 lb", "400 g out of 1 patty"; a dash for "do nothing"."""
    if not at.plan.pieces:
        return "–"
    grams = at.feed_most_g * told.yard.colonies
    own = own_patty(told, at.plan.feed).mass_g  # as it is bought
    count, weight = max(1, ceil(grams / own - 1e-6)), mass_words(grams, told.allowed.patty.units)
    many = counted(count, "patty", "patties")
    return f"{many}, {weight}" if abs(count * own - grams) < own / 100.0 else f"{weight} out of {many}"


def order_words(told: RoundsAnswer, at: Ranked) -> str:
    """What to order and what it comes to; empty for "do nothing"."""
    if not at.plan.pieces:
        return ""
    price = told.answer.question.prices.feeds[at.plan.feed].price
    kg = at.feed_most_g * told.yard.colonies / 1000.0
    comes_to = money_told(kg * price.amount, price.money)
    said = f"To order, without spare: {needs_words(told, at)}, about {comes_to} at the {price.year} quote."
    if not at.plan.by_rule:
        return said
    return f"{said} That is enough in 9 seasons of 10; the order list has all {len(at.plan.pieces)} rounds."
