"""The cheapest mix, or why there is none, as a practitioner reads it: sentences first, rounded."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence

from breadline.ration.conflict import Member
from breadline.ration.ends import Ends, Miss
from breadline.ration.problem import Problem
from breadline.ration.solver import Conflict, Solved
from breadline.ration.standing import Binding, LimitSaving, NextBest, PriceRange, Standing
from breadline.ration.targets import SHARE, Side, Target

TRACE = 1e-4  # shares below this are rounding, and are not told [share]
CLOSEST = 3  # ingredients outside the recipe that are told of
LIMITS = {
    "whole bags": "whole bags only",
    "most ingredients": "no more than so many ingredients",
    "least if used": "no less than so much of what goes in",
}
AT = {"least": "at least", "most": "at most"}


def sentences(solved: Solved) -> tuple[str, ...]:
    """What to mix and what it costs, how sure that is, and what was not reported."""
    told = (recipe_sentence(solved), bags_sentence(solved), search_sentence(solved), blanks_sentence(solved),
            memory_sentence(solved), years_sentence(solved.problem))  # fmt: skip
    return tuple(sentence for sentence in told if sentence)


def recipe_sentence(solved: Solved) -> str:
    """The mix, most first, and the price of a kilogram."""
    parts = _parts(solved)
    cost = money(solved.problem.money, solved.cost_per_kg)
    return f"The cheapest mix costs {cost} a kg: {parts}."


def bags_sentence(solved: Solved) -> str:
    """Whole bags and the batch, where they were asked for."""
    if solved.batch_kg is None or solved.batch_cost is None:
        return ""
    names = _names(solved.problem)
    batch = f"A batch of {solved.batch_kg:.4g} kg costs {money(solved.problem.money, solved.batch_cost)}"
    bags = [f"{n} bag{'' if n == 1 else 's'} of {names[key]}" for key, n in solved.bags.items()]
    one = sum(solved.bags.values()) == 1
    return f"{batch}. Unopened {'goes' if one else 'go'} in: {'; '.join(bags)}." if bags else f"{batch}."


def search_sentence(solved: Solved) -> str:
    """Whether anything cheaper can be, where whole things were counted."""
    if not solved.problem.making.counts_whole_things:
        return ""
    if solved.gap <= 0.0:
        return "No cheaper one exists within these limits."
    ended = "The search was stopped" if solved.stopped else "The search ended"
    return (
        f"{ended} after {solved.seconds:.0f} s: a recipe up to {_pct(solved.gap)} cheaper may still exist. "
        "Give it more time to be surer."
    )


def blanks_sentence(solved: Solved) -> str:
    """What was not reported and counts at its bad end."""
    names = _names(solved.problem)
    by_keys: dict[tuple[str, ...], list[str]] = {}
    for there in solved.reached:
        if there.guessed:
            by_keys.setdefault(there.guessed, []).append(there.target.name)
    if not by_keys:
        return ""
    told = [f"{_listed(what)} ({'; '.join(names[k] for k in keys)})" for keys, what in by_keys.items()]
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
        f"Prices are of {_listed([str(y) for y in problem.years])}: ask anew for the older ones, "
        "or the cheapest may not be."
    )


def standing_sentences(solved: Solved, standing: Standing) -> tuple[str, ...]:
    """What holds the cost up, at which prices the recipe stands, and what comes next."""
    problem = solved.problem
    told = [binding_sentence(problem, solved.cost_per_kg, b) for b in standing.bindings if b.saving > 0.0]
    idle = [bound_words(problem, b.target, b.side, b.bound) for b in standing.bindings if b.saving <= 0.0]
    if idle:
        told.append(f"Reached, but giving way on it alone saves nothing: {'; '.join(idle)}.")
    told += [limit_sentence(problem, each) for each in standing.limits if each.saving > 0.0]
    told += _price_sentences(problem, standing.price_ranges)
    told.append(next_best_sentence(standing.next_best))
    if not standing.within_time:
        told.append("Time ran out before all of this was worked out; what is missing is not known.")
    return tuple(told)


def binding_sentence(problem: Problem, cost: float, binding: Binding) -> str:
    """One target that holds the cost up, and what one step less of it saves; ``cost`` in [money/kg]."""
    eased = binding.bound - binding.step if binding.side == "least" else binding.bound + binding.step
    saved = f"{money(problem.money, binding.saving)} a kg ({_pct(binding.saving / cost)})"
    unsure = " at most, as the search was cut short" if binding.gap > 1e-5 else ""
    return (
        f"{_capital(bound_words(problem, binding.target, binding.side, binding.bound))}, holds the cost up: "
        f"{amount(binding.target, eased)} instead would save {saved}{unsure}."
    )


def limit_sentence(problem: Problem, each: LimitSaving) -> str:
    """What a limit of the making costs."""
    saved = f"{money(problem.money, each.saving)} a kg"
    unsure = " at most, as the search was cut short" if each.gap > 1e-5 else ""
    if each.limit == "most ingredients":
        return f"One ingredient more than {problem.making.most_ingredients} would save {saved}{unsure}."
    if each.limit == "least if used":
        least = f"{problem.making.least_if_used:g} %"
        return f"Letting less than {least} of something go in would save {saved}{unsure}."
    return f"Opening bags would save {saved}{unsure}."


def _price_sentences(problem: Problem, ranges: Sequence[PriceRange]) -> Iterator[str]:
    names = _names(problem)
    for each in (r for r in ranges if r.used and r.price > 0.0):
        yield f"{range_words(problem.money, names[each.key], each)}."
    outside = [r for r in ranges if not r.used and r.low]
    for each in sorted(outside, key=lambda r: -(r.low or 0.0) / r.price if r.price else 0.0)[:CLOSEST]:
        yield (
            f"{names[each.key]} would come in below {money(problem.money, each.low or 0.0)} a kg "
            f"(now {money(problem.money, each.price)})."
        )


def range_words(currency: str, name: str, each: PriceRange) -> str:
    """Between which prices of one ingredient the recipe stands."""
    now = f"(now {money(currency, each.price)})"
    low, high = each.low, each.high
    if low is None or high is None:
        return f"How far the price of {name} may move {now} was not worked out in the time given"
    if low <= 0.0 and math.isinf(high):
        return f"The recipe stands at any price of {name} {now}"
    if math.isinf(high):
        return f"The recipe stands while {name} costs {money(currency, low)} a kg or more {now}"
    if low <= 0.0:
        return f"The recipe stands while {name} costs no more than {money(currency, high)} a kg {now}"
    return (
        f"The recipe stands while {name} costs {money(currency, low)} to {money(currency, high)} a kg {now}"
    )


def next_best_sentence(next_best: NextBest | None) -> str:
    """The next recipe that is truly another."""
    if next_best is None:
        return "There is no other recipe without one of these ingredients: each of them is needed."
    solved = next_best.solved
    names = _names(solved.problem)
    parts = _parts(solved)
    dearer = f"{_pct(next_best.dearer)} dearer" if next_best.dearer >= 5e-4 else "at the same price"
    tie = " The two cost nearly the same: choose by what is at hand." if next_best.near_tie else ""
    return f"Next best, without {names[next_best.without]} and {dearer}: {parts}.{tie}"


def ends_sentences(solved: Solved, ends: Ends) -> tuple[str, ...]:
    """Whether the recipe survives both ends of protein, and what being safe costs."""
    problem, names = solved.problem, _names(solved.problem)
    told: list[str] = []
    if ends.spread and ends.survives:
        whose = _listed([names[k] for k in ends.spread])
        told.append(f"The recipe keeps its protein at both ends of what sources say of {whose}.")
    told += [_miss_words(problem, miss, "It") for miss in ends.misses]
    if ends.middle is None:
        return tuple(told)
    saved = solved.cost_per_kg - ends.middle.cost_per_kg
    if saved > 5e-4 * solved.cost_per_kg:
        told.append(
            f"Counting every range half-way, a mix would cost {money(problem.money, saved)} a kg less; "
            + (f"{_miss_words(problem, ends.middle_misses[0], 'that one')}" if ends.middle_misses
               else "that one keeps its protein at both ends too, on these ingredients.")
        )  # fmt: skip
    return tuple(told)


def _miss_words(problem: Problem, miss: Miss, who: str) -> str:
    return (
        f"{who} misses {bound_words(problem, miss.target, miss.side, miss.bound)}, at the {miss.end} end of "
        f"protein, where it comes to {amount(miss.target, miss.reached)}."
    )


def conflict_sentences(conflict: Conflict) -> tuple[str, ...]:
    """What is at odds, how far each would have to give alone, and the nearest mix."""
    problem = conflict.problem
    told: list[str] = []
    if not conflict.proven:
        limit = problem.making.time_limit_s
        told.append(f"No mix was found within {limit:.0f} s, and none was ruled out: give it more time.")
    elif conflict.members:
        members = "; ".join(_member_words(problem, m) for m in conflict.members)
        alone = len(conflict.members) == 1
        told.append(
            f"{_capital(members)} cannot be had here." if alone
            else f"No mix has all of these together: {members}."
        )  # fmt: skip
        if not conflict.irreducible:
            told.append("Time ran out before it was shown that every one of them matters.")
        told += _alone_sentences(problem, conflict.members)
    told += _nearest_sentences(conflict)
    return tuple(told)


def _alone_sentences(problem: Problem, members: Sequence[Member]) -> Iterator[str]:
    enough = [_alone_words(problem, m) for m in members if m.enough]
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


def _nearest_sentences(conflict: Conflict) -> Iterator[str]:
    if not conflict.gives or conflict.nearest is None:
        if conflict.proven:
            yield "Giving way on the targets alone does not help."
        return
    gives = [_give_words(conflict.problem, g.target, g.side, g.reached) for g in conflict.gives]
    near = conflict.nearest
    yield f"The nearest mix gives way on {'; and on '.join(gives)}."
    yield f"It costs {money(conflict.problem.money, near.cost_per_kg)} a kg: {_parts(near)}."
    yield from (told for told in (blanks_sentence(near), memory_sentence(near)) if told)


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


def _outward(target: Target, side: Side, value: float) -> str:
    """Rounded so that there is a mix: a least downwards, a most upwards."""
    digits = 1 if abs(value) >= 1.0 else 3
    scale = 10.0**digits
    near = math.floor(value * scale + 1e-6) if side == "least" else math.ceil(value * scale - 1e-6)
    return f"{AT[side]} {amount(target, near / scale)}"


def money(currency: str, value: float) -> str:
    """Money with two decimals, more where it is less than a tenth. [money]"""
    return f"{currency} {value:.2f}" if abs(value) >= 0.1 or value == 0.0 else f"{currency} {value:.3f}"


def _figures(value: float) -> str:
    if math.isinf(value):
        return "no end of"
    text = f"{value:.1f}" if abs(value) >= 1.0 else f"{value:.2f}" if abs(value) >= 0.1 else f"{value:.3f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _target_name(problem: Problem, target: Target) -> str:
    names = _names(problem)
    if target.of == SHARE and target.keys:
        return f"share of {_listed([names.get(k, k) for k in target.keys])}"
    return target.name


def _parts(solved: Solved) -> str:
    names = _names(solved.problem)
    return "; ".join(f"{_pct(s)} {names[k]}" for k, s in solved.shares.items() if s >= TRACE)


def _names(problem: Problem) -> Mapping[str, str]:
    return {i.key: i.name for i in problem.ingredients}


def _pct(share: float) -> str:
    value = 100.0 * share
    return f"{value:.1f} %" if value >= 0.1 else f"{value:.2g} %"


def _listed(words: Sequence[str]) -> str:
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}" if words else ""


def _capital(text: str) -> str:
    return text if text[:1] == "ω" else text[:1].upper() + text[1:]
