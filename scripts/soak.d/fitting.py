"""Two hundred yards made by the season model from known figures, fitted: does what is known come back?

The short form, twenty yards, is in tests/need/test_fit.py.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np
from scipy.stats import binom, chisquare

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from breadline.need.fit.misfit import UNLIKELY
from tests.need.fit_yards import recovered

YARDS = 200
DRAWS = 2000
BANDS = (0.8, 0.9)
SURE = 0.998  # of the range in which chance alone leaves the number inside a band
PARTS = 10


def main() -> int:
    """Try every yard; 1 where a band holds fewer or more than chance allows."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    found = [recovered(1_000_000 * seed + n, DRAWS) for n in range(YARDS)]
    print(
        f"{YARDS} yards made by the season model, each from one draw of the ensemble before the fit: a count,"
    )
    print("four inspections of bees and brood in 40 days with all their errors. Site figure, and adults and")
    print(f"brood another 30 days on, among {DRAWS:,} draws after the fit.\n")
    holds = True
    for name in ("site", "adults", "brood"):
        at = np.array([getattr(one, name) for one in found])
        for band in BANDS:
            inside = int((np.abs(at - 0.5) < band / 2).sum())
            low, high = (int(v) for v in binom.interval(SURE, YARDS, band))
            good = low <= inside <= high
            holds = holds and good
            print(
                f"{name:6} in the {band:.0%} band: {inside} of {YARDS} (chance alone: {low} to {high})"
                f"{'' if good else '  NOT SO'}"
            )
        ranks = np.histogram(at, PARTS, (0, 1))[0]
        print(f"{name:6} below the truth, by tenths of the draws: {ranks}, chance of such ranks "
              f"{chisquare(ranks).pvalue:.2f}")  # fmt: skip
    refused = sum(not one.fits for one in found)
    most = int(binom.ppf(SURE, YARDS, UNLIKELY))
    holds = holds and refused <= most
    print(f"called a misfit although the model made them: {refused} of {YARDS} (at most {most})")
    return 0 if holds else 1


if __name__ == "__main__":
    sys.exit(main())
