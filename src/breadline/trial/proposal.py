"""Which size of check group is worth most: what its answer brings, less what it costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from breadline.errors import TrialError
from breadline.trial.planner import Questions, SizeRow, colony_precision, colony_row, sets_of, yard_row
from breadline.trial.sets import Noise
from breadline.trial.size import YardDraw
from breadline.trial.value_path import ValuePath
from breadline.trial.worth import (
    Ahead,
    Belief,
    Grading,
    TrialCost,
    answer_worth,
    best_of,
    expected_money,
    trial_cost,
)

FED_EACH = (1, 2, 3, 4, 6)  # fed colonies beside each unfed one that are tried, beside all there are
A_YARD = (1, 2, 3, 4, 6, 8, 10, 15, 20, 30, 50, 100)  # unfed ones of each yard
FEWEST_UNFED = 2  # no spread can be judged from one
ALONE = (5, 6, 8, 10, 12, 16, 20, 24, 30, 40)  # in all, beside whole numbers a yard


@dataclass(frozen=True)
class Stakes:
    """What hangs on the answer.

    Parameters
    ----------
    belief
        About the benefit. [unit of the outcome]
    path
        From the outcome to money.
    cost
        Of feeding. [money/colony]
    ahead
        The seasons in which it is used.
    grading
        What grading costs.
    feeds
        Whether colonies are fed where there is no comparison; None: what the belief says pays.
    before
        Whether colonies are graded for the draw: all of the yards that hold an unfed one, for sets
        of like strength; those of the comparison where whole yards are drawn.
    """

    belief: Belief
    path: ValuePath
    cost: float
    ahead: Ahead
    grading: Grading
    feeds: bool | None = None
    before: bool = False

    @property
    def expected(self) -> float:
        """What feeding is expected to bring, its cost taken off. [money/colony]"""
        return expected_money(self.belief, self.path, self.cost)

    @property
    def fed_otherwise(self) -> bool:
        """Whether colonies are fed where there is no comparison."""
        return self.expected > 0 if self.feeds is None else self.feeds

    def answer(self, se: float) -> float:
        """What an answer with standard error ``se`` [unit of the outcome] is worth in all seasons [money]."""
        return answer_worth(self.belief, self.path, self.cost, se) * self.ahead.weight

    def costs(self, colonies: tuple[int, int], before: int = 0) -> TrialCost:
        """What a comparison of so many unfed and fed colonies costs, ``before`` graded for the draw."""
        return trial_cost(colonies, self.grading, self.expected, self.fed_otherwise, before)


@dataclass(frozen=True)
class Sized:
    """A size with its worth.

    Parameters
    ----------
    row
        What it could tell.
    colonies
        Unfed and fed colonies of the comparison.
    answer
        What the answer is worth in the seasons ahead. [money]
    cost
        What it costs to get.
    before
        Colonies that are graded for the draw. [colonies]
    """

    row: SizeRow
    colonies: tuple[int, int]
    answer: float
    cost: TrialCost
    before: int = 0

    @property
    def net(self) -> float:
        """Worth less cost. [money]"""
        return self.answer - self.cost.total


@dataclass(frozen=True)
class Proposal:
    """All sizes that were tried, and the best.

    Parameters
    ----------
    sizes
        From few unfed to many.
    best
        Which of them is worth most; where none is worth its cost, the smallest that tells what is
        believed from nothing, four times in five, or what comes nearest to that.
    as_good
        Those within 5 in 100 of it.
    refused
        Unfed units, and why they cannot be judged.
    """

    sizes: tuple[Sized, ...]
    best: int
    as_good: tuple[int, ...]
    refused: tuple[tuple[int, str], ...]

    @property
    def proposed(self) -> Sized:
        """The size that is worth most, or that could tell where none is worth its cost."""
        return self.sizes[self.best]

    @property
    def worth_it(self) -> bool:
        """Whether it is worth more than it costs."""
        return self.proposed.net > 0

    @property
    def between(self) -> tuple[int, int]:
        """Fewest and most unfed units within 5 in 100 of the best."""
        units = [self.sizes[i].row.check for i in self.as_good]
        return min(units), max(units)


def check_sizes(yards: Sequence[int]) -> tuple[int, ...]:
    """Sizes worth trying for yards of so many colonies: whole numbers a yard, and a few below them."""
    most = sum(n // 2 for n in yards)
    sizes = {len(yards) * each for each in A_YARD} | set(ALONE)
    return tuple(sorted(n for n in sizes if FEWEST_UNFED <= n <= most)) or (max(most, 1),)


def propose_colonies(
    yards: Sequence[int],
    noise: Noise,
    asked: Questions,
    stakes: Stakes,
    rng: np.random.Generator,
    sizes: Sequence[int] = (),
) -> Proposal:
    """The best number of unfed colonies, drawn inside sets of each yard.

    For each number it takes the best of a few fed colonies beside each, and all there are where
    grading costs anything.

    Parameters
    ----------
    yards
        Colonies of each yard.
    noise
        What blurs the comparison. [unit of the outcome]
    asked
        What the chances are asked for.
    stakes
        What hangs on the answer.
    rng
        For baselines that a draw may bring, and ends that go missing.
    sizes
        Unfed colonies to try; empty tries what ``check_sizes`` says.

    Errors
    ------
    TrialError
        If no size can be judged; the reason of the largest.
    """
    found, refused = [], []
    for check in sizes or check_sizes(yards):
        tried, why = [], None
        all_there_are = (max(1, sum(yards) // check - 1),) if stakes.grading.a_colony else ()
        for each in (*FED_EACH, *all_there_are):
            try:
                se = colony_precision(check, each, yards, noise, rng).se
                se *= noise.widened(stakes.belief.mean, (check, check * each))
            except TrialError as error:
                why = why or error
                continue
            before = _looked_in(yards, sets_of(check, each, yards)[1], stakes)
            tried.append((stakes.answer(se) - stakes.costs((check, check * each), before).total, each))
        if tried:
            row = colony_row(check, max(tried)[1], yards, noise, asked, rng)
            units, before = (row.check, row.fed), _looked_in(yards, row.in_yards, stakes)
            found.append(_sized(row, units, stakes, noise.widened(stakes.belief.mean, units), before))
        elif why is not None:
            refused.append((check, why))
    return _proposal(found, refused, asked.believed)


def propose_yards(
    draws: Sequence[YardDraw], unfed: Sequence[int], asked: Questions, stakes: Stakes
) -> Proposal:
    """The best number of unfed yards, where whole yards are fed or not.

    Parameters
    ----------
    draws
        One a number of unfed yards.
    unfed
        Colonies that then go without, graded or not. [colonies]
    asked
        What the chances are asked for.
    stakes
        What hangs on the answer.

    Errors
    ------
    TrialError
        If none can be judged; the reason of the largest.
    """
    found, refused = [], []
    for draw, without in zip(draws, unfed, strict=True):
        try:
            row = yard_row(draw, asked)
        except TrialError as error:
            refused.append((draw.check, error))
            continue
        graded = draw.colonies * draw.check, draw.colonies * draw.fed
        noise = Noise(draw.sd, draw.baseline_r, mean=draw.mean)
        before = sum(graded) if stakes.before else 0
        widened = noise.widened(stakes.belief.mean, (draw.check, draw.fed))
        sized = _sized(row, graded, stakes, widened, before)
        more = max(0, without - graded[0]) * stakes.expected if stakes.fed_otherwise else 0.0
        cost = TrialCost(sized.cost.grading, sized.cost.unfed + more, sized.cost.fed)
        found.append(Sized(row, graded, sized.answer, cost, before))
    return _proposal(found, refused, asked.believed)


def _sized(row: SizeRow, colonies: tuple[int, int], stakes: Stakes, widened: float, before: int) -> Sized:
    """A row with its worth; the standard error ``widened`` [-] where spread grows with the mean."""
    answer = stakes.answer(row.precision.se * widened)
    return Sized(row, colonies, answer, stakes.costs(colonies, before), before)


def _looked_in(yards: Sequence[int], unfed: Sequence[int], stakes: Stakes) -> int:
    """Colonies graded for the draw: all of the yards that hold an unfed one."""
    return sum(n for n, k in zip(yards, unfed, strict=True) if k) if stakes.before else 0


def _proposal(found: list[Sized], refused: list[tuple[int, TrialError]], believed: float) -> Proposal:
    if not found:
        raise refused[-1][1]
    best, as_good = best_of([one.net for one in found])
    if found[best].net <= 0:  # the cheapest is the one that tells least: nobody is served by that
        told = [one.row.from_zero for one in found]
        best = next((n for n, least in enumerate(told) if least <= believed), int(np.argmin(told)))
        as_good = (best,)
    return Proposal(tuple(found), best, as_good, tuple((n, str(why)) for n, why in refused))
