"""The cheapest mix as a page tells it: the sentence, the recipe, what holds its cost up, where it stands."""

from __future__ import annotations

import math
from dataclasses import dataclass

from breadline.language import say
from breadline.measures import of_money
from breadline.need.words import counted
from breadline.ration.batch_contents import money
from breadline.ration.measures import LB_G, System, weight_said
from breadline.ration.plain_words import PER, capital, listed, percent, small_money, told_apart
from breadline.ration.solved_words import TRACE, amount, bound_words, names
from breadline.ration.solver import Conflict, Solved
from breadline.ration.standing import Binding, LimitSaving, PriceRange, Standing
from breadline.ration.standing_words import FAR, price_end, soonest


@dataclass(frozen=True)
class PartLine:
    """One ingredient of the mix: share, weight in the batch, bags; what it was in the mix before."""

    name: str
    share: str
    weight: str
    bags: str
    was: str = ""


@dataclass(frozen=True)
class HoldLine:
    """A target at its bound, and what one step less of it saves."""

    target: str
    instead: str
    saves: str


@dataclass(frozen=True)
class RangeLine:
    """One price: what it is now, and from where to where this mix stands."""

    name: str
    now: str
    stands: str
    used: bool


def headline(found: Solved, unit: System) -> str:
    """What the mix costs and what is in it."""
    called = names(found.problem)
    parts = [f"{percent(s)} {called[k]}" for k, s in found.shares.items() if s >= TRACE]
    cost = per(found.cost_per_kg, found, unit)
    return say("{price} a {unit}: {parts}.", price=cost, unit=say(PER[unit]), parts=listed(parts))


def cost(found: Solved, unit: System) -> str:
    """What a pound or a kilogram of the mix costs, with the unit."""
    return say("{price} a {unit}", price=per(found.cost_per_kg, found, unit), unit=say(PER[unit]))


def per(cost_per_kg: float, found: Solved | Conflict, unit: System) -> str:
    """Money for a pound or a kilogram. [money/kg]"""
    by = LB_G / 1000.0 if unit == "lb" else 1.0
    value, of = cost_per_kg * by, found.problem.money
    if 0 < value < 0.1:
        return of_money(f"{value:.3f}", of)
    return money(value, of)


def part_lines(found: Solved, unit: System, before: Solved | None = None) -> list[PartLine]:
    """The recipe, most first; beside the mix ``before`` it, what changed and what no longer goes in."""
    called = names(found.problem)
    lines = [_part(found, key, called[key], unit, before) for key in _going_in(found)]
    if before is None:
        return lines
    gone = [key for key in _going_in(before) if key not in _going_in(found)]
    return lines + [
        PartLine(called[key], say("no more"), "", "", say("was {much}", much=_much(before, key)))
        for key in gone
    ]


def _going_in(found: Solved) -> list[str]:
    return [p.ingredient.key for p in found.recipe.parts if found.shares.get(p.ingredient.key, 0.0) >= TRACE]


def _part(found: Solved, key: str, name: str, unit: System, before: Solved | None) -> PartLine:
    grams = next(part.grams for part in found.recipe.parts if part.ingredient.key == key)
    weight = weight_said(grams, unit) if found.batch_kg is not None else ""
    was = ""
    if before is not None and _much(found, key) != _much(before, key):
        was = (
            say("was {much}", much=_much(before, key)) if before.shares.get(key, 0.0) >= TRACE else say("new")
        )
    return PartLine(name, percent(found.shares[key]), weight, _bags(found, key), was)


def _much(found: Solved, key: str) -> str:
    return _bags(found, key) or percent(found.shares.get(key, 0.0))


def _bags(found: Solved, key: str) -> str:
    count = found.bags.get(key, 0)
    return counted(count, "bag").replace(" ", "\u00a0") if count else ""


def hold_lines(found: Solved, stands: Standing, unit: System) -> list[HoldLine]:
    """What holds the cost up, the greatest saving first; a bound that costs nothing is left out."""
    lines = [_hold(found, b, unit) for b in stands.bindings if b.saving > 0]
    return lines + [_limit(found, each, unit) for each in stands.limits if each.saving > 0]


