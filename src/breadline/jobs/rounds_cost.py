"""What a plan costs a colony, part by part, and what of its order list is not in that."""

from __future__ import annotations

from breadline.jobs.rounds_answered import RoundsAnswer
from breadline.jobs.rounds_needs import LEAST, needs
from breadline.language import say
from breadline.plan.money import told as money_told
from breadline.plan.ranked import Ranked

LEFT_OVER = 1.0  # money of spare and boxes for the yard that is worth a sentence [money]


def cost_words(told: RoundsAnswer, at: Ranked) -> str:
    """Feed, labour, the way and sugar of a plan of rounds, as one line; empty for any other."""
    if not at.plan.pieces:
        return ""
    money = told.answer.question.prices.money
    parts = [
        f"{what} {money_told(amount, money)}"
        for what, amount in (
            (say("feed"), at.cost.feed),
            (say("labour"), at.cost.labour),
            (say("the way there"), at.cost.travel),
            (say("sugar for what more bees eat"), at.cost.syrup),
        )
        if amount >= LEAST
    ]
    said = say("Cost a colony: {parts}.", parts=", ".join(parts))
    return f"{said} {_not_in_it(told, at, money)}".strip()


def _not_in_it(told: RoundsAnswer, at: Ranked, money: str) -> str:
    """How much of the order's feed is spare, left in whole boxes, or of rounds that are likely left out."""
    over = needs(told, at).cost - at.cost.feed * told.yard.colonies
    if over < LEFT_OVER:
        return ""
    if at.plan.by_rule:
        return say(
            "Not in it, for the whole yard: {over} of the order, on average, for rounds left out while "
            "pollen comes in, spare and what is left of whole boxes.",
            over=money_told(over, money),
        )
    return say(
        "Not in it, for the whole yard: {over} of the order for spare and what is left of whole boxes.",
        over=money_told(over, money),
    )
