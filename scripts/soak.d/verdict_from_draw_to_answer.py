"""Made-up trials of twelve kinds through the program's own draw and its whole answer.

``verdict.py`` holds the analysis and the forecast in arrays, many at once; here every colony is drawn
inside its set, gets its end and goes the way of a real one. Limits, and how many trials decide on them, are
those of docs/method/verdict-statistics.md, "Calibrated". The short form is
tests/verdict/test_from_draw_to_answer.py.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from breadline.trial.classes import LEVEL
from tests.verdict.decided import Limit, rounds
from tests.verdict.from_draw_to_answer import (
    BESIDE,
    CELLS,
    DID_NOT_PAY,
    PAID,
    Cell,
    Shown,
    joined,
    shown,
    truth,
)

TRIALS, MOST_ROUNDS, BESIDE_TRIALS = 10_000, 8, 1_000
MOST_OFF = 0.02  # of the coverage, either way [share]
YARDS_BELOW = 0.01  # of the coverage, below only, where yards are drawn [share]
MOST_FALSE = 0.05 + 0.01  # [share]


def limits(cell: Cell, of: Shown) -> list[Limit]:
    """What the shares of a cell have to keep to."""
    found = [
        Limit(of.covered, LEVEL - (YARDS_BELOW if cell.whole else MOST_OFF), True, "covers too seldom"),
        Limit(of.said_share(frozenset({PAID})), MOST_FALSE, False, "false paid"),
        Limit(of.said_share(DID_NOT_PAY), MOST_FALSE, False, "false did not pay"),
    ]
    if not cell.whole:
        found.append(Limit(of.covered, LEVEL + MOST_OFF, False, "wider than it says"))
    return found


def seen_of(cell: Cell, seed: int, number: int) -> Shown:
    """A cell in as many rounds as its limits take; those beside in one."""
    true = truth(cell, np.random.default_rng([seed, number]))

    def one(again: int) -> Shown:
        return shown(cell, TRIALS, true, np.random.default_rng([seed, number, 1 + again]))

    if cell not in CELLS:
        return shown(cell, BESIDE_TRIALS, true, np.random.default_rng([seed, number, 1]))
    return joined(rounds(one, lambda parts: limits(cell, joined(parts)), TRIALS, MOST_ROUNDS))


def line_of(cell: Cell, seen: Shown) -> str:
    """A cell as one line of the table."""
    above, below = (100 * float(np.mean(side)) for side in (seen.low > seen.truth, seen.high < seen.truth))
    paid, not_paid = (100 * seen.said_share(c) for c in (frozenset({PAID}), DID_NOT_PAY))
    return (
        f"{cell.name:40} {len(seen.low):7,} {seen.truth:6.3f} {100 * seen.covered:8.2f} "
        f"{above:8.2f} {paid:5.2f} {below:8.2f} {not_paid:5.2f}"
    )


def main() -> int:
    """Every cell; 1 where something does not hold."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    print(f"Rounds of {TRIALS:,} trials until each limit is 3 standard errors away, at most {MOST_ROUNDS};")
    print("the truth from a million colonies [frames a colony started], which is the break-even too. In 100")
    print("trials: the interval holds the truth; it says that feeding paid, and the answer does")
    print("(permutation, fairness and drift have their say); the same for did not pay.\n")
    print(f"{'':40} {'trials':>7}  truth  covered     paid  said  did not  said")
    wrong = []
    for k, cell in enumerate(CELLS + BESIDE):
        if k == len(CELLS):
            print(f"Beside these, {BESIDE_TRIALS:,} trials each, held to nothing:")
        seen = seen_of(cell, seed, k)
        print(line_of(cell, seen), flush=True)
        wrong += [f"{cell.name}: {one.said}" for one in limits(cell, seen) if cell in CELLS and not one.kept]
    print("Everything holds." if not wrong else f"Does NOT hold: {'; '.join(wrong)}.")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
