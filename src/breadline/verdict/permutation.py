"""Permutation test: how often the draw alone would have made such a difference.

The outcome is freed of baseline and blocks, without the arm; the statistic is the
difference of the mean residuals; labels are drawn again exactly as they were drawn,
so many in each block and, where the draw kept check hives apart in their rows, only as it
could have fallen. It gives a p value only.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import prod
from typing import Any, Literal

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.going_on import still_wanted
from breadline.language import noted, say
from breadline.span import FloatArray
from breadline.trial.arrangements import arrangements
from breadline.verdict.ancova import within_blocks
from breadline.verdict.ends import Ends, IntArray
from breadline.verdict.within_rows import YardRule, fed_sums

MOST_LISTED = 1_000_000  # arrangements that are all listed
DRAWS = 99_999  # where they are not
MANY, FEWER_DRAWS = 1500, 9_999  # with more colonies than that, so many draws keep an answer quick
ALIKE = 1e-9  # of the largest statistic: differences of rounding count as ties [share]
GRIDS = (1, 2, 4, 8, 10)  # parts of a unit that gradings are read in
MOST_CONVOLVED = 100_000_000  # sums followed, so that the exact way stays within seconds
REPEATED = noted("The draw is repeated: {n:,} of {all:,} times.")
EVERY_WAY = noted("Every way the draw could fall, set by set: {n:,} of {all:,} sets of hives or yards.")
AT_ONCE = 2_000_000  # redrawn values held in memory
BoolArray = NDArray[np.bool_]
Way = Literal["convolution", "all arrangements", "random draws"]


def draws_for(colonies: int) -> int:
    """How often lots are drawn again for so many colonies, wherever a trial is read."""
    return DRAWS if colonies <= MANY else FEWER_DRAWS


@dataclass(frozen=True)
class PermutationP:
    """P values of a permutation test.

    Parameters
    ----------
    difference
        Mean residual of fed colonies less that of the check group. [unit of the outcome]
    p_above, p_below, p_two_sided
        Share of arrangements with a difference at least as large, at most as large, at
        least as far from 0. [share]
    way
        How the arrangements were gone through.
    arrangements
        How many there are.
    draws
        How many were drawn at random; 0 where the p values are exact.
    walked
        Whether some are walks from one draw, which hang together: the p values keep their level all the
        same, but two runs may differ by more than so many separate draws would.
    """

    difference: float
    p_above: float
    p_below: float
    p_two_sided: float
    way: Way
    arrangements: int
    draws: int
    walked: bool = False

    def monte_carlo_error(self, p: float) -> float:
        """Standard error of a p value from drawing at random, at least so large where walked; 0 where exact.

        A [share].
        """
        return float(np.sqrt(p * (1.0 - p) / self.draws)) if self.draws else 0.0


@dataclass(frozen=True, eq=False)
class _Drawn:
    """Residuals of one block after another, and how many of each block were fed."""

    residuals: tuple[NDArray[Any], ...]
    fed: tuple[int, ...]


def permutation_test(ends: Ends, shift: float, rng: np.random.Generator, draws: int = DRAWS) -> PermutationP:
    """Test of the true benefit being ``shift`` for every fed colony.

    Parameters
    ----------
    ends
        Two arms; one row a unit that was drawn.
    shift
        Benefit supposed, 0 for none. [unit of the outcome]
    rng
        For arrangements too many to list.
    draws
        How many of those are drawn.

    Errors
    ------
    TrialError
        If there are not exactly two arms, or the draw could not have fallen otherwise.

    Sources
    -------
    [fisher1935] for the test; [phipson_smyth2010] for counting the draw as it was.
    """
    return permutation_tests(ends, (shift,), rng, draws)[0]


def permutation_tests(
    ends: Ends, shifts: tuple[float, ...], rng: np.random.Generator, draws: int = DRAWS,
    rules: Sequence[YardRule] = (),
) -> tuple[PermutationP, ...]:  # fmt: skip
    """The same test at several supposed benefits, on the same arrangements.

    ``shifts`` are in the unit of the outcome; errors as for one test. ``rules`` are those of yards
    whose draw kept check hives apart in their rows.
    """
    if ends.arms != 2:
        raise TrialError("arms", say("{arms} arms", arms=ends.arms), say("two arms at a time"))
    split = _split(ends)
    if split.ways == 1:
        raise TrialError("draw", say("no block holds both arms"), say("colonies drawn within blocks"))
    if rules:
        return _within_rows(ends, shifts, split, rules, rng, draws)
    if split.ways <= MOST_LISTED or (not ends.baseline.shape[1] and _whole(ends.outcome) is not None):
        return tuple(_exact(ends, shift, split, rng, draws) for shift in shifts)
    return _at_random(ends, shifts, split, rng, draws)


@dataclass(frozen=True, eq=False)
class _Split:
    """How the draw fell: block of each unit, units fed in each block, and in how many ways it could fall."""

    block: IntArray
    sizes: IntArray
    drawn: IntArray
    ways: int


def _split(ends: Ends) -> _Split:
    _, block, sizes = np.unique(ends.block, return_inverse=True, return_counts=True)
    drawn = np.bincount(block, weights=ends.arm == 1, minlength=len(sizes)).astype(np.int64)
    return _Split(block.astype(np.int64), sizes.astype(np.int64), drawn, arrangements(sizes, drawn))


def _exact(ends: Ends, shift: float, split: _Split, rng: np.random.Generator, draws: int) -> PermutationP:
    """By convolution where gradings lie on a grid, by listing where arrangements are few enough."""
    fed = ends.arm == 1
    outcome = ends.outcome - shift * fed
    block, drawn = split.block, split.drawn
    residuals = _residuals(outcome, ends.baseline, block, split.sizes)
    difference = _difference(residuals, fed)
    whole = None if ends.baseline.shape[1] else _whole(outcome)
    if whole is not None and _convolution_cost(whole, block, drawn) <= MOST_CONVOLVED:
        sums, chances = _convolved(_by_block(whole.astype(np.float64), block, drawn))
        observed = int(whole[fed].sum())
        centre = float(sum(k * whole[block == b].mean() for b, k in enumerate(drawn)))
        p = _tails(sums - centre, observed - centre, chances)
        return PermutationP(difference, *p, "convolution", split.ways, 0)
    if split.ways > MOST_LISTED:
        return _at_random(ends, (shift,), split, rng, draws)[0]
    sums = _listed(_by_block(residuals, block, drawn))
    p = _tails(sums, difference / _per_sum(fed), np.full(len(sums), 1.0 / len(sums)))
    return PermutationP(difference, *p, "all arrangements", split.ways, 0)


def _at_random(
    ends: Ends, shifts: tuple[float, ...], split: _Split, rng: np.random.Generator, draws: int
) -> tuple[PermutationP, ...]:
    """Arrangements drawn once for all supposed benefits.

    The residual of an outcome less a benefit is that of the outcome less the benefit times that of the
    arm; both travel together through the draws, as the two parts of one complex number.
    """
    fed = ends.arm == 1
    own, of_arm = (
        _residuals(v, ends.baseline, split.block, split.sizes) for v in (ends.outcome, fed.astype(np.float64))
    )
    drawn = _redrawn(_by_block(own + 1j * of_arm, split.block, split.drawn), rng, draws)
    return tuple(_shifted((own, of_arm), fed, shift, (drawn, split.ways, draws)) for shift in shifts)


def _within_rows(
    ends: Ends, shifts: tuple[float, ...], split: _Split, rules: Sequence[YardRule],
    rng: np.random.Generator, draws: int,
) -> tuple[PermutationP, ...]:  # fmt: skip
    """Only arrangements that the draw could have brought: yard by yard, all of them or some at random."""
    fed = ends.arm == 1
    own, of_arm = (
        _residuals(v, ends.baseline, split.block, split.sizes) for v in (ends.outcome, fed.astype(np.float64))
    )
    parts = fed_sums(own + 1j * of_arm, fed, split.block, rules, rng, draws)
    free = np.ones(len(fed), dtype=bool)
    free[np.concatenate([rule.rows for rule in rules])] = False
    rest = None
    if free.any():
        block = np.unique(split.block[free], return_inverse=True)[1].astype(np.int64)
        drawn = np.bincount(block, weights=fed[free]).astype(np.int64)
        rest = _by_block((own + 1j * of_arm)[free], block, drawn), arrangements(np.bincount(block), drawn)
    ways = prod(len(one.sums) for one in parts) * (rest[1] if rest else 1)
    if all(one.listed for one in parts) and ways <= MOST_LISTED:
        lists = [one.sums for one in parts]
        sums = _added([*lists, _listed(rest[0])] if rest else lists)
        return tuple(_shifted((own, of_arm), fed, shift, (sums, ways, 0)) for shift in shifts)
    each = [one.sums[rng.integers(0, len(one.sums), draws)] if one.listed else one.sums for one in parts]
    sums = np.sum(each, axis=0)
    sums = sums + _redrawn(rest[0], rng, draws) if rest else sums
    found = [_shifted((own, of_arm), fed, shift, (sums, split.ways, draws)) for shift in shifts]
    return tuple(replace(one, walked=any(part.walked for part in parts)) for one in found)


def _added(parts: Sequence[NDArray[Any]]) -> NDArray[Any]:
    """Every sum of one of each."""
    sums: NDArray[Any] = np.zeros(1)
    for one in parts:
        sums = np.add.outer(sums, one).ravel()
    return sums


def _shifted(
    residuals: tuple[FloatArray, FloatArray], fed: BoolArray, shift: float,
    seen: tuple[NDArray[Any], int, int],
) -> PermutationP:  # fmt: skip
    """The p values at a supposed benefit, from sums of residuals of outcome and arm, ways and draws."""
    sums, ways, draws = seen
    difference = _difference(residuals[0] - shift * residuals[1], fed)
    counts = np.array(_tails(sums.real - shift * sums.imag, difference / _per_sum(fed), np.ones(len(sums))))
    above, below, far = ((counts + 1.0) / (draws + 1.0) if draws else counts / len(sums)).tolist()
    return PermutationP(
        difference, above, below, far, "random draws" if draws else "all arrangements", ways, draws
    )


def _difference(residuals: FloatArray, fed: BoolArray) -> float:
    return float(residuals[fed].mean() - residuals[~fed].mean())


def _per_sum(fed: BoolArray) -> float:
    """Difference of means for each unit of the fed sum: residuals sum to 0, so the fed ones say it all."""
    return float(1 / fed.sum() + 1 / (~fed).sum())


def _residuals(outcome: FloatArray, baseline: FloatArray, block: IntArray, sizes: IntArray) -> FloatArray:
    """Outcome less its blocks and what the baseline says of it; the arm has no part in it."""
    left = within_blocks(outcome, block, sizes)
    if baseline.shape[1]:
        columns = within_blocks(baseline, block, sizes)
        scale = np.linalg.norm(columns, axis=0)
        columns = columns[:, scale > ALIKE * np.maximum(np.linalg.norm(baseline, axis=0), 1e-300)]
        left = left - columns @ np.linalg.lstsq(columns, left, rcond=None)[0]
    return left


def _tails(sums: FloatArray, observed: float, chances: FloatArray) -> tuple[float, float, float]:
    """Weight of sums at least as large, at most as large, at least as far from 0."""
    tie = ALIKE * max(float(np.max(np.abs(sums))), abs(observed))
    above = float(np.sum(chances[sums >= observed - tie]))
    below = float(np.sum(chances[sums <= observed + tie]))
    return above, below, float(np.sum(chances[np.abs(sums) >= abs(observed) - tie]))


def _by_block(values: NDArray[Any], block: IntArray, drawn: IntArray) -> _Drawn:
    order = np.argsort(block, kind="stable")
    parts = np.split(values[order], np.cumsum(np.bincount(block))[:-1])
    return _Drawn(tuple(parts), tuple(drawn.tolist()))


def _whole(outcome: FloatArray) -> IntArray | None:
    """Gradings as whole numbers of halves, quarters, eighths or tenths; None where they are finer."""
    for parts in GRIDS:
        scaled = outcome * parts
        if np.allclose(scaled, np.round(scaled), rtol=0.0, atol=1e-7):
            whole: IntArray = np.round(scaled - np.round(scaled).min()).astype(np.int64)
            return whole
    return None


def _convolution_cost(whole: IntArray, block: IntArray, drawn: IntArray) -> int:
    """Sums followed by the convolution: members times fed times span of sums, and the blocks joined."""
    cost, span = 0, 0
    for b, fed in enumerate(drawn.tolist()):
        values = whole[block == b]
        few = min(fed, len(values) - fed)
        width = few * int(np.ptp(values)) + 1
        cost += len(values) * (few + 1) * width + span * width
        span += width
    return cost


def _convolved(split: _Drawn) -> tuple[FloatArray, FloatArray]:
    """All sums of fed values and the chance of each, block after block."""
    lowest = 0
    chances: FloatArray = np.ones(1)
    for n, (values, fed) in enumerate(zip(split.residuals, split.fed, strict=True)):
        still_wanted(n, len(split.fed), EVERY_WAY)
        least, few = int(values.min()), min(fed, len(values) - fed)
        own = _sums_of_block((values - least).astype(np.int64), few)
        if few == fed:
            lowest += least * few
        else:  # those not fed are fewer: the fed ones hold the rest of the sum
            own = own[::-1]
            lowest += int(values.sum()) - least * few - (len(own) - 1)
        chances = np.convolve(chances, own).astype(np.float64)
    sums: FloatArray = np.arange(len(chances), dtype=np.float64) + float(lowest)
    return sums, chances


def _sums_of_block(values: IntArray, fed: int) -> FloatArray:
    """Chance of each sum of ``fed`` values drawn out of one block.

    Members are gone through one by one; each is drawn with the chance that so many are
    still to be drawn out of so many, which keeps the chances from growing beyond numbers.
    """
    width = fed * int(values.max()) + 1
    chance = np.zeros((fed + 1, width))
    chance[0, 0] = 1.0
    for place, value in enumerate(values.tolist()):
        take = np.clip((fed - np.arange(fed + 1)) / (len(values) - place), 0.0, 1.0)[:, None]
        taken = (chance * take)[:-1, : width - value]
        chance = chance * (1.0 - take)
        chance[1:, value:] += taken
    last: FloatArray = chance[fed]
    return last


def _listed(split: _Drawn) -> FloatArray:
    """Sum of fed residuals of every arrangement."""
    sums = np.zeros(1)
    for n, (values, fed) in enumerate(zip(split.residuals, split.fed, strict=True)):
        still_wanted(n, len(split.fed), EVERY_WAY)
        few = min(fed, len(values) - fed)
        chosen = [np.zeros(1)] + [np.zeros(0)] * few
        for value in values.tolist():
            for count in range(few, 0, -1):
                chosen[count] = np.concatenate([chosen[count], chosen[count - 1] + value])
        own = chosen[few] if few == fed else values.sum() - chosen[few]
        sums = np.add.outer(sums, own).ravel()
    return sums


def _redrawn(split: _Drawn, rng: np.random.Generator, draws: int) -> NDArray[Any]:
    """Sum of fed residuals of so many arrangements drawn at random."""
    sums = np.zeros(draws, dtype=split.residuals[0].dtype)
    for n, (values, fed) in enumerate(zip(split.residuals, split.fed, strict=True)):
        still_wanted(n * draws // len(split.fed), draws, REPEATED)
        few = min(fed, len(values) - fed)
        if not few:
            sums += values.sum() if fed else 0.0
            continue
        if few == 1:  # sets of one unfed colony: the draw is a place
            own = values[rng.integers(0, len(values), draws)]
            sums += own if few == fed else values.sum() - own
            continue
        rows = max(1, AT_ONCE // len(values))
        for start in range(0, draws, rows):
            still_wanted((n * draws + start) // len(split.fed), draws, REPEATED)
            some = np.tile(values, (min(rows, draws - start), 1))
            own = rng.permuted(some, axis=1, out=some)[:, :few].sum(axis=1)
            sums[start : start + rows] += own if few == fed else values.sum() - own
    return sums
