"""The search of rounds against trying everything, and the belief through the season model and back.

The short form of each is in tests/plan/test_search.py, test_fresh_seasons.py and test_equivalence.py.
"""

from __future__ import annotations

import os
import sys
import time
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial
from multiprocessing import get_context
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from benchmarks.rounds import CASES, Case, everywhere, ready

from breadline.belief.gain import SITUATIONS, Situation, gain_draws
from breadline.knowledge.shelf import load
from breadline.plan.equivalence import feed_worth, shown
from breadline.plan.plans import NOTHING
from breadline.plan.ranked import SAME_CHANCE, Ranked, frontier, ranked
from breadline.plan.rounds import Means, planned, question, rounds
from breadline.plan.ruled_out import bars, out_of_stores
from breadline.plan.search import Found, Search
from tests.plan.reference_yards import reference

WITHIN = 0.01  # of the best that there is [share]
AT_ONCE = 100  # plans tried together
LATITUDES = (52.0, 39.0, -33.0)
DRAWS = 2000


@dataclass(frozen=True)
class All:
    """Every plan in every season, told plan by plan; "do nothing" first."""

    told: list[Ranked]
    seconds: float  # [s]


def tried_all(way: Search, plans: tuple) -> All:
    """Brute force. A plan that is struck out says so."""
    begun, told = time.perf_counter(), []
    for first in range(1, len(plans), AT_ONCE):
        done, struck = way.look([NOTHING, *plans[first : first + AT_ONCE]], way.question.ensemble.members)
        told += [ranked(done, k, struck[k]) for k in range(0 if first == 1 else 1, len(done.plans))]
    return All(told, time.perf_counter() - begun)


def by_comparing_all(told: list[Ranked]) -> set:
    """The plans that no other beats on both money and chance, each held against each."""
    fair = [one for one in told if not one.struck]
    money, chance = (np.array([getattr(one, name) for one in fair]) for name in ("money", "chance"))
    beaten = [
        bool(((money >= m) & (chance > c + SAME_CHANCE) | (money > m) & (chance >= c)).any())
        for m, c in zip(money, chance, strict=True)
    ]
    return {one.plan for one, by in zip(fair, beaten, strict=True) if not by}


def far_from(found: Found, told: list[Ranked]) -> float:
    """How far the search's frontier stays behind the whole one in money, at no less chance. [share]"""
    known = {one.plan: one for one in told}
    mine = [known[one.plan] for one in found.frontier if one.plan in known] + [known[NOTHING]]
    mine += [one for one in (found.best,) if one.plan not in known]
    worst = 0.0
    for one in frontier(told):
        near = max((m.money for m in mine if m.chance >= one.chance - 0.01), default=-np.inf)
        worst = max(worst, (one.money - near) / abs(one.money))
    return worst


def yard(case: Case, seed: int) -> list[str]:
    """One reference yard; what does not hold."""
    at, asked, ensemble, reader = ready(case, seed)
    begun = time.perf_counter()
    answer = rounds(at, asked, ensemble, reader, np.random.default_rng(seed))
    took = time.perf_counter() - begun
    with ProcessPoolExecutor(2, mp_context=get_context("spawn")) as two:
        again = rounds(at, asked, ensemble, reader, np.random.default_rng(seed), Means(two.map, 2))
    one, plans = question(at, asked, ensemble, reader, np.random.default_rng(seed)), planned(asked, ensemble)
    ruled = bars(at, asked.target, ensemble, range(ensemble.days), reader)
    stores = partial(out_of_stores, ensemble=ensemble, reader=reader)
    whole = tried_all(Search(one, ruled, stores), plans)
    found, told = answer.found, whole.told
    best = max(one.money for one in told if not one.struck)
    mine, gap = everywhere(found), far_from(found, told)
    exhaustive = by_comparing_all(told)
    same = frontier(told)
    print(f"{case.name}: {len(plans):,} plans × {ensemble.members:,} seasons of {ensemble.days} days")
    print(f"  money found {mine:.2f}, of everything tried {best:.2f}: {mine / best:.4f} (aim 0.99)")
    chosen, fresh = found.chosen.gain, found.best.gain
    print(f"  brings {chosen:+.2f} a colony where it was chosen, {fresh:+.2f} in fresh seasons")
    print(f"  frontier of all plans: {len(same)} plans, {len(exhaustive)} by holding each against each")
    print(f"  the search's frontier is at most {100 * gap:.2f} % of money behind it, at no less chance")
    print(f"  two processes: {'the same answer' if again.found.best == found.best else 'ANOTHER ANSWER'}")
    print(f"  search {took:.1f} s, everything {whole.seconds:.0f} s; path shared {found.saving:.2f}×")
    broken = []
    if mine < (1.0 - WITHIN) * best:
        broken.append(f"{case.name}: the search misses more than {WITHIN:.0%} of the money")
    if not {one.plan for one in same} <= exhaustive:
        broken.append(f"{case.name}: a plan on the frontier is beaten by another")
    if gap > WITHIN:
        broken.append(f"{case.name}: the search's frontier is {gap:.1%} behind")
    if again.found.best != found.best or again.found.frontier != found.frontier:
        broken.append(f"{case.name}: two processes give another answer than one")
    if found.saving < 1.5:
        broken.append(f"{case.name}: the shared path saves {found.saving:.2f}×")
    return broken


def belief(situation: Situation, latitude: float, seed: int) -> list[str]:
    """The belief through the season model of a latitude and back; what does not hold."""
    reader = load().reader()
    block = reference(situation, latitude, reader, DRAWS)
    gain = gain_draws(situation, reader, np.random.default_rng(seed), DRAWS)
    worth = feed_worth(block, situation, gain, reader)
    fed, unfed = shown(block, worth.equivalence), shown(block, np.zeros(DRAWS))
    back = np.log(worth.laid_on(fed.adults, fed.eaten_g) / unfed.adults)
    span = reader.span(f"belief.{situation}_gain")
    out = np.quantile(back, (0.05, 0.5, 0.95))
    meant = np.array([span.low, span.typical, span.high])
    print(f"  {situation} at {latitude:g}°: {out.round(3)} for {meant}, beyond the model {worth.beyond:.0%}, "
          f"each draw within {np.abs(back - gain).max():.0e}")  # fmt: skip
    wrong = bool((np.abs(out - meant) > 0.02).any()) or float(np.abs(back - gain).max()) > 1e-9
    return [f"{situation} at {latitude:g}°: the belief does not come back"] if wrong else []


def main() -> int:
    """Every yard and every situation; 1 where something does not hold."""
    seed = int(os.environ.get("BREADLINE_SEED", "1"))
    broken = [line for case in CASES for line in yard(case, seed)]
    print("The belief through the reference run and back: 5th, 50th and 95th of 100 draws [log ratio]")
    broken += [b for s in SITUATIONS for at in LATITUDES for b in belief(s, at, seed)]
    print("\n".join(broken) if broken else "Everything holds.")
    return 1 if broken else 0


if __name__ == "__main__":
    sys.exit(main())
