"""How firmly a cheapest mix stands, in words: what holds its cost up, where prices may lie, the next best."""

from __future__ import annotations

import math
from collections.abc import Sequence

from breadline.language import noted, say
from breadline.ration.measures import System
from breadline.ration.plain_words import KG, PER, capital, listed, money, percent, price, told_apart
from breadline.ration.problem import Problem
from breadline.ration.solved_words import amount, bound_words, names, parts_words, saved_words
from breadline.ration.solver import Solved
from breadline.ration.standing import Binding, LimitSaving, PriceRange, Standing

CLOSEST = 3  # ingredients outside the recipe that are told of
FAR = 2.0  # times the price there is: from here on an end is told in two figures
OUT_OF_TIME = noted("Time ran out before all of this was worked out; what is missing is not known.")


def standing_sentences(solved: Solved, standing: Standing, system: System) -> tuple[str, ...]:
    """What holds the cost up, at which prices the recipe stands, and what comes next."""
    held = (
        say("What holds the cost up: {what}", what=told)
        for told in holding_sentences(solved, standing, system)
    )
    told = [*held, *price_sentences(solved.problem, standing.price_ranges, system)]
    told.append(next_best_sentence(standing))
    if not standing.within_time:
        told.append(say(OUT_OF_TIME))
    return tuple(told)


def holding_sentences(solved: Solved, standing: Standing, system: System) -> tuple[str, ...]:
    """Targets and limits that hold the cost up, with what a step less saves; last those that cost nothing."""
    problem = solved.problem
    told = [_binding(solved, b, system) for b in standing.bindings if b.saving > 0.0]
    told += [_limit(solved, each, system) for each in standing.limits if each.saving > 0.0]
    return tuple(one for one in (*told, idle_sentence(problem, standing)) if one)


def idle_sentence(problem: Problem, standing: Standing) -> str:
    """Targets at their bounds that cost nothing."""
    idle = [bound_words(problem, b.target, b.side, b.bound) for b in standing.bindings if b.saving <= 0.0]
    if not idle:
        return ""
    return say("Reached, but giving way on it alone saves nothing: {targets}.", targets="; ".join(idle))


def _binding(solved: Solved, binding: Binding, system: System) -> str:
    """One target that holds the cost up, and what one step less of it saves."""
    eased = binding.bound - binding.step if binding.side == "least" else binding.bound + binding.step
    bound = capital(bound_words(solved.problem, binding.target, binding.side, binding.bound))
    saved = saved_words(solved, binding.saving, binding.gap, system)
    return say(
        "{target}: {eased} instead saves {saved}.",
        target=bound,
        eased=amount(binding.target, eased),
        saved=saved,
    )


def _limit(solved: Solved, each: LimitSaving, system: System) -> str:
    """What a limit of the making costs."""
    making, saved = solved.problem.making, saved_words(solved, each.saving, each.gap, system)
    if each.limit == "most ingredients":
        return say("One ingredient more than {n} saves {saved}.", n=making.most_ingredients, saved=saved)
    if each.limit == "least if used":
        return say(
            "Letting less than {n:g} % of something go in saves {saved}.", n=making.least_if_used, saved=saved
        )
    return say("Letting bags be opened saves {saved}.", saved=saved)


def price_sentences(problem: Problem, ranges: Sequence[PriceRange], system: System) -> tuple[str, ...]:
    """Where the price of each that goes in may lie; then those that would come in soonest."""
    called, of = names(problem), problem.money
    used = [each for each in ranges if each.used and each.price > 0.0]
    known = [each for each in used if each.low is not None and each.high is not None]
    told = [f"{range_words(of, called[each.key], each, system)}." for each in known]
    if late := [called[each.key] for each in used if each not in known]:
        told.append(
            say(
                "How far the price of {names} may move was not worked out in the time given.",
                names=listed(late),
            )
        )
    for each in [one for one in soonest(ranges) if one.low][:CLOSEST]:
        low, now = told_apart((each.low or 0.0, each.price), of, system)
        told.append(
            say(
                "{name} would come in below {low} a {unit} (now {now}).",
                name=called[each.key],
                low=low,
                unit=say(PER[system]),
                now=now,
            )
        )
    return tuple(told)


def soonest(ranges: Sequence[PriceRange]) -> list[PriceRange]:
    """What does not go in, the one whose price would have to fall least first; free water aside."""
    outside = [each for each in ranges if not each.used and each.price > 0.0]
    return sorted(outside, key=lambda each: -(each.low or 0.0) / each.price)


def range_words(currency: str, name: str, each: PriceRange, system: System) -> str:
    """Between which prices of one ingredient the recipe stands; both ends are known."""
    assert each.low is not None
    assert each.high is not None
    low, high = (price_end(end, each.price, currency, system) for end in (each.low, each.high))
    told = {
        "name": name, "low": low, "high": high, "unit": say(PER[system]),
        "now": price(each.price, currency, system),
    }  # fmt: skip
    if each.low <= 0.0 and math.isinf(each.high):
        return say("The recipe stands at any price of {name} (now {now})", **told)
    if math.isinf(each.high):
        return say("The recipe stands while {name} costs {low} a {unit} or more (now {now})", **told)
    if each.low <= 0.0:
        return say("The recipe stands while {name} costs no more than {high} a {unit} (now {now})", **told)
    return say("The recipe stands while {name} costs {low} to {high} a {unit} (now {now})", **told)


def price_end(end: float, now: float, currency: str, system: System) -> str:
    """The end of a price range; far from the price there is, two figures are enough. [money/kg]"""
    if end > FAR * now and math.isfinite(end):
        return money(float(f"{end * KG[system]:.2g}"), currency).replace(".00", "")
    return price(end, currency, system)


def next_best_sentence(standing: Standing) -> str:
    """The next recipe that is truly another."""
    next_best = standing.next_best
    if next_best is None and not standing.all_needed:
        return say("The next best recipe was not found in the time given.")
    if next_best is None:
        return say("There is no other recipe without one of these ingredients: each of them is needed.")
    solved = next_best.solved
    told = {
        "name": names(solved.problem)[next_best.without], "parts": parts_words(solved),
        "share": percent(next_best.dearer),
    }  # fmt: skip
    said = (
        say("Next best, without {name} and {share} dearer: {parts}.", **told)
        if next_best.dearer >= 5e-4
        else say("Next best, without {name} and at the same price: {parts}.", **told)
    )
    if not next_best.near_tie:
        return said
    return f"{said} {say('The two cost nearly the same: choose by what is at hand.')}"
