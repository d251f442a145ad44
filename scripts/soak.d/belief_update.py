"""What own trials teach, calibrated: truths drawn from the belief before, trials from the truths.

The short form is tests/belief/test_calibration.py.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from breadline.belief.carried import before_own_seasons
from breadline.belief.gain import SITUATIONS
from breadline.belief.season_effects import Before, learnt
from breadline.knowledge.shelf import load
from breadline.span import FloatArray, Span
from tests.belief.calibration import BINS, Update, band, outside, plain_update, ranks

REPEATS = 2_000
Limits = tuple[FloatArray, FloatArray]


def told(before: Before, worth: Span, rng: np.random.Generator, limits: Limits, update: Update) -> list[str]:
    """Prints a line for each quantity; the quantities whose ECDF leaves its band."""
    left = []
    for name, rank in ranks(before, worth, REPEATS, rng, update).of.items():
        off = outside(rank, limits)
        counts = np.histogram(rank, BINS, (0.0, 1.0))[0]
        within = "inside" if not off.any() else f"OUTSIDE by up to {100 * off.max():.1f} points"
        print(f"  {name:20} {within}; in each twentieth {counts.min()} to {counts.max()} of {REPEATS}")
        left += [name] if off.any() else []
    return left


def main() -> int:
    """Calibrate every situation, and see the broken update caught; 1 where either fails."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    rng, reader = np.random.default_rng(seed), load().reader()
    limits, worth = band(REPEATS, seed), reader.span("feed.equivalence")
    print(f"{REPEATS} repeats a situation of 1 to 4 seasons, each with an error of 0.04 to 0.40;")
    print(f"the ECDF at the ends of {BINS} bins against a band that 99 of 100 right updates keep within.")
    wrong = []
    for situation in SITUATIONS:
        print(f"{situation}:")
        wrong += told(before_own_seasons(situation, reader), worth, rng, limits, learnt)
    print("dearth, with a season's own effect forgotten (to be caught):")
    caught = told(before_own_seasons("dearth", reader), worth, rng, limits, plain_update)
    print("Every quantity is calibrated." if not wrong else f"NOT calibrated: {', '.join(wrong)}")
    broken_seen = {"mean over seasons", "next season"} <= set(caught)
    print("The broken update is caught." if broken_seen else "The broken update is NOT caught.")
    return 0 if not wrong and broken_seen else 1


if __name__ == "__main__":
    sys.exit(main())
