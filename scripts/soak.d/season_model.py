"""The season model in many invented places: what must hold whatever the place, the count and the draws.

The short form of each is in tests/need/test_season.py.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from breadline.need.season import COURSE, run
from tests.need.colonies import colony, drawn, place, with_feed

PLACES = 300
DRAWS = 256
DAYS = 150


def breaches(rng: np.random.Generator, draw_seed: int) -> list[str]:
    """One invented place and count; the rules that it breaks."""
    par, const = drawn(DRAWS, seed=draw_seed)
    start = colony(
        par,
        const,
        adults=rng.uniform(1_000, 40_000),
        brood=rng.uniform(0, 25_000),
        bread_g=rng.uniform(0, 3_000),
    )
    here = place(
        par,
        start=str(np.datetime64("2027-01-01") + rng.integers(365)),
        days=DAYS,
        latitude=rng.uniform(-55, 65),
        flight_h=rng.uniform(0, 12),
        pollen=rng.uniform(0, 1),
    )
    fed_here = with_feed(here, every=int(rng.integers(5, 30)), grams=rng.uniform(50, 900))
    worthless, useful = np.zeros(DRAWS), rng.uniform(0, 1, DRAWS)
    unfed, idle, fed = (
        run(start, w, par, const, e)
        for w, e in ((here, worthless), (fed_here, worthless), (fed_here, useful))
    )
    broken = []
    for name in COURSE:
        for label, course in (("unfed", unfed), ("fed", fed)):
            values = getattr(course, name)
            if not np.isfinite(values).all() or (values < 0).any():
                broken.append(f"{label} {name} is negative or no number")
        if name != "eaten_g" and not np.array_equal(getattr(unfed, name), getattr(idle, name)):
            broken.append(f"a feed worth nothing changes {name}")
    put_on = np.cumsum(fed_here.put_on_g)[:, None]
    if (np.cumsum(fed.eaten_g, axis=0) > put_on * (1 + 1e-9) + 1e-6).any():
        broken.append("more feed is eaten than was put on")
    return broken


def main() -> int:
    """Try every place; 1 where a rule is broken."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    rng = np.random.default_rng(seed)
    found = []
    for number in range(PLACES):
        found += [f"place {number}: {breach}" for breach in breaches(rng, seed * 1_000 + number)]
    print(f"{PLACES} invented places, {DRAWS} draws of the parameters each, {DAYS} days, three runs a place.")
    print("Rules: nothing negative, nothing that is no number; a feed worth nothing leaves the unfed path")
    print("bit for bit; no more feed is eaten than was put on.")
    print("\n".join(found) if found else "No rule was broken.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
