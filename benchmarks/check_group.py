"""How long the power of the primary analysis takes, against a loop of statsmodels' least squares, in one run.

    OPENBLAS_NUM_THREADS=1 uv run python benchmarks/check_group.py

Unequal arms, sets, a baseline, a twentieth of the ends missing. Theirs fits one trial after the other with
HC2 errors and a 90 % interval, without the degrees of freedom of Bell and McCaffrey, which it does not
have; ours has them, and the interval too, of as many trials as the planner draws of the design. Two ways
of ours: the analysis of many drawn trials, and the chances in closed form as the planner has them, against
as many of their trials as leave an error of half a point in a hundred.

One thread for both, and time on the processor, so that it hardly hangs on what else the machine does.
Prints ratios: times on one machine mean little, their ratios carry over. Nothing here is a test.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
import statsmodels.api as sm

from breadline.trial.classes import LEVEL
from breadline.trial.sets import Noise, Sets, sets_precision
from breadline.trial.size import chance_told_above
from breadline.verdict.forecast import CELLS, FEWEST, MOST
from breadline.verdict.many_trials import ManyTrials, many_contrasts

THEIRS, PLANS = 25, 20
RUNS = 40  # of which the quickest counts
HALF_A_POINT = 10_000  # trials for a standard error of 0.5 in 100 at a chance of one half
MISSING, BASELINE_R, LINE = 0.05, 0.5, 0.3
DESIGNS = {
    "24 unfed of 400, in sets of one and 15 or 16": ([1] * 24, [15] * 8 + [16] * 16),
    "24 unfed and 72 fed, in sets of one and three": ([1] * 24, [3] * 24),
    "6 unfed of 100, one yard": ([6], [94]),
}


def seconds(job: Callable[[], object]) -> float:
    start = time.process_time()
    job()
    return time.process_time() - start


def drawn(sets: Sets, rng: np.random.Generator) -> ManyTrials:
    """Trials of a design, numbers of one colony next to one another."""
    block = np.repeat(np.arange(len(sets.check)), sets.sizes)
    starts = np.cumsum(sets.sizes) - sets.sizes
    arm = (np.arange(len(block)) - starts[block] >= sets.check[block]).astype(np.int64)
    before = rng.normal(size=(len(arm), int(np.clip(CELLS // len(arm), FEWEST, MOST))))
    left = np.sqrt(1 - BASELINE_R**2) * rng.normal(size=before.shape)
    outcome = BASELINE_R * before + left + 0.5 * arm[:, None]
    outcome[rng.random(outcome.shape) < MISSING] = np.nan
    return ManyTrials(arm, block, outcome.T, before.T)


def theirs(trials: ManyTrials) -> None:
    """A loop over trials: blocks, baseline and arm by least squares, HC2, an interval."""
    blocks = (trials.block[:, None] == np.unique(trials.block)).astype(float)
    assert trials.baseline is not None
    for outcome, before in zip(trials.outcome[:THEIRS], trials.baseline[:THEIRS], strict=True):
        there = np.isfinite(outcome)
        design = np.column_stack([blocks, before, trials.arm])[there]
        sm.OLS(outcome[there], design).fit(cov_type="HC2", use_t=True).conf_int(0.10)


def main() -> None:
    """A line a design."""
    for name, (check, fed) in DESIGNS.items():
        sets, rng = Sets(np.array(check), np.array(fed)), np.random.default_rng(1)
        trials = drawn(sets, rng)
        many_contrasts(trials).interval(LEVEL)  # compiled by now
        one = min(seconds(lambda t=trials: theirs(t)) for _ in range(RUNS)) / THEIRS
        ours = min(seconds(lambda t=trials: many_contrasts(t).interval(LEVEL)) for _ in range(RUNS)) / len(
            trials.outcome
        )

        def planned(of: Sets = sets) -> None:
            for k in range(PLANS):
                seen = sets_precision(of, Noise(1.0, BASELINE_R, MISSING), np.random.default_rng(k))
                for benefit in (0.0, LINE, 2 * LINE, 0.5):
                    chance_told_above(LINE, benefit, seen, LEVEL)

        closed = seconds(planned) / PLANS
        print(
            f"{name}: {one / ours:,.0f}x a trial ({1e6 * ours:.2f} against {1e6 * one:,.0f} microseconds); "
            f"{one * HALF_A_POINT / closed:,.0f}x in closed form"
        )


if __name__ == "__main__":
    main()
