"""Cells of invented trials with a known truth: how often the interval holds it, and what classes come of it.

Colonies of a cell are made up here and nowhere else; the truth is the mean difference of the stated
estimand (dead as 0, drift as it happened) in a million colonies of the cell.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from scipy import stats

from breadline.trial.classes import LEVEL, AnswerClass, Lines, class_of_interval
from breadline.trial.planner import colony_noise
from breadline.trial.sets import Sets
from breadline.trial.size import YardDraw
from breadline.trial.spread import ColonySpread
from breadline.trial.value_path import Strengths
from breadline.verdict.ancova import classical_contrast, fit
from breadline.verdict.classes import weaker_of_both
from breadline.verdict.contrast import Contrast
from breadline.verdict.ends import Ends
from breadline.verdict.forecast import CELLS as CELLS_DRAWN
from breadline.verdict.forecast import (
    FEWEST,
    MOST,
    Expected,
    Told5,
    class_shares,
    foretold_classes,
    lopsided,
    told_by,
    told_by_redrawing,
)
from breadline.verdict.forecast_yards import TRIALS as YARD_TRIALS
from breadline.verdict.forecast_yards import foretold_yards
from breadline.verdict.many_trials import ManyContrasts, ManyTrials, many_contrasts
from breadline.verdict.permutation_class import class_by_permutation
from breadline.verdict.yard_means import means_of_yards

from .decided import wrongly_foretold
from .many_permutations import printed_classes

Floats = NDArray[np.float64]
Shares = dict[AnswerClass, float]
MEAN, LOG_SD, BENEFIT, MARGIN = 8.0, 0.37, 1.2, 0.6
A_MILLION, A_CHUNK = 1_000_000, 50_000  # colonies that the truth is taken from
FORETOLD = 10  # times the forecast is drawn
DID_NOT_PAY = "CDEF"
ARMS = np.array([-1.0, 1.0])


@dataclass(frozen=True)
class Cell:
    """One kind of trial; sets of ``check`` unfed and ``fed`` fed colonies each, or whole yards."""

    name: str
    check: tuple[int, ...] = (1,) * 40
    fed: tuple[int, ...] = (1,) * 40
    r: float = 0.5
    yard_sd: float = 1.5  # of the means of yards [frames]
    dead: float = 0.0
    fed_dead: float | None = None  # as unfed ones where none is given
    missing: float = 0.0
    by_set: tuple[float, ...] = ()  # how far the benefit of a set's yard lies from the mean [frames]
    drift: float = 0.0
    yards: tuple[int, int] | None = None  # unfed and fed yards, where whole yards are drawn
    in_yard: int = 12

    @property
    def sets(self) -> Sets:
        return Sets(np.array(self.check), np.array(self.fed))

    @property
    def dies(self) -> tuple[float, float]:
        return self.dead, self.dead if self.fed_dead is None else self.fed_dead


BY_YARD = tuple(np.repeat([-0.9, -0.3, 0.3, 0.9], 10).tolist())
CELLS = (
    Cell("balanced"),
    Cell("unequal arms, 6 and 94", (6,), (94,)),
    Cell("missing ends, 5 %", missing=0.05),
    Cell("deaths, 5 %", dead=0.05),
    Cell("deaths, 20 %", dead=0.20),
    Cell("feed halves deaths", dead=0.20, fed_dead=0.10),
    Cell("effect differs between yards", by_set=BY_YARD),
    Cell("yards do not differ", yard_sd=0.0),
    Cell("baseline says little, r 0.1", r=0.1),
    Cell("yards drawn, 4 and 4", yards=(4, 4)),
    Cell("yards drawn, 6 and 6", yards=(6, 6)),
    Cell("drift, 11 %", drift=0.11),
)


@dataclass(frozen=True)
class Found:
    """What came of a cell at a benefit of exactly the break-even."""

    trials: int
    truth: float
    covered: float
    seen: dict[AnswerClass, float]  # the class that is printed
    by_model: dict[AnswerClass, float]  # before the permutation has its say
    foretold: dict[AnswerClass, float]
    foretold_of: int  # trials that the forecast was drawn from

    @property
    def false_paid(self) -> float:
        return self.seen[AnswerClass.PAID]

    @property
    def false_did_not_pay(self) -> float:
        return sum(share for one, share in self.seen.items() if one.value in DID_NOT_PAY)

    def wrongly_foretold(self, one: AnswerClass) -> float:
        """P value of a class having the chance that its forecast was drawn with (Fisher's exact)."""
        seen, foretold = (self.trials * self.seen[one], self.foretold_of * self.foretold[one])
        return wrongly_foretold(round(seen), self.trials, round(foretold), self.foretold_of)

    def off(self, one: AnswerClass) -> float:
        """How far a class lies from its forecast, in Monte Carlo standard errors of both, less one trial."""
        n, trials, chance = self.foretold_of, self.trials, self.foretold[one]
        both = (n * chance + trials * self.seen[one]) / (n + trials) if n else chance
        error = np.sqrt(max(both * (1 - both), 1 / trials) * (1 / trials + (1 / n if n else 0.0)))
        return float(max(0.0, abs(self.seen[one] - chance) - 1 / trials) / error)


def colonies(cell: Cell, shape: tuple[int, ...], rng: np.random.Generator) -> tuple[Floats, Floats]:
    """Baseline and outcome of unfed colonies that live, yards aside."""
    first, second = rng.normal(size=(2, *shape))
    later = cell.r * first + np.sqrt(1 - cell.r**2) * second
    return MEAN * np.exp(LOG_SD * first - LOG_SD**2 / 2), MEAN * np.exp(LOG_SD * later - LOG_SD**2 / 2)


def fed_mean(cell: Cell, at: Floats | float) -> Floats:
    """What living fed colonies have for one of an unfed living one, at a benefit a colony started."""
    unfed, fed = cell.dies
    return np.asarray((MEAN * (1 - unfed) + BENEFIT + at) / (1 - fed) / MEAN)


def drawn(cell: Cell, trials: int, rng: np.random.Generator) -> ManyTrials:
    """Trials of a cell whose colonies are drawn within sets, ten sets a yard."""
    sets = cell.sets
    block = np.repeat(np.arange(len(sets.check)), sets.sizes)
    starts = np.cumsum(sets.sizes) - sets.sizes
    arm = (np.arange(len(block)) - starts[block] >= sets.check[block]).astype(np.int64)
    before, after = colonies(cell, (trials, len(arm)), rng)
    more = np.array(cell.by_set)[block] if cell.by_set else 0.0
    after = after * np.where(arm == 1, fed_mean(cell, more), 1.0)
    shift = rng.normal(0, cell.yard_sd, (trials, 1 + block[-1] // 10))[:, block // 10]
    after = after + shift
    after = np.where(rng.random(after.shape) < np.where(arm == 1, *cell.dies[::-1]), 0.0, after)
    if cell.drift:  # pairs trade bees
        other = after.reshape(trials, -1, 2)[:, :, ::-1].reshape(after.shape)
        after = (1 - cell.drift) * after + cell.drift * other
    after[rng.random(after.shape) < cell.missing] = np.nan
    return ManyTrials(arm, block, after, before + shift)


def truth(cell: Cell, rng: np.random.Generator, of: int = A_MILLION) -> float:
    """The mean difference in so many colonies of the cell, none of them missing."""
    pairs = 1 if cell.yards is not None else len(cell.by_set) or 1
    whole = replace(cell, missing=0.0, check=(1,) * pairs, fed=(1,) * pairs)
    found = []
    for _ in range(max(1, of // A_CHUNK)):
        some = drawn(whole, A_CHUNK // (2 * pairs), rng)
        found.append(np.mean(some.outcome[:, some.arm == 1]) - np.mean(some.outcome[:, some.arm == 0]))
    return float(np.mean(found))


def yards_analysed(cell: Cell, trials: int, rng: np.random.Generator) -> tuple[ManyContrasts, list[Ends]]:
    """The primary analysis of each trial, yards drawn whole, and the means of its yards."""
    assert cell.yards is not None
    unfed, fed = cell.yards
    yard = np.repeat(np.arange(unfed + fed), cell.in_yard)
    arm = (yard >= unfed).astype(np.int64)
    found, means = [], []
    for _ in range(trials):
        before, after = colonies(cell, yard.shape, rng)
        shift = rng.normal(0, cell.yard_sd, unfed + fed)[yard]
        fed_or_not = after * np.where(arm == 1, fed_mean(cell, 0.0), 1.0) + shift
        ends = Ends(fed_or_not, arm, np.zeros_like(arm), before[:, None])  # yards come to differ later
        means.append(means_of_yards(ends, yard))
        one = classical_contrast(fit(means[-1]), ARMS)
        found.append((one.estimate, one.se, one.df, one.se, one.df))
    return ManyContrasts(*np.array(found).T), means


def yards_printed(of: ManyContrasts, means: list[Ends], lines: Lines, rng: np.random.Generator) -> Shares:
    """Share of trials printed as each class, all ways that the yards could have fallen counted."""
    given = []
    for t, ends in enumerate(means):
        low, high = Contrast(*(float(part[t]) for part in (of.estimate, of.se, of.df))).interval(LEVEL)
        by_lots = class_by_permutation(ends, lines, rng)
        given.append(weaker_of_both(class_of_interval(low, high, lines), by_lots))
    return {one: given.count(one) / len(given) for one in AnswerClass if one is not AnswerClass.NOT_FAIR}


def foretold(cell: Cell, lines: Lines, rng: np.random.Generator) -> tuple[dict[AnswerClass, float], int]:
    """What the planner says of the cell, and from how many drawn trials."""
    check, spread = Strengths(cell.dead, MEAN, LOG_SD), ColonySpread(LOG_SD, cell.r, 0.0, 0.13, ("",) * 3)
    if cell.yards is not None:
        within = colony_noise(check, spread, 0.0).sd * np.sqrt((1 + float(fed_mean(cell, 0.0)) ** 2) / 2)
        total = np.sqrt(within**2 + cell.yard_sd**2)
        draw = YardDraw(*cell.yards, cell.in_yard, total, cell.yard_sd**2 / total**2, cell.r, pairs=False)
        each = [foretold_yards(draw, [lines.break_even], lines, rng)[0] for _ in range(FORETOLD)]
        return {one: float(np.mean([of[one] for of in each])) for one in each[0]}, FORETOLD * YARD_TRIALS
    expected = Expected(check, cell.dies[1], cell.r, cell.missing, cell.by_set, cell.drift)
    some = [foretold_classes(cell.sets, expected, [BENEFIT], lines, rng)[0] for _ in range(FORETOLD)]
    trials = FORETOLD * int(np.clip(CELLS_DRAWN // sum(cell.sets.colonies), FEWEST, MOST))
    return {one: float(np.mean([of[one] for of in some])) for one in some[0]}, trials


def joined(parts: Sequence[Found]) -> Found:
    """Rounds of one cell, of as many trials each, as one."""

    def mean(name: str) -> Shares:
        each: list[Shares] = [getattr(one, name) for one in parts]
        return {one: float(np.mean([of[one] for of in each])) for one in each[0]}

    truth, covered = (float(np.mean([getattr(one, n) for one in parts])) for n in ("truth", "covered"))
    trials, drawn_for = (sum(getattr(one, n) for one in parts) for n in ("trials", "foretold_of"))
    return Found(trials, truth, covered, mean("seen"), mean("by_model"), mean("foretold"), drawn_for)


def found(
    cell: Cell, trials: int, seed: int, of: int = A_MILLION, permuted: int = 0, again: int = 0
) -> Found:
    """A cell from beginning to end; the break-even is exactly the true benefit.

    Printed classes are those of the model and of ``permuted`` redrawn arrangements; with 0 of them, of
    the t test that the permutation comes to. ``again`` is the number of a round with dice of its own.
    """
    rng = np.random.default_rng(
        [seed, CELLS.index(cell), again]
    )  # or one stroke of luck would serve all cells
    true = truth(cell, rng, of)
    lines = Lines(true, MARGIN)
    if cell.yards is None:
        many = drawn(cell, trials, rng)
        contrasts = many_contrasts(many)
    else:
        many, (contrasts, means) = None, yards_analysed(cell, trials, rng)
    assert np.all(contrasts.df > 0)
    reach = stats.t.ppf((1 + LEVEL) / 2, contrasts.df) * contrasts.se
    covered = float(np.mean(np.abs(contrasts.estimate - true) <= reach))
    by_model = class_shares(contrasts, lines, told_by(contrasts.estimate, contrasts.se, contrasts.df, lines))
    if many is None:
        seen = yards_printed(contrasts, means, lines, rng)
    else:
        seen = class_shares(contrasts, lines, drawn_out(cell, many, lines, rng))
    if permuted and many is not None:
        given = printed_classes(many, contrasts, lines, rng, permuted)
        seen = {one: given.count(one) / trials for one in seen}
    return Found(trials, true, covered, seen, by_model, *foretold(cell, lines, rng))


def drawn_out(cell: Cell, many: ManyTrials, lines: Lines, rng: np.random.Generator) -> Told5 | None:
    """The permutations of all trials where t does not stand for them."""
    return told_by_redrawing(many, lines, rng) if lopsided(cell.sets, cell.missing) else None