def _hold(found: Solved, b: Binding, unit: System) -> HoldLine:
    eased = b.bound - b.step if b.side == "least" else b.bound + b.step
    words = bound_words(found.problem, b.target, b.side, b.bound)
    return HoldLine(capital(words), amount(b.target, eased), _saves(found, b.saving, b.gap, unit))


def _limit(found: Solved, each: LimitSaving, unit: System) -> HoldLine:
    making, saves = found.problem.making, _saves(found, each.saving, each.gap, unit)
    if each.limit == "most ingredients":
        return HoldLine(say("At most {n} ingredients", n=making.most_ingredients), say("one more"), saves)
    if each.limit == "least if used":
        asked = say("At least {n:g} % of whatever goes in", n=making.least_if_used)
        return HoldLine(asked, say("as little as fits"), saves)
    return HoldLine(say("Whole bags only"), say("opened bags"), saves)


def _saves(found: Solved, saving: float, gap: float, unit: System) -> str:
    """A saving in per cent, and in money for a pound or a kilogram. [money/kg]"""
    told = {
        "share": percent(saving / found.cost_per_kg), "unit": say(PER[unit]),
        "money": small_money(saving, found.problem.money, unit),
    }  # fmt: skip
    if gap > 1e-5:
        return say("at most {share}, {money} a {unit}", **told)
    return say("{share}, {money} a {unit}", **told)


def range_lines(found: Solved, stands: Standing, unit: System) -> list[RangeLine]:
    """Where every price may lie; what goes in first, then what would come in soonest."""
    called = names(found.problem)
    used = [r for r in stands.price_ranges if r.used and r.price > 0]
    return [
        RangeLine(called[r.key], _now(found, r, unit), _stands(found, r, unit), r.used)
        for r in [*used, *soonest(stands.price_ranges)]
    ]


def _now(found: Solved, r: PriceRange, unit: System) -> str:
    """What it costs today; where it is a hair too dear to come in, fine enough to see that. [money/kg]"""
    if r.used or not r.low:
        return per(r.price, found, unit)
    return told_apart((r.price, r.low), found.problem.money, unit)[0]


def _stands(found: Solved, r: PriceRange, unit: System) -> str:
    low = None if r.low is None else per(r.low, found, unit)
    high = None
    if r.high is not None and math.isfinite(r.high):
        far = r.high > FAR * r.price  # two figures are enough
        high = price_end(r.high, r.price, found.problem.money, unit) if far else per(r.high, found, unit)
    if not r.used:
        if not r.low:
            return say("at no price") if r.low == 0 else say("not worked out")
        return say(
            "comes in below {price}",
            price=told_apart((r.low, r.price), found.problem.money, unit)[0],
        )
    if r.low is None or r.high is None:
        return say("not worked out in the time given")
    if r.low <= 0:
        return say("up to {high}", high=high) if high else say("at any price")
    return say("{low} to {high}", low=low, high=high) if high else say("from {low} upwards", low=low)


def next_words(found: Solved, stands: Standing, unit: System) -> str:
    """The next recipe that is truly another."""
    nxt = stands.next_best
    if nxt is None and not stands.all_needed:
        return say("None was found in the time given.")
    if nxt is None:
        return say("None: every ingredient of this one is needed.")
    told = {
        "name": names(found.problem)[nxt.without], "share": percent(nxt.dearer),
        "mix": headline(nxt.solved, unit),
    }  # fmt: skip
    said = (
        say("Without {name}, {share} dearer: {mix}", **told)
        if nxt.dearer >= 5e-4
        else say("Without {name}, at the same price: {mix}", **told)
    )
    if not nxt.near_tie:
        return said
    return f"{said} {say('The two cost nearly the same: choose by what is at hand.')}"


def search_words(found: Solved) -> str:
    """How sure it is that none is cheaper, where whole things are counted."""
    making = found.problem.making
    if not making.counts_whole_things:
        return say("None is cheaper at these prices and targets.")
    if found.gap <= 0:
        if making.limits() == ("whole bags",):
            return say("None is cheaper at these prices, targets and whole bags.")
        return say("None is cheaper at these prices, targets and limits.")
    return say(
        "The search ended with a gap of {gap:.1f} %: a mix up to that much cheaper may exist. Give "
        "it more time to "
        "be surer.",
        gap=100 * found.gap,
    )
