"""How long the verdict of 20,000 colonies takes, from the bytes of a spreadsheet to its words.

    OPENBLAS_NUM_THREADS=1 uv run python benchmarks/verdict.py

200 yards of 100 colonies, sets of four with one unfed, a tenth lost, a hundredth not found; baseline and
set given; 999 permutations. Everything that `breadline verdict` says is worked out: the covariance, the
permutations, another yard by the mixed model, bounds, every yard left out. The picture and the page are
timed apart. The first run is left out, since imports are in it.
"""

from __future__ import annotations

import argparse
import time
from datetime import date

import numpy as np

from breadline.jobs.verdict import Prices, Told, VerdictAsked
from breadline.jobs.verdict_chart import verdict_svg
from breadline.jobs.verdict_file import verdict_of_content

LIMIT = 5.0  # s


def sheet(colonies: int, seed: int = 1) -> bytes:
    """A made-up spreadsheet."""
    rng = np.random.default_rng(seed)
    k = np.arange(colonies)
    fed, yard, block = (k % 4 != 0).astype(int), k // 100, k // 4
    before = np.round(2 * rng.normal(7, 1.4, colonies)) / 2
    shift = rng.normal(0, 0.7, yard.max() + 1)
    after = (
        np.round(
            2 * np.maximum(1.5, 3 + 0.6 * before + shift[yard] + 0.9 * fed + rng.normal(0, 1.6, colonies))
        )
        / 2
    )
    fate = rng.random(colonies)
    rows = ["hive,yard,set,group,frames before,frames after,status"]
    for i in range(colonies):
        status = "dead" if fate[i] < 0.1 else "not found" if fate[i] < 0.11 else ""
        group = "fed" if fed[i] else "check"
        rows.append(f"{i},Y{yard[i]},{block[i]},{group},{before[i]},{'' if status else after[i]},{status}")
    return "\n".join(rows).encode()


def main() -> None:
    """Print the times and the best of them."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--colonies", type=int, default=20_000)
    parser.add_argument("--runs", type=int, default=3)
    wanted = parser.parse_args()
    content = sheet(wanted.colonies)
    asked = VerdictAsked(Prices(16, 18, year=2026), Told("lot"), draws=999)
    times = []
    for _ in range(wanted.runs + 1):
        start = time.perf_counter()
        found = verdict_of_content("colonies.csv", content, asked, date(2027, 2, 10))
        times.append(time.perf_counter() - start)
    start = time.perf_counter()
    verdict_svg(found, "wide")  # type: ignore[arg-type]
    drawn = time.perf_counter() - start
    print(found.spoken.sentence)  # type: ignore[union-attr]
    print(f"{wanted.colonies:,} colonies, 999 permutations: {', '.join(f'{t:.2f}' for t in times[1:])} s")
    print(f"best {min(times[1:]):.2f} s (limit {LIMIT:.0f} s); picture {drawn:.2f} s")


if __name__ == "__main__":
    main()
