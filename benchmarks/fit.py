"""How long a fit to five inspections takes, against one plain season run of the same yard, in one run.

    uv run python benchmarks/fit.py

Prints ratios: times on one machine mean little, their ratios carry over. Nothing here is a test.
"""

from __future__ import annotations

import sys
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from benchmarks.need import median_s, without_numba

from breadline.knowledge.shelf import load
from breadline.need.fit.fitting import fit
from breadline.need.fit.ready import DRAWS
from breadline.need.fit.told import Fitted
from breadline.need.forecast import forecast
from breadline.need.streams import Streams
from breadline.need.yard import Yard
from tests.need.fit_yards import FIRST, YARD, inspection, weather

AS_FORETOLD = ((15, 6.5, 3.5), (30, 8.5, 5.0), (45, 11.5, 6.5), (60, 14.0, 7.5), (75, 16.0, 8.0))  # made up
RICHER = ((15, 7.5, 5.0), (30, 10.5, 7.5), (45, 15.0, 10.0), (60, 19.0, 11.0), (75, 22.0, 11.0))  # made up


def main() -> None:
    """Five inspections near what the model foretells, and five of a richer place, where draws are moved."""
    sky, reader = weather(30, 300), load().reader()
    plain = replace(YARD, today=FIRST + timedelta(days=1))
    season = median_s(lambda: forecast(plain, sky, reader, Streams.of(np.random.default_rng(1)), 500))
    print(f"plain season, 30 paths × 500 draws: {season:.2f} s")
    for name, counts in (("as foretold", AS_FORETOLD), ("richer", RICHER)):
        looks = tuple(inspection(*one) for one in counts)
        yard = replace(YARD, today=FIRST + timedelta(days=76), inspections=looks)

        def one(yard: Yard = yard) -> Fitted:
            return fit(yard, sky, reader, Streams.of(np.random.default_rng(2))).told

        took, told = median_s(one), one()
        print(
            f"five inspections, {name}: {took:.2f} s (aim: under 3 s), {took / season:.2f}× the season; "
            f"{DRAWS:,} draws, {'moved' if told.moved else 'weighed only'}; effective "
            f"{told.effective_first:.0f}, after {told.effective:.0f}; the model "
            f"{'fits' if told.fits else 'does not fit'}"
        )
        with without_numba():
            slow = median_s(one, 2)
        print(f"  without numba {slow:.2f} s, {slow / took:.1f}× as long")


if __name__ == "__main__":
    main()
