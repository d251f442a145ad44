"""The cheapest mix, or why there is none, as a practitioner reads it: sentences first, rounded."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from breadline.language import noted, say, say_counted
from breadline.ration.conflict import Member
from breadline.ration.ends import EndMiss, Ends
from breadline.ration.measures import System, weight_said
from breadline.ration.plain_words import (
    PER,
    capital,
    is_less_than,
    listed,
    money,
    percent,
    price,
    small_money,
)
from breadline.ration.problem import Problem
from breadline.ration.solver import Conflict, Solved
from breadline.ration.targets import SHARE, Side, Target

NEAR = 1e-9  # beyond this a bag is larger than the batch [share]
TRACE = 1e-4  # shares below this are rounding, and are not told [share]
LIMITS = {
    "whole bags": noted("whole bags only"),
    "most ingredients": noted("no more than so many ingredients"),
    "least if used": noted("no less than so much of what goes in"),
}
ENDS = {"low": noted("low"), "high": noted("high")}  # of what sources say of protein


def sentences(solved: Solved, system: System) -> tuple[str, ...]:
    """What to mix and what it costs, how sure that is, and what was not reported."""
    told = (recipe_sentence(solved, system), batch_sentence(solved, system), free_sentence(solved),
            bags_sentence(solved), too_big(solved.problem, system), search_sentence(solved), *doubts(solved),
            years_sentence(solved.problem))  # fmt: skip
    return tuple(sentence for sentence in told if sentence)


def recipe_sentence(solved: Solved, system: System) -> str:
    """What a pound or a kilogram costs, and the mix, most first."""
    cost, parts = _cost(solved, system), parts_words(solved)
    if _cut_short(solved):
        return say("The cheapest mix found so far costs {cost}: {parts}.", cost=cost, parts=parts)
    return say("The cheapest mix costs {cost}: {parts}.", cost=cost, parts=parts)


def cost_sentence(solved: Solved, system: System) -> str:
    """What a pound or a kilogram costs, and the batch, of which years; without the mix."""
    years = listed([str(year) for year in solved.problem.years])
    cost = _cost(solved, system)
    if years:
        cost = say("{cost}, at your {years} prices", cost=cost, years=years)
    first = (
        say("The cheapest mix found so far costs {cost}.", cost=cost)
        if _cut_short(solved)
        else say("The cheapest mix costs {cost}.", cost=cost)
    )
    return f"{first} {batch_sentence(solved, system)}".strip()


def _cut_short(solved: Solved) -> bool:
    return solved.problem.making.counts_whole_things and solved.gap > 0.0


def cheapest(solved: Solved) -> str:
    """What the mix may be called: a search cut short has not shown that none is cheaper."""
    return say("The cheapest mix found so far") if _cut_short(solved) else say("The cheapest mix")


def batch_sentence(solved: Solved, system: System) -> str:
    """What the batch costs, where one is named."""
    if solved.batch_kg is None or solved.batch_cost is None:
        return ""
    weight = weight_said(1000.0 * solved.batch_kg, system)
    cost = money(solved.batch_cost, solved.problem.money)
    return say("A batch of {weight} costs {money}.", weight=weight, money=cost)


def free_sentence(solved: Solved) -> str:
    """Water that goes in without a price."""
    problem = solved.problem
    free = [names(problem)[key] for key in solved.shares if key not in problem.prices]
    return say("{names} without a price counts as free.", names=listed(free)) if free else ""


def bags_sentence(solved: Solved) -> str:
    """Whole bags, where they were asked for."""
    called = names(solved.problem)
    bags = "; ".join(
        say_counted("{n} bag of {what}", "{n} bags of {what}", n, what=called[key])
        for key, n in solved.bags.items()
    )
    if not bags:
        return ""
    many = sum(solved.bags.values())
    return say_counted("Unopened goes in: {bags}.", "Unopened go in: {bags}.", many, bags=bags)


def too_big(problem: Problem, system: System) -> str:
    """Whole bags that hold more than the batch, so that none of them can go in."""
    called, making, told = names(problem), problem.making, []
    for key in (one for one in problem.keys if one in making.whole_bags):
        bag = problem.prices[key].bag_kg
        if bag and making.batch_kg and bag > making.batch_kg * (1 + NEAR):
            weight = weight_said(1000.0 * bag, system)
            told.append(say("a bag of {what} holds {weight}", what=called[key], weight=weight))
    if not told or making.batch_kg is None:
        return ""
    return say(
        "{bags}, more than the batch of {weight}: whole, none can go in.",
        bags=capital(listed(told)),
        weight=weight_said(1000.0 * making.batch_kg, system),
    )


def doubts(solved: Solved) -> tuple[str, ...]:
    """What was not reported, and what is from memory."""
    return tuple(told for told in (blanks_sentence(solved), memory_sentence(solved)) if told)


def search_sentence(solved: Solved) -> str:
    """Whether anything cheaper can be, where whole things were counted."""
    if not solved.problem.making.counts_whole_things:
        return ""
    if solved.gap <= 0.0:
        return say("No cheaper one exists within these limits.")
    told = {"seconds": seconds_words(solved.seconds), "gap": percent(solved.gap)}
    if solved.stopped:
        return say(
            "The search was stopped after {seconds}: a recipe up to {gap} cheaper may still exist. "
            "Give it more "
            "time to be surer.",
            **told,
        )
    return say(
        "The search ended after {seconds}: a recipe up to {gap} cheaper may still exist. Give it "
        "more time to be "
        "surer.",
        **told,
    )


def seconds_words(seconds: float) -> str:
    """A time in seconds; below one in tenths, so that no search is said to have taken none. [s]"""
    return f"{seconds:.0f} s" if seconds >= 0.95 else f"{max(seconds, 0.1):.1f} s"


def blanks_sentence(solved: Solved) -> str:
    """What was not reported and counts at its bad end."""
    called = names(solved.problem)
    by_keys: dict[tuple[str, ...], list[str]] = {}
    for there in solved.reached:
        if there.guessed:
            by_keys.setdefault(there.guessed, []).append(there.target.name)
    if not by_keys:
        return ""
    told = [f"{listed(what)} ({'; '.join(called[k] for k in keys)})" for keys, what in by_keys.items()]
    return say("Not reported, and counted at the bad end: {names}.", names="; ".join(told))


def memory_sentence(solved: Solved) -> str:
    """What goes in whose contents nobody looked up."""
    names = [i.name for i in solved.problem.ingredients if i.key in solved.shares and i.read == "memory"]
    return say("From memory, not checked: what is in {names}.", names="; ".join(names)) if names else ""


def years_sentence(problem: Problem) -> str:
    """Of which years the prices are."""
    if len(problem.years) < 2:
        return say("Prices are of {year}.", year=problem.years[0]) if problem.years else ""
    return say(
        "Prices are of {years}: ask anew for the older ones, or the cheapest may not be.",
        years=listed([str(y) for y in problem.years]),
    )


def saved_words(solved: Solved, saving: float, gap: float, system: System) -> str:
    """A saving [money/kg] as people weigh it: in per cent, and in money for a pound or a kilogram."""
    money_kg = solved.problem.money
    told = {
        "share": percent(saving / solved.cost_per_kg), "money": small_money(saving, money_kg, system),
        "unit": say(PER[system]),
    }  # fmt: skip
    if is_less_than(saving, money_kg, system):
        said = say("{share} ({money} a {unit})", **told)
    else:
        said = say("{share} (about {money} a {unit})", **told)
    return say("{saved} at most, as the search was cut short", saved=said) if gap > 1e-5 else said


def ends_sentences(solved: Solved, ends: Ends, system: System) -> tuple[str, ...]:
    """Whether the recipe survives both ends of protein, and what being safe costs."""
    problem, called = solved.problem, names(solved.problem)
    told: list[str] = []
    if ends.spread and ends.survives:
        whose = listed([called[k] for k in ends.spread])
        told.append(
            say("The recipe keeps its protein at both ends of what sources say of {names}.", names=whose)
        )
    told += [
        say(
            "It misses {target}, at the {end} end of protein, where it comes to {reached}.",
            **_miss(problem, miss),
        )
        for miss in ends.misses
    ]
    if ends.middle is None:
        return tuple(told)
    saved = solved.cost_per_kg - ends.middle.cost_per_kg
    if saved > 5e-4 * solved.cost_per_kg:
        less = say(
            "Counting every range half-way, a mix would cost {saved} less;",
            saved=saved_words(solved, saved, 0.0, system),
        )
        told.append(f"{less} {_half_way(problem, ends)}")
    return tuple(told)


def _miss(problem: Problem, miss: EndMiss) -> dict[str, str]:
    return {
        "target": bound_words(problem, miss.target, miss.side, miss.bound), "end": say(ENDS[miss.end]),
        "reached": amount(miss.target, miss.reached),
    }  # fmt: skip


def _half_way(problem: Problem, ends: Ends) -> str:
    if not ends.middle_misses:
        return say("that one keeps its protein at both ends too, on these ingredients.")
    return say(
        "that one misses {target}, at the {end} end of protein, where it comes to {reached}.",
        **_miss(problem, ends.middle_misses[0]),
    )


def conflict_sentences(conflict: Conflict, system: System = "kg") -> tuple[str, ...]:
    """What is at odds, how far each would have to give alone, and the nearest mix."""
    problem = conflict.problem
    told: list[str] = []
    if not conflict.proven:
        told.append(
            say("No mix was found before the search was stopped, and none was ruled out: give it more time.")
            if conflict.stopped
            else say(
                "No mix was found within {seconds}, and none was ruled out: give it more time.",
                seconds=seconds_words(problem.making.time_limit_s),
            )
        )
    elif conflict.members:
        members = "; ".join(_member_words(problem, m) for m in conflict.members)
        told.append(
            say("{targets} cannot be had here.", targets=capital(members))
            if len(conflict.members) == 1
            else say("No mix has all of these together: {targets}.", targets=members)
        )
        if not conflict.irreducible:
            told.append(say("Time ran out before it was shown that every one of them matters."))
        told += _alone_sentences(problem, conflict.members)
    told += _nearest_sentences(conflict, system)
    told.append(too_big(problem, system))
    return tuple(sentence for sentence in told if sentence)


def _alone_sentences(problem: Problem, members: Sequence[Member]) -> Iterator[str]:
    enough = [_alone_words(problem, m) for m in members if m.enough]
    if len(members) == 1 and not members[0].limit and enough:
        return  # the nearest mix says just that
    if len(members) == 1 and members[0].limit and enough:
        yield say("Without it there is a mix.")
    elif enough:
        yield say("Any one of these alone would do: {ways}.", ways=say("; or ").join(enough))
    else:
        yield say("Giving way on one of them alone is not enough: other targets are at odds too.")


def _alone_words(problem: Problem, member: Member) -> str:
    if member.target is None or member.side is None or member.alone is None:
        return say("without “{target}”", target=_member_words(problem, member))
    return _give_words(problem, member.target, member.side, member.alone)


def _nearest_sentences(conflict: Conflict, system: System) -> Iterator[str]:
    if not conflict.gives or conflict.nearest is None:
        if conflict.proven:
            yield say("Giving way on the targets alone does not help.")
        return
    gives = [_give_words(conflict.problem, g.target, g.side, g.reached) for g in conflict.gives]
    near = conflict.nearest
    yield say("The nearest mix gives way on {targets}.", targets=say("; and on ").join(gives))
    yield say("It costs {cost}: {parts}.", cost=_cost(near, system), parts=parts_words(near))
    yield from doubts(near)


def _give_words(problem: Problem, target: Target, side: Side, reached: float) -> str:
    """How far one target gives: down to a least, up to a most, or away altogether."""
    name, bound = _target_name(problem, target), amount(target, target.bound(side) or 0.0)
    if side == "least" and reached <= 0.0:
        return say("{target}: no least of it instead of {bound}", target=name, bound=bound)
    given = _outward(target, side, reached)
    return say("{target}: {given} instead of {bound}", target=name, given=given, bound=bound)


def _member_words(problem: Problem, member: Member) -> str:
    if member.target is None or member.side is None:
        making = problem.making
        if member.limit == "most ingredients":
            return say("at most {n} ingredients", n=making.most_ingredients)
        if member.limit == "least if used":
            return say("at least {n:g} % of whatever goes in", n=making.least_if_used)
        return say(LIMITS[member.limit or "whole bags"])
    return bound_words(problem, member.target, member.side, member.target.bound(member.side) or 0.0)


def bound_words(problem: Problem, target: Target, side: Side, bound: float) -> str:
    """A target as it was asked for; ``bound`` in its own unit. [unit of the target]"""
    told = {"target": _target_name(problem, target), "amount": amount(target, bound)}
    if side == "least":
        return say("{target}, at least {amount}", **told)
    return say("{target}, at most {amount}", **told)


def amount(target: Target, value: float) -> str:
    """A value with its unit, rounded to what it is worth. [unit of the target]"""
    unit = target.unit
    if unit.startswith("%"):
        return f"{_figures(value)} %"
    if unit.startswith("mg"):
        return f"{_figures(value)} mg/100 g"
    if unit == "to 1":
        return say("{n} to 1", n=_figures(value))
    return say("{n} g in 100 g", n=_figures(value))


def as_much(value: float, bound: float) -> bool:
    """Whether a value is no less than a bound, as ``amount`` shows both. [the same unit]"""
    return value >= bound - min(_half_a_digit(value), _half_a_digit(bound))


def _half_a_digit(value: float) -> float:
    """Half of the last digit that ``amount`` shows of a value. [its own unit]"""
    size = abs(value)
    return 0.5 if size >= 100.0 else 0.05 if size >= 1.0 else 0.005 if size >= 0.1 else 0.0005


def _outward(target: Target, side: Side, value: float) -> str:
    """Rounded so that there is a mix: a least downwards, a most upwards."""
    digits = 1 if abs(value) >= 1.0 else 3
    scale = 10.0**digits
    near = math.floor(value * scale + 1e-6) if side == "least" else math.ceil(value * scale - 1e-6)
    what = amount(target, near / scale)
    return say("at least {amount}", amount=what) if side == "least" else say("at most {amount}", amount=what)


def _figures(value: float) -> str:
    if math.isinf(value):
        return say("no end of")
    if abs(value) >= 100.0:
        return f"{value:,.0f}"
    text = f"{value:.1f}" if abs(value) >= 1.0 else f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.3f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _target_name(problem: Problem, target: Target) -> str:
    called = names(problem)
    if target.of == SHARE and target.keys:
        return say("share of {names}", names=listed([called.get(k, k) for k in target.keys]))
    return target.name


def _cost(solved: Solved, system: System) -> str:
    cost = price(solved.cost_per_kg, solved.problem.money, system)
    return say("{price} a {unit}", price=cost, unit=say(PER[system]))


def parts_words(solved: Solved) -> str:
    """The mix, most first: "45 % Sugar syrup; 29 % Soy flour"."""
    called = names(solved.problem)
    return "; ".join(f"{percent(s)} {called[k]}" for k, s in solved.shares.items() if s >= TRACE)


def names(problem: Problem) -> Mapping[str, str]:
    """What people call everything on offer, by key."""
    return {i.key: i.name for i in problem.ingredients}
