"""Why no mix reaches every target: which are at odds, by how much each must give, and the nearest mix."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from breadline.ration.model import NOTHING_KNOWN, Found, Model, Stop
from breadline.ration.problem import Limit, Making, Problem
from breadline.ration.quotient import FloatArray
from breadline.ration.rows import Row
from breadline.ration.targets import Miss, Side, Target

TURNS = 8  # of weighing anew, where the line below a ratio moves
TRY_S = 1.0  # longest single question where whole things are counted [s]
GIVEN = 1e-7  # less than this of a step is no giving way


@dataclass(frozen=True)
class Member:
    """One of the things that cannot all be had.

    Parameters
    ----------
    target, side
        A side of a target, or ``None`` where it is a limit of the making.
    limit
        Which limit of the making, else blank.
    alone
        The bound at which there is a mix, were this one alone to give way; ``None``
        where that is not enough, or not told by a number. [unit of the target]
    enough
        Whether giving way on it alone is enough.
    """

    target: Target | None
    side: Side | None
    limit: Limit | None
    alone: float | None
    enough: bool


@dataclass(frozen=True)
class AtOdds:
    """What a conflict is made of.

    Parameters
    ----------
    members
        None of them can be left out of the conflict; by the order of the targets.
    irreducible
        Whether that was shown for every one of them before time ran out.
    gives
        What gives way in the nearest mix, where it is weighed by steps.
    """

    members: tuple[Member, ...]
    irreducible: bool
    gives: tuple[Miss, ...]


@dataclass
class Budget:
    """How long questions may still take where whole things are counted; without them it is not touched."""

    left: float  # [s]
    stop: Stop | None = None  # asked before every question

    def solve(self, model: Model) -> Found:
        """An answer within what is left; none, and nothing proven, once it is used up."""
        if not model.counts_whole:
            return model.solve()
        if self.left <= 0.0 or (self.stop is not None and self.stop()):
            return NOTHING_KNOWN
        model.within(min(TRY_S, self.left))
        found = model.solve()
        self.left -= found.seconds
        return found


def at_odds(problem: Problem, rows: tuple[Row, ...], stop: Stop | None = None) -> AtOdds:
    """Which targets are at odds, by deletion; and how far the nearest mix is from each.

    Told to ``stop``, it ends within a second or so with what is known by then.
    """
    free = replace(problem, making=Making(time_limit_s=problem.making.time_limit_s))
    by_targets = not Model(free, rows).solve().possible
    asked = free if by_targets else problem
    members, irreducible = _irreducible(asked, rows, stop)
    return AtOdds(members, irreducible, nearest_gives(problem, rows, stop))


def _irreducible(
    problem: Problem, rows: tuple[Row, ...], stop: Stop | None
) -> tuple[tuple[Member, ...], bool]:
    """Leave out one thing after another; what cannot be left out for good is a member."""
    kept, limits, shown = list(rows), list(problem.making.limits()), True
    budget, alone = (Budget(problem.making.time_limit_s * part, stop) for part in (0.5, 0.25))
    for row in reversed(rows):
        without = [r for r in kept if r is not row]
        possible = _possible(problem, without, budget)
        shown = shown and possible is not None
        if possible is False:
            kept = without
    for limit in tuple(limits):
        loosened = replace(problem, making=problem.making.without(limit))
        possible = _possible(loosened, kept, budget)
        shown = shown and possible is not None
        if possible is False:
            problem, limits = loosened, [each for each in limits if each != limit]
    members = [_row_member(problem, rows, row, alone) for row in kept]
    return (*members, *(_limit_member(problem, rows, limit, alone) for limit in limits)), shown


def _possible(problem: Problem, rows: list[Row], budget: Budget) -> bool | None:
    model = Model(problem, rows)
    model.cost_by(np.zeros(model.n))
    return budget.solve(model).possible


def _limit_member(problem: Problem, rows: tuple[Row, ...], limit: Limit, budget: Budget) -> Member:
    loosened = replace(problem, making=problem.making.without(limit))
    return Member(None, None, limit, None, bool(_possible(loosened, list(rows), budget)))


def _row_member(problem: Problem, rows: tuple[Row, ...], row: Row, budget: Budget) -> Member:
    alone = best_reached(problem, rows, row, budget)
    return Member(row.target, row.side, None, alone, alone is not None)


def best_reached(problem: Problem, rows: tuple[Row, ...], row: Row, budget: Budget) -> float | None:
    """The nearest that one target can come to its bound with all others held. [unit of the target]

    A quotient is made greatest by turns: what the last mix came to becomes the next
    bound, until none passes it. ``None`` where the others have no mix either.
    """
    model = Model(problem, [r for r in rows if r is not row])
    bound: float | None = None
    for _ in range(TURNS):
        model.cost_by(-row.at(row.bound if bound is None else bound))
        found = budget.solve(model)
        if not found.possible:
            return bound
        reached = row.reached(found.shares)
        if not np.isfinite(reached):
            return bound
        if bound is not None and abs(reached - bound) <= 1e-9 * max(1.0, abs(bound)):
            break
        bound = reached
    return bound


def nearest_gives(problem: Problem, rows: tuple[Row, ...], stop: Stop | None = None) -> tuple[Miss, ...]:
    """The mix that misses least in all: every miss counted in natural steps of its target.

    A shortfall of one percentage point of protein weighs as much as a tenth of a
    bound on a ratio. Where the line below a target moves with the mix, a turn starts
    from what the last one gave, until the sum no longer falls.
    """
    steps = np.array([row.step for row in rows])
    per = np.array([float(row.per(row.bound).mean()) or 1.0 for row in rows])
    given, least, best = np.zeros(len(rows)), np.inf, np.zeros(0)
    budget = Budget(problem.making.time_limit_s * 0.25, stop)
    for _ in range(TURNS):
        moved = [replace(r, bound=r.eased(float(g))) for r, g in zip(rows, given, strict=True)]
        found = budget.solve(Model(problem, moved, 1.0 / (steps * per), given * per))
        if not found.possible:
            break
        mix = found.shares / found.shares.sum()
        given = np.array([short(row, mix) for row in rows])
        in_all = float(np.sum(given / steps))
        if in_all >= least * (1.0 - 1e-9):
            break
        least, best = in_all, mix
        per = np.array([
            max(float(row.per(row.eased(float(g))) @ mix), 1e-6) for row, g in zip(rows, given, strict=True)
        ])  # fmt: skip
    if not len(best):
        return ()
    return tuple(
        Miss(row.target, row.side, row.bound, row.reached(best))
        for row in rows
        if short(row, best) > GIVEN * row.step
    )


def short(row: Row, mix: FloatArray) -> float:
    """By how much a mix [share] misses a target; nought where it keeps it. [unit of the target]"""
    reached = row.reached(mix)
    if not np.isfinite(reached):  # nothing below the line, so nothing to miss, or no end of it
        return 0.0 if row.side == "least" or np.isnan(reached) else row.bound
    return max(0.0, row.bound - reached if row.side == "least" else reached - row.bound)


def eased(problem: Problem, gives: tuple[Miss, ...]) -> Problem:
    """The question again with every target moved to what the nearest mix comes to."""
    moved = {(give.target, give.side): give for give in gives}
    targets = []
    for target in problem.targets:
        least, most = moved.get((target, "least")), moved.get((target, "most"))
        if least:
            target = replace(target, least=max(0.0, least.reached - _slack(least)))
        if most:
            target = replace(target, most=most.reached + _slack(most))
        targets.append(target)
    return replace(problem, targets=tuple(targets))


def _slack(give: Miss) -> float:
    """Room for rounding, far below what a person would write. [unit of the target]"""
    return 1e-6 * max(1.0, give.target.step(give.side), abs(give.reached))
