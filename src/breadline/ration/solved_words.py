"""The cheapest mix, or why there is none, as a practitioner reads it: sentences first, rounded."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from breadline.ration.conflict import Member
from breadline.ration.ends import EndMiss, Ends
from breadline.ration.measures import System, weight_said
from breadline.ration.plain_words import PER, capital, listed, money, percent, price, small_money
from breadline.ration.problem import Problem
from breadline.ration.solver import Conflict, Solved
from breadline.ration.targets import SHARE, Side, Target

NEAR = 1e-9  # beyond this a bag is larger than the batch [share]
TRACE = 1e-4  # shares below this are rounding, and are not told [share]
LIMITS = {
    "whole bags": "whole bags only",
    "most ingredients": "no more than so many ingredients",
    "least if used": "no less than so much of what goes in",
}
AT = {"least": "at least", "most": "at most"}


def sentences(solved: Solved, system: System) -> tuple[str, ...]:
    """What to mix and what it costs, how sure that is, and what was not reported."""
    told = (recipe_sentence(solved, system), batch_sentence(solved, system), free_sentence(solved),
            bags_sentence(solved), too_big(solved.problem, system), search_sentence(solved), *doubts(solved),
            years_sentence(solved.problem))  # fmt: skip
    return tuple(sentence for sentence in told if sentence)


def recipe_sentence(solved: Solved, system: System) -> str:
    """What a pound or a kilogram costs, and the mix, most first."""
    return f"{cheapest(solved)} costs {_cost(solved, system)}: {parts_words(solved)}."


def cost_sentence(solved: Solved, system: System) -> str:
    """What a pound or a kilogram costs, and the batch, of which years; without the mix."""
    batch = batch_sentence(solved, system)
    years = listed([str(year) for year in solved.problem.years])
    at = f", at your {years} prices" if years else ""
    return f"{cheapest(solved)} costs {_cost(solved, system)}{at}.{' ' if batch else ''}{batch}"


def cheapest(solved: Solved) -> str:
    """What the mix may be called: a search cut short has not shown that none is cheaper."""
    cut_short = solved.problem.making.counts_whole_things and solved.gap > 0.0
    return "The cheapest mix found so far" if cut_short else "The cheapest mix"


def batch_sentence(solved: Solved, system: System) -> str:
    """What the batch costs, where one is named."""
    if solved.batch_kg is None or solved.batch_cost is None:
        return ""
    weight = weight_said(1000.0 * solved.batch_kg, system)
    return f"A batch of {weight} costs {money(solved.batch_cost, solved.problem.money)}."


def free_sentence(solved: Solved) -> str:
    """Water that goes in without a price."""
    problem = solved.problem
    free = [names(problem)[key] for key in solved.shares if key not in problem.prices]
    return f"{listed(free)} without a price counts as free." if free else ""


def bags_sentence(solved: Solved) -> str:
    """Whole bags, where they were asked for."""
    called = names(solved.problem)
    bags = [f"{n} bag{'' if n == 1 else 's'} of {called[key]}" for key, n in solved.bags.items()]
    one = sum(solved.bags.values()) == 1
    return f"Unopened {'goes' if one else 'go'} in: {'; '.join(bags)}." if bags else ""


def too_big(problem: Problem, system: System) -> str:
    """Whole bags that hold more than the batch, so that none of them can go in."""
    called, making, told = names(problem), problem.making, []
    for key in (one for one in problem.keys if one in making.whole_bags):
        bag = problem.prices[key].bag_kg
        if bag and making.batch_kg and bag > making.batch_kg * (1 + NEAR):
            told.append(f"a bag of {called[key]} holds {weight_said(1000.0 * bag, system)}")
    if not told or making.batch_kg is None:
        return ""
    batch = weight_said(1000.0 * making.batch_kg, system)
    return f"{capital(listed(told))}, more than the batch of {batch}: whole, none can go in."


def doubts(solved: Solved) -> tuple[str, ...]:
    """What was not reported, and what is from memory."""
    return tuple(told for told in (blanks_sentence(solved), memory_sentence(solved)) if told)


def search_sentence(solved: Solved) -> str:
    """Whether anything cheaper can be, where whole things were counted."""
    if not solved.problem.making.counts_whole_things:
        return ""
    if solved.gap <= 0.0:
        return "No cheaper one exists within these limits."
    ended = "The search was stopped" if solved.stopped else "The search ended"
    return (
        f"{ended} after {seconds_words(solved.seconds)}: a recipe up to {percent(solved.gap)} cheaper "
        "may still exist. Give it more time to be surer."
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
    return f"Not reported, and counted at the bad end: {'; '.join(told)}."


def memory_sentence(solved: Solved) -> str:
    """What goes in whose contents nobody looked up."""
    names = [i.name for i in solved.problem.ingredients if i.key in solved.shares and i.read == "memory"]
    return f"From memory, not checked: what is in {'; '.join(names)}." if names else ""


def years_sentence(problem: Problem) -> str:
    """Of which years the prices are."""
    if len(problem.years) < 2:
        return f"Prices are of {problem.years[0]}." if problem.years else ""
    return (
        f"Prices are of {listed([str(y) for y in problem.years])}: ask anew for the older ones, "
        "or the cheapest may not be."
    )


def saved_words(solved: Solved, saving: float, gap: float, system: System) -> str:
    """A saving [money/kg] as people weigh it: in per cent, and in money for a pound or a kilogram."""
    little = small_money(saving, solved.problem.money, system)
    about = little if little.startswith("less") else f"about {little}"
    unsure = " at most, as the search was cut short" if gap > 1e-5 else ""
    return f"{percent(saving / solved.cost_per_kg)} ({about} a {PER[system]}){unsure}"


def ends_sentences(solved: Solved, ends: Ends, system: System) -> tuple[str, ...]:
    """Whether the recipe survives both ends of protein, and what being safe costs."""
    problem, called = solved.problem, names(solved.problem)
    told: list[str] = []
    if ends.spread and ends.survives:
        whose = listed([called[k] for k in ends.spread])
        told.append(f"The recipe keeps its protein at both ends of what sources say of {whose}.")
    told += [_miss_words(problem, miss, "It") for miss in ends.misses]
    if ends.middle is None:
        return tuple(told)
    saved = solved.cost_per_kg - ends.middle.cost_per_kg
    if saved > 5e-4 * solved.cost_per_kg:
        less = saved_words(solved, saved, 0.0, system)
        told.append(
            f"Counting every range half-way, a mix would cost {less} less; "
            + (f"{_miss_words(problem, ends.middle_misses[0], 'that one')}" if ends.middle_misses
               else "that one keeps its protein at both ends too, on these ingredients.")
        )  # fmt: skip
    return tuple(told)


def _miss_words(problem: Problem, miss: EndMiss, who: str) -> str:
    return (
        f"{who} misses {bound_words(problem, miss.target, miss.side, miss.bound)}, at the {miss.end} end of "
        f"protein, where it comes to {amount(miss.target, miss.reached)}."
    )


def conflict_sentences(conflict: Conflict, system: System = "kg") -> tuple[str, ...]:
    """What is at odds, how far each would have to give alone, and the nearest mix."""
    problem = conflict.problem
    told: list[str] = []
    if not conflict.proven:
        limit = problem.making.time_limit_s
        within = "before the search was stopped" if conflict.stopped else f"within {seconds_words(limit)}"
        told.append(f"No mix was found {within}, and none was ruled out: give it more time.")
    elif conflict.members:
        members = "; ".join(_member_words(problem, m) for m in conflict.members)
        alone = len(conflict.members) == 1
        told.append(
            f"{capital(members)} cannot be had here." if alone
            else f"No mix has all of these together: {members}."
        )  # fmt: skip
        if not conflict.irreducible:
            told.append("Time ran out before it was shown that every one of them matters.")
        told += _alone_sentences(problem, conflict.members)
    told += _nearest_sentences(conflict, system)
    told.append(too_big(problem, system))
    return tuple(sentence for sentence in told if sentence)


def _alone_sentences(problem: Problem, members: Sequence[Member]) -> Iterator[str]:
    enough = [_alone_words(problem, m) for m in members if m.enough]
    if len(members) == 1 and not members[0].limit and enough:
        return  # the nearest mix says just that
    if len(members) == 1 and members[0].limit and enough:
        yield "Without it there is a mix."
    elif enough:
        yield f"Any one of these alone would do: {'; or '.join(enough)}."
    else:
        yield "Giving way on one of them alone is not enough: other targets are at odds too."


def _alone_words(problem: Problem, member: Member) -> str:
    if member.target is None or member.side is None or member.alone is None:
        return f"without “{_member_words(problem, member)}”"
    return _give_words(problem, member.target, member.side, member.alone)


def _nearest_sentences(conflict: Conflict, system: System) -> Iterator[str]:
    if not conflict.gives or conflict.nearest is None:
        if conflict.proven:
            yield "Giving way on the targets alone does not help."
        return
    gives = [_give_words(conflict.problem, g.target, g.side, g.reached) for g in conflict.gives]
    near = conflict.nearest
    yield f"The nearest mix gives way on {'; and on '.join(gives)}."
    yield f"It costs {_cost(near, system)}: {parts_words(near)}."
    yield from doubts(near)


def _give_words(problem: Problem, target: Target, side: Side, reached: float) -> str:
    """How far one target gives: down to a least, up to a most, or away altogether."""
    name, bound = _target_name(problem, target), target.bound(side) or 0.0
    if side == "least" and reached <= 0.0:
        return f"{name}: no least of it instead of {amount(target, bound)}"
    return f"{name}: {_outward(target, side, reached)} instead of {amount(target, bound)}"


def _member_words(problem: Problem, member: Member) -> str:
    if member.target is None or member.side is None:
        making = problem.making
        if member.limit == "most ingredients":
            return f"at most {making.most_ingredients} ingredients"
        if member.limit == "least if used":
            return f"at least {making.least_if_used:g} % of whatever goes in"
        return LIMITS[member.limit or "whole bags"]
    return bound_words(problem, member.target, member.side, member.target.bound(member.side) or 0.0)


def bound_words(problem: Problem, target: Target, side: Side, bound: float) -> str:
    """A target as it was asked for; ``bound`` in its own unit. [unit of the target]"""
    return f"{_target_name(problem, target)}, {AT[side]} {amount(target, bound)}"


def amount(target: Target, value: float) -> str:
    """A value with its unit, rounded to what it is worth. [unit of the target]"""
    unit = target.unit
    if unit.startswith("%"):
        return f"{_figures(value)} %"
    if unit.startswith("mg"):
        return f"{_figures(value)} mg/100 g"
    return f"{_figures(value)} to 1" if unit == "to 1" else f"{_figures(value)} g in 100 g"


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
    return f"{AT[side]} {amount(target, near / scale)}"


def _figures(value: float) -> str:
    if math.isinf(value):
        return "no end of"
    if abs(value) >= 100.0:
        return f"{value:,.0f}"
    text = f"{value:.1f}" if abs(value) >= 1.0 else f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.3f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _target_name(problem: Problem, target: Target) -> str:
    called = names(problem)
    if target.of == SHARE and target.keys:
        return f"share of {listed([called.get(k, k) for k in target.keys])}"
    return target.name


def _cost(solved: Solved, system: System) -> str:
    return f"{price(solved.cost_per_kg, solved.problem.money, system)} a {PER[system]}"


def parts_words(solved: Solved) -> str:
    """The mix, most first: "45 % Sugar syrup; 29 % Soy flour"."""
    called = names(solved.problem)
    return "; ".join(f"{percent(s)} {called[k]}" for k, s in solved.shares.items() if s >= TRACE)


def names(problem: Problem) -> Mapping[str, str]:
    """What people call everything on offer, by key."""
    return {i.key: i.name for i in problem.ingredients}
