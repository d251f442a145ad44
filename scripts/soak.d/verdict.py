"""The primary analysis, calibrated: invented trials of twelve cells, the break-even exactly the true benefit.

Limits are those of the method page (docs/method/verdict-statistics.md, "Calibrated"); how many trials decide
on them was settled there before a run was looked at. The short form is tests/verdict/test_calibration.py.
"""

from __future__ import annotations

import os
import sys
from collections.abc import Sequence
from math import sqrt
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from breadline.trial.classes import LEVEL, AnswerClass
from breadline.verdict.permutation import DRAWS
from tests.verdict.calibration import CELLS, Cell, Found, found, joined
from tests.verdict.decided import FAMILY, Limit, rounds

TRIALS, MOST_ROUNDS = 10_000, 8
ROOM, YARDS_ROOM, FALSE = 0.02, 0.01, 0.06
STANDARD_ERRORS, OF_TRIALS = 3.0, 2_000  # of a class from its forecast, as so many trials know it
NUMBERS = len(CELLS) * (len(AnswerClass) - 1)  # classes of all cells that are foretold


def limits(cell: Cell, of: Found) -> list[Limit]:
    """What the shares of a cell have to keep to."""
    least = LEVEL - (ROOM if cell.yards is None else YARDS_ROOM)
    found = [
        Limit(of.covered, least, True, "the interval holds the truth too seldom"),
        Limit(of.false_paid, FALSE, False, '"paid" too often'),
        Limit(of.false_did_not_pay, FALSE, False, '"did not pay" too often'),
    ]
    if cell.yards is None:
        found.append(Limit(of.covered, LEVEL + ROOM, False, "the interval is wider than it says"))
    return found


def badly_foretold(of: Found) -> list[str]:
    """Classes beyond three standard errors of 2,000 trials, or told from their forecast over all cells."""
    bad = []
    for one, chance in of.foretold.items():
        both = (of.foretold_of * chance + of.trials * of.seen[one]) / (of.foretold_of + of.trials)
        far = abs(of.seen[one] - chance) > STANDARD_ERRORS * sqrt(both * (1 - both) / OF_TRIALS)
        if far or of.wrongly_foretold(one) < FAMILY / NUMBERS:
            bad.append(one.value)
    return bad


def seen(cell: Cell, seed: int) -> Found:
    """A cell in as many rounds as its limits take."""

    def one(again: int) -> Found:
        return found(cell, TRIALS, seed, permuted=DRAWS, again=again)

    def of(parts: Sequence[Found]) -> list[Limit]:
        return limits(cell, joined(parts))

    return joined(rounds(one, of, TRIALS, MOST_ROUNDS))


def line_of(cell: Cell, of: Found) -> str:
    """A cell as one line of the table."""
    by_model = next(share for one, share in of.by_model.items() if one is AnswerClass.PAID)
    shares = (of.covered, of.false_paid, of.false_did_not_pay, by_model)
    told = " ".join(f"{100 * share:8.2f}" for share in shares)
    farthest = max(of.foretold, key=of.off)
    least = min(of.foretold, key=of.wrongly_foretold)
    return (
        f"{cell.name:30} {of.trials:7,} {told}   {farthest.value} {of.off(farthest):3.1f}   "
        f"{least.value} {of.wrongly_foretold(least):.4f}"
    )


def main() -> int:
    """A line a cell; 1 where any is not as promised."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    print(f"Rounds of {TRIALS:,} trials until each limit is 3 standard errors away, at most {MOST_ROUNDS};")
    print(f"{DRAWS:,} arrangements as the program draws; truth from a million colonies a round.")
    print("Benefit exactly the break-even, in 100: interval holds the truth; printed paid, did not pay;")
    print("paid by the model alone. Class farthest from its forecast, in Monte Carlo standard errors, and")
    print(f"the smallest p of a class against its forecast (allowed: {FAMILY / NUMBERS:.5f}).")
    print(f"{'':30} {'trials':>7} {'holds':>8} {'paid':>8} {'did not':>8} {'by model':>8}")
    bad = []
    for cell in CELLS:
        of = seen(cell, seed)
        print(line_of(cell, of), flush=True)
        bad += [f"{cell.name}: {one.said}" for one in limits(cell, of) if not one.kept]
        bad += [f"{cell.name}: the forecast of {one}" for one in badly_foretold(of)]
    print("Every cell is as promised." if not bad else "NOT as promised: " + "; ".join(bad))
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
