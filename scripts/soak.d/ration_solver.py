"""Two thousand random questions of the ration, against a solver of another family.

The short form, two hundred, is in tests/ration/test_peer.py.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.ration.test_peer import agree, both, irreducible

QUESTIONS = 2000


def main() -> int:
    """Try every question; 1 where the two solvers differ or a conflict set can be made smaller."""
    first = QUESTIONS * (int(os.environ.get("BREADLINE_SEED", "1")) - 1)
    answered = none = 0
    wrong: list[str] = []
    for seed in range(first, first + QUESTIONS):
        try:
            agree(seed)
            irreducible(seed)
        except AssertionError as found:
            wrong.append(f"{seed}: {str(found).splitlines()[0] if str(found) else 'not as it should be'}")
            continue
        cost, _ = both(seed)
        answered, none = (answered + 1, none) if cost is not None else (answered, none + 1)
    print(
        f"{QUESTIONS} random questions, seeds {first} to {first + QUESTIONS - 1}, each asked of HiGHS by the"
    )
    print("program and, with rows written out anew, of Clarabel, an interior-point solver.\n")
    print(f"same cheapest cost within 2 in a million: {answered}")
    print(f"no mix by either, and every member of the conflict set needed: {none}")
    print(f"otherwise: {len(wrong)}")
    for line in wrong[:20]:
        print(f"  {line}")
    return 1 if wrong else 0


if __name__ == "__main__":
    raise SystemExit(main())
