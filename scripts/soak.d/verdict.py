"""The primary analysis, calibrated: invented trials of twelve cells, the break-even exactly the true benefit.

The short form is tests/verdict/test_calibration.py.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from breadline.trial.classes import LEVEL
from tests.verdict.calibration import CELLS, Cell, Found, found

TRIALS, PERMUTED = 2_000, 999
ROOM, YARDS_ROOM, FALSE, STANDARD_ERRORS = 0.02, 0.01, 0.06, 3.0


def wrong(cell: Cell, of: Found) -> list[str]:
    """What of a cell is not as promised, in words."""
    said = []
    if of.covered < LEVEL - (ROOM if cell.yards is None else YARDS_ROOM):
        said.append("the interval holds the truth too seldom")
    if cell.yards is None and of.covered > LEVEL + ROOM:
        said.append("the interval is wider than it says")
    if of.false_paid > FALSE:
        said.append('"paid" too often')
    if of.false_did_not_pay > FALSE:
        said.append('"did not pay" too often')
    off = [one.value for one in of.foretold if of.off(one) > STANDARD_ERRORS]
    return said + ([f"the forecast of {', '.join(off)}"] if off else [])


def main() -> int:
    """A line a cell; 1 where any is not as promised."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    print(f"{TRIALS} trials a cell, {PERMUTED} arrangements drawn in each; truth from a million colonies.")
    print("Benefit exactly the break-even, in 100: interval holds the truth; printed paid, did not pay;")
    print("paid by the model alone; farthest class from its forecast, in Monte Carlo standard errors.")
    bad = []
    for cell in CELLS:
        of = found(cell, TRIALS, seed, permuted=PERMUTED)
        by_model = next(share for one, share in of.by_model.items() if one.value == "A")
        farthest = max(of.foretold, key=of.off)
        share = f"{100 * of.covered:5.1f}; {100 * of.false_paid:4.1f}, {100 * of.false_did_not_pay:4.1f}"
        far = f"{farthest.value} {of.off(farthest):.1f}"
        print(f"  {cell.name:32} {share}; {100 * by_model:4.1f}; {far}", flush=True)
        bad += [f"{cell.name}: {one}" for one in wrong(cell, of)]
    print("Every cell is as promised." if not bad else "NOT as promised: " + "; ".join(bad))
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
