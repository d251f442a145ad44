"""The speed lines of check group and verdict, one after the other in one run.

    OPENBLAS_NUM_THREADS=1 uv run python benchmarks/answer.py

Power of the primary analysis against a loop of statsmodels' least squares, mixed models with Kenward-Roger
against statsmodels' fits without, and the verdict of 20,000 colonies. Nothing here is a test.
"""

from __future__ import annotations

import check_group
import mixed_models

import verdict


def main() -> None:
    """Print the ratios and the seconds."""
    for name, part in (("Power", check_group), ("Mixed models", mixed_models), ("Verdict", verdict)):
        print(f"{name}:")
        part.main()


if __name__ == "__main__":
    main()
