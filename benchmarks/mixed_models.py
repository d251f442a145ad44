"""How long a mixed model with Kenward-Roger's tests takes, against statsmodels' fit without them, in one run.

    OPENBLAS_NUM_THREADS=1 uv run python benchmarks/mixed_models.py

One thread for both, time on the processor, the quickest of a few runs of each.

Prints ratios: times on one machine mean little, their ratios carry over. Nothing here is a test.
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from statsmodels.regression.mixed_linear_model import MixedLM, VCSpec

from breadline.verdict.reml import reml, reml_many

Array = NDArray[np.float64]
TRIALS, THEIRS, SINGLE, RUNS = 2000, 10, 10, 3


def seconds(job: Callable[[], object]) -> float:
    found = []
    for _ in range(RUNS):
        start = time.process_time()
        job()
        found.append(time.process_time() - start)
    return min(found)


def whole_yards(rng: np.random.Generator, lost: float) -> tuple[Array, Array, dict[str, Array]]:
    """Six yards fed, six not, of 20 colonies."""
    yard = np.repeat(np.arange(12), 20)[rng.random(240) >= lost]
    fixed = np.column_stack([np.ones(yard.size), yard % 2])
    y = 8.0 + 0.6 * rng.normal(size=(TRIALS, 12))[:, yard] + rng.normal(size=(TRIALS, yard.size))
    return y, fixed, {"yard": yard}


def visits(rng: np.random.Generator, lost: float) -> tuple[Array, Array, dict[str, Array]]:
    """Ten yards of 20 colonies seen at four visits, fed by colony."""
    kept = rng.random(800) >= lost
    colony, visit = np.repeat(np.arange(200), 4)[kept], np.tile(np.arange(4), 200)[kept]
    later = (visit[:, None] == np.arange(1, 4)).astype(float)
    fixed = np.column_stack([np.ones(colony.size), colony % 2, rng.normal(size=200)[colony], later])
    spread = rng.normal(size=(TRIALS, 10))[:, colony // 20] + rng.normal(size=(TRIALS, 200))[:, colony]
    y = 8.0 + spread + rng.normal(size=(TRIALS, colony.size))
    return y, fixed, {"yard": colony // 20, "colony": colony}


def theirs(y: Array, fixed: Array, groups: dict[str, Array]) -> None:
    """One fit of statsmodels: a random intercept a yard, and a variance component of colonies within."""
    yard, inner = groups["yard"], groups.get("colony")
    spec = None
    if inner is not None:
        of_yard = [inner[yard == g] for g in np.unique(yard)]
        names = [[[str(c) for c in np.unique(part)] for part in of_yard]]
        spec = VCSpec(
            ["colony"], names, [[(part[:, None] == np.unique(part)).astype(float) for part in of_yard]]
        )
    MixedLM(y, fixed, yard, exog_re=np.ones((len(y), 1)), exog_vc=spec).fit(reml=True)


def main() -> None:
    """A line a design: the ratio for many trials at once, and for one fit alone."""
    warnings.simplefilter("ignore")
    for name, made in (("whole yards fed", whole_yards), ("four visits", visits)):
        for kind, lost in (("balanced", 0.0), ("a tenth lost", 0.1)):
            y, fixed, groups = made(np.random.default_rng(1), lost)
            along = np.eye(fixed.shape[1])[1]
            other = seconds(lambda y=y, x=fixed, g=groups: [theirs(one, x, g) for one in y[:THEIRS]]) / THEIRS
            many = seconds(lambda y=y, x=fixed, g=groups, a=along: reml_many(y, x, g, a)) / TRIALS
            one = seconds(lambda y=y, x=fixed, g=groups: [reml(one, x, g) for one in y[:SINGLE]]) / SINGLE
            print(f"{name}, {kind}: {other / many:,.0f}x many at once, {other / one:.1f}x one alone")


if __name__ == "__main__":
    main()
