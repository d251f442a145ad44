"""What is said under a list of plans where another of them stands above the best, or looks so."""

from __future__ import annotations

from breadline.jobs.rounds import RoundsAnswer
from breadline.jobs.rounds_aim import chance_cell
from breadline.jobs.rounds_words import feed_lead, gain_words, plan_name, sure
from breadline.language import say
from breadline.plan.ranked import Ranked


def near_words(told: RoundsAnswer) -> str:
    """That a plan of the list stands above the best, and how that comes; empty where none does.

    So does one that is told with the same money and the higher chance.
    """
    best = told.answer.found.best
    over = [one for one in told.plans
            if not one.struck and one.plan.kind not in ("nothing", "move") and one.money > best.money
            and gain_words(told, one) != gain_words(told, best)]  # fmt: skip
    if not best.plan.pieces:
        return ""
    if not over:
        return _likelier(told, best)
    top = max(over, key=lambda one: one.money)
    brings = f"{feed_lead(told, top)}{plan_name(told, top)}"
    if min(top.piece, best.piece) < 1.0:
        return say(
            "{brings} stands above the best by about {money} a colony: the search chose with a full piece "
            "for every colony, and each is told as it is given. Take the one that suits your days.",
            brings=brings,
            money=sure(told, top.money - best.money),
        )
    return say(
        "{brings} stands above the best by about {money} a colony: the best was chosen "
        "in one half of the seasons and is told by the other, where the order turned. "
        "The two are nearer than these seasons can tell apart; take the one that suits "
        "your days.",
        brings=brings,
        money=sure(told, top.money - best.money),
    )


def _likelier(told: RoundsAnswer, best: Ranked) -> str:
    """That a plan of the same money, as it is told, has the higher chance; empty where none has."""
    level = [one for one in told.plans
             if not one.struck and one.plan.pieces and one.chance > best.chance
             and gain_words(told, one) == gain_words(told, best)
             and chance_cell(told, one) != chance_cell(told, best)]  # fmt: skip
    if not level:
        return ""
    top = max(level, key=lambda one: one.chance)
    return say(
        "{brings} reads the same money as the best and the higher chance: the best is chosen by money alone, "
        "before it is rounded, in one half of the seasons. Take the one that suits your days.",
        brings=f"{feed_lead(told, top)}{plan_name(told, top)}",
    )
