"""Made-up trials of twelve kinds, six thousand each, through the program's own draw and its whole answer.

``verdict.py`` holds the analysis and the forecast in arrays, many at once; here every colony is drawn
inside its set, gets its end and goes the way of a real one. The short form is
tests/verdict/test_from_draw_to_answer.py.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from breadline.trial.classes import LEVEL
from tests.verdict.from_draw_to_answer import BESIDE, CELLS, DID_NOT_PAY, PAID, Cell, Shown, shown, truth

TRIALS, BESIDE_TRIALS = 6_000, 1_000  # of 2,000 the coverage is known to 0.7 points only, of 6,000 to 0.4
MOST_OFF = 0.02  # of the coverage, either way [share]
YARDS_BELOW = 0.01  # of the coverage, below only, where yards are drawn [share]
MOST_FALSE = 0.05 + 0.01  # [share]
ROUNDING = 1e-9


def wrong_with(cell: Cell, seen: Shown) -> list[str]:
    """What does not hold of a cell."""
    off = seen.covered - LEVEL
    told = {
        "coverage": off < -YARDS_BELOW if cell.whole else abs(off) > MOST_OFF + ROUNDING,
        "false paid": seen.said_share(frozenset({PAID})) > MOST_FALSE,
        "false did not pay": seen.said_share(DID_NOT_PAY) > MOST_FALSE,
    }
    return [name for name, fails in told.items() if fails]


def line_of(cell: Cell, seen: Shown) -> str:
    """A cell as one line of the table."""
    above, below = (100 * float(np.mean(side)) for side in (seen.low > seen.truth, seen.high < seen.truth))
    paid, not_paid = (100 * seen.said_share(c) for c in (frozenset({PAID}), DID_NOT_PAY))
    return (
        f"{cell.name:40} {seen.truth:6.3f} {100 * seen.covered:8.1f} "
        f"{above:8.1f} {paid:5.1f} {below:8.1f} {not_paid:5.1f}"
    )


def main() -> int:
    """Every cell; 1 where something does not hold."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    print(
        f"{TRIALS:,} trials a cell; the truth from a million colonies of it [frames a colony started], which"
    )
    print(
        "is the break-even too. In 100 trials: the interval holds the truth; it says that feeding paid, and"
    )
    print("the answer does (permutation, fairness and drift have their say); the same for did not pay.\n")
    print(f"{'':40}  truth  covered     paid  said  did not  said")
    wrong = []
    for k, cell in enumerate(CELLS + BESIDE):
        if k == len(CELLS):
            print(f"Beside these, {BESIDE_TRIALS:,} trials each, held to nothing:")
        rng = np.random.default_rng([seed, k])
        seen = shown(cell, TRIALS if cell in CELLS else BESIDE_TRIALS, truth(cell, rng), rng)
        print(line_of(cell, seen), flush=True)
        wrong += [f"{cell.name}: {name}" for name in wrong_with(cell, seen) if cell in CELLS]
    print("Everything holds." if not wrong else f"Does NOT hold: {'; '.join(wrong)}.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
