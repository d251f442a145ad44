"""The classes that a comparison will come to, foretold by drawing trials and analysing each as it will be.

The planner's closed form takes the outcome as normal and goes by the model alone. Here colonies
die, the living are lognormal, and a fed arm that is stronger differs more, as in the path to
money; each drawn trial goes through the primary analysis, and gets the class that would be
printed, which the permutation may weaken.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray
from breadline.trial.classes import LEVEL, AnswerClass, Lines, Told, class_of
from breadline.trial.sets import Rows, Sets
from breadline.trial.value_path import Strengths
from breadline.verdict.classes import weaker_of_both
from breadline.verdict.many_quantiles import t_quantiles
from breadline.verdict.many_trials import ManyContrasts, ManyTrials, many_contrasts

CELLS = 150_000  # colonies times trials that are drawn
FEWEST, MOST = 500, 2_000  # trials
FEW = 12  # colonies of an arm; with fewer in shared blocks the permutation is drawn out
REDRAWN = 399  # arrangements
TIE = 1e-9  # what rounding leaves between arrangements that come to the same [share]

Chances = dict[AnswerClass, float]
Told5 = NDArray[np.bool_]  # the fields of Told, one row a trial


@dataclass(frozen=True)
class Expected:
    """How colonies are expected to come out.

    Parameters
    ----------
    check
        The check arm on the day.
    fed_dead
        Dead in the fed arm, counted as 0; as in the check arm where feeding saves none. [share]
    baseline_r
        Correlation of the baseline with the outcome of living colonies, on the log scale; 0
        where none is graded. [-]
    missing
        Ends that nobody will know. [share]
    by_block
        How far the benefit of each block lies from the benefit asked for; empty where all blocks
        have the same. [unit of the outcome]
    drift
        Bees of a colony that come from colonies of the other arm in its block. [share]
    """

    check: Strengths
    fed_dead: float
    baseline_r: float
    missing: float
    by_block: tuple[float, ...] = ()
    drift: float = 0.0

    def __post_init__(self) -> None:
        shares = (self.fed_dead, self.missing, self.drift)
        if not all(0.0 <= share < 1.0 for share in shares) or not -1.0 < self.baseline_r < 1.0:
            raise TrialError(
                "colonies",
                say(
                    "deaths {fed_dead:g}, missing {missing:g}, correlation {baseline_r:g}",
                    fed_dead=self.fed_dead,
                    missing=self.missing,
                    baseline_r=self.baseline_r,
                ),
                say("shares from 0 to below 1"),
            )

    def fed_alive(self, benefit: float, blocks: int) -> FloatArray:
        """Mean of living fed colonies of each block, shape (blocks,) [unit of the outcome].

        ``benefit`` is the true one, a colony started, before any drift [unit of the outcome].
        """
        each = benefit + (np.array(self.by_block) if self.by_block else np.zeros(blocks))
        return np.asarray(np.maximum((self.check.mean + each) / (1.0 - self.fed_dead), 0.0))


@dataclass(frozen=True)
class GradeLine:
    """Where the share making grade pays: the line, and what pays and what matters as shares.

    Parameters
    ----------
    frames
        The line. [frames]
    lines
        Break-even and margin. [share]
    """

    frames: float
    lines: Lines


def foretold_classes(
    sets: Sets, expected: Expected, benefits: Sequence[float], lines: Lines, rng: np.random.Generator,
    grade: GradeLine | None = None,
) -> list[Chances]:  # fmt: skip
    """Chance of each class A to G at each true benefit, from the same drawn colonies.

    Parameters
    ----------
    sets
        What is drawn.
    expected
        How colonies come out.
    benefits
        True ones, a colony started. [unit of the outcome]
    lines
        Break-even and margin. [unit of the outcome]
    rng
        For the colonies.
    grade
        Where the counted share making it has its say too; None where every unit pays alike.

    Returns
    -------
    list of Chances
        One a benefit, each chance a [share]; trials that cannot be judged count as too few to tell.
    """
    block = np.repeat(np.arange(len(sets.check)), sets.sizes)
    starts = np.cumsum(sets.sizes) - sets.sizes
    fed = np.arange(len(block)) - starts[block] >= sets.check[block]
    shape = (len(block), int(np.clip(CELLS // len(block), FEWEST, MOST)))
    before = rng.normal(size=shape)
    left = np.sqrt(1.0 - expected.baseline_r**2) * rng.normal(size=shape)
    spread = expected.check.log_sd
    living = np.exp(spread * (expected.baseline_r * before + left) - spread**2 / 2.0)
    dead = np.where(fed, expected.fed_dead, expected.check.dead)[:, None]
    living[rng.random(shape) < dead] = 0.0
    unknown = rng.random(shape) < expected.missing if expected.missing else None
    baseline = np.exp(spread * before) if expected.baseline_r else None
    found = []
    for benefit in benefits:
        mean = np.where(fed, expected.fed_alive(benefit, len(sets.check))[block], expected.check.alive)
        ends = living * mean[:, None]
        if expected.drift:
            ends = _drifted(ends, fed, block, expected.drift)
        if unknown is not None:
            ends[unknown] = np.nan
        trials = ManyTrials(fed.astype(np.int64), block, ends.T, None if baseline is None else baseline.T)
        contrasts = many_contrasts(trials)
        permuted = told_by_redrawing(trials, lines, rng) if lopsided(sets, expected.missing) else None
        counted = None if grade is None else _counted(trials, grade)
        found.append(class_shares(contrasts, lines, permuted, counted))
    return found


def _counted(trials: ManyTrials, grade: GradeLine) -> Told5:
    """What the counted share making grade tells of each trial; nothing where it cannot be judged."""
    made = np.where(np.isfinite(trials.outcome), trials.outcome >= grade.frames, np.nan)
    seen = many_contrasts(replace(trials, outcome=made.astype(np.float64)))
    told = told_by(seen.estimate, seen.se, seen.df, grade.lines)
    told[~((seen.df > 0) & (seen.se > TIE))] = False
    return told


def _drifted(ends: FloatArray, fed: np.ndarray, block: np.ndarray, drift: float) -> FloatArray:
    """Ends once each living colony has traded a share of its bees with the other arm of its block."""
    traded = ends.copy()
    for b in np.unique(block):
        for arm in (False, True):
            own, other = (block == b) & (fed == arm), (block == b) & (fed != arm)
            if own.any() and other.any():
                came = drift * np.mean(ends[other], axis=0)
                traded[own] = np.where(ends[own] > 0, (1.0 - drift) * ends[own] + came, 0.0)
    return traded


def lopsided(sets: Sets, missing: float) -> bool:
    """Whether a few colonies of one arm share their blocks, so that t says too little of the permutation.

    With ``missing`` ends [share] arrangements differ from trial to trial, and t has to do.
    """
    few = min(sets.colonies)
    return few < FEW and len(sets.check) < few and not missing


def class_shares(
    found: ManyContrasts, lines: Lines, permuted: Told5 | None = None, counted: Told5 | None = None
) -> Chances:
    """Share of trials that came to each class A to G [share]; those not judged are too few to tell.

    The class is the one that is printed: no more than the permutation says too. Where it was not
    drawn out (``permuted``, shape (trials, 5)) its test of each line is taken as the classical t test,
    which it comes to with many colonies. ``counted`` is what the counted share making grade tells,
    shape (trials, 5), where it has its say too.
    """
    judged = found.df > 0
    by_model = told_by(found.estimate, found.se, found.df, lines)
    if permuted is None:
        permuted = told_by(found.estimate, found.classical_se, found.classical_df, lines)
    told = np.column_stack([by_model, permuted, permuted if counted is None else counted])
    bits = 1 << np.arange(15)  # each combination of what was told, as a number
    many = np.bincount(told[judged] @ bits, minlength=1 << 15)
    shares: Chances = {c: 0.0 for c in AnswerClass if c is not AnswerClass.NOT_FAIR}
    shares[AnswerClass.TOO_FEW] = float(np.mean(~judged))
    for number in np.flatnonzero(many).tolist():
        kind = [bool(number & bit) for bit in bits.tolist()]
        given, *others = (class_of(Told(*kind[at : at + 5])) for at in (0, 5, 10))
        for other in others:
            given = weaker_of_both(given, other)
        shares[given] += int(many[number]) / len(judged)
    return shares


def told_by_redrawing(trials: ManyTrials, lines: Lines, rng: np.random.Generator) -> Told5:
    """What the permutation of each trial tells, shape (trials, 5); no end missing.

    Residuals of the outcome on baseline and blocks, without arm; the same arrangements serve all trials.
    """
    blocks, starts = np.unique(trials.block, return_index=True)
    rows = Rows(np.ones(trials.outcome.shape), starts.astype(np.int64), np.searchsorted(blocks, trials.block))
    before = [] if trials.baseline is None else [rows.unit(trials.baseline, [])[0]]
    of_arm, of_outcome = (
        np.multiply(*_column(rows.unit(np.broadcast_to(values, trials.outcome.shape), before)))
        for values in (trials.arm.astype(float), trials.outcome)
    )
    keys = rows.block + rng.random((REDRAWN, len(trials.arm)))
    within = np.argsort(keys, axis=1)  # colonies of each block in any order, blocks as they stand
    drawn = np.take_along_axis(np.broadcast_to(trials.arm, keys.shape), within, axis=1).astype(float)
    line, reach = max(lines.break_even, 0.0), REDRAWN + 1
    at: dict[float, tuple[FloatArray, FloatArray]] = {}
    for shift in (0.0, line, lines.margin, -lines.margin):
        left = of_outcome - shift * of_arm
        seen, others = left @ trials.arm, left @ drawn.T
        ties = TIE * np.max(np.abs(others), axis=1)
        above = (1 + np.sum(others >= (seen - ties)[:, None], axis=1)) / reach
        below = (1 + np.sum(others <= (seen + ties)[:, None], axis=1)) / reach
        at[shift] = above, below
    most = (1.0 - LEVEL) / 2.0 + TIE
    within_margin = (at[-lines.margin][0] <= most) & (at[lines.margin][1] <= most)
    return np.column_stack(
        [at[0.0][0] <= most, at[line][0] <= most, at[line][1] <= most, at[0.0][1] <= most, within_margin]
    )


def _column(of: tuple[FloatArray, FloatArray]) -> tuple[FloatArray, FloatArray]:
    return of[0], of[1][:, None]


def told_by(estimate: FloatArray, se: FloatArray, df: FloatArray, lines: Lines) -> Told5:
    """What ``trial.classes.told_by_interval`` says of each trial's interval, shape (trials, 5).

    ``estimate`` and ``se`` have shape (trials,) [unit of the outcome], ``df`` too [-].
    """
    reach = t_quantiles((1.0 + LEVEL) / 2.0, np.maximum(df, 1.0)) * se
    low, high = estimate - reach, estimate + reach
    line = max(lines.break_even, 0.0)
    within = (low > -lines.margin) & (high < lines.margin)
    return np.column_stack([low > 0, low > line, high < line, high < 0, within])
