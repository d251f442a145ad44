"""How quick the season model is, against a peer, against NumPy in blocks and against the bare operations.

    uv run python benchmarks/season_kernel.py

Prints ratios of one run on one core; colonies and place are made up. Nothing here is a test.
"""

from __future__ import annotations

import os
import resource
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass, fields, replace
from typing import ClassVar

import numpy as np

from breadline.knowledge.shelf import load
from breadline.need.forecast import constants, season_parameters
from breadline.need.parameters import Parameters
from breadline.need.season import Colony, Constants, Drivers, each_block, run
from breadline.need.season_signal import season_of
from breadline.need.start import Counted, start_colony
from breadline.span import FloatArray

MEMBERS, DAYS, PATHS, LATITUDE = 50_000, 180, 30, 45.0
AT_ONCE = 8_192  # members made at once, so that a million need no more memory than these


@dataclass(frozen=True)
class Ensemble:
    """Colonies somewhere, with a patty of 450 g every fortnight."""

    start: Colony
    drivers: Drivers
    par: Parameters
    const: Constants
    worth: FloatArray  # [g/g]

    def arguments(self) -> tuple[Colony, Drivers, Parameters, Constants, FloatArray]:
        return self.start, self.drivers, self.par, self.const, self.worth


class Maker:
    """Makes as many colonies as asked for, always the same."""

    def __init__(self) -> None:
        self.reader = load().reader()
        self.const = constants(self.reader)
        rng, shape = np.random.default_rng(1), (DAYS, PATHS)
        year = season_of(np.datetime64("2027-04-01") + np.arange(DAYS), LATITUDE)
        self.drivers = Drivers(
            flight_h=rng.uniform(0, 10, shape),
            pollen=rng.uniform(0, 0.8, shape),
            quality=rng.uniform(0.7, 1.2, shape),
            nectar=rng.uniform(0, 1, shape),
            path=np.zeros(0, dtype=np.int64),
            rho=year.rho,
            trend=year.trend,
            turn=year.turn,
            latitude=LATITUDE,
            put_on_g=np.where(np.arange(DAYS) % 14 == 0, 450.0, 0.0),
        )

    def ensemble(self, members: int, seed: int = 2) -> Ensemble:
        rng = np.random.default_rng(seed)
        par = season_parameters(self.reader, rng, members)
        counted = Counted(
            adults=rng.uniform(4_000, 25_000, members),
            brood=rng.uniform(1_000, 20_000, members),
            bread_g=rng.uniform(0, 1_500, members),
            reserve_share=np.full(members, 0.5),
            foragers=np.full(members, 0.2),
            package=False,
        )
        start = start_colony(counted, par, self.const)
        place = replace(self.drivers, path=np.arange(members) % PATHS)
        return Ensemble(start, place, par, self.const, rng.uniform(0.2, 0.9, members))


def least_s(work: Callable[[], object], runs: int) -> float:
    """The shortest of several runs, after one that is not counted; time of this process only. [s]"""
    work()
    times = []
    for _ in range(runs):
        begun = time.process_time()
        work()
        times.append(time.process_time() - begun)
    return min(times)


def through(some: Ensemble, engine: str) -> None:
    for _ in each_block(*some.arguments(), engine=engine):  # type: ignore[arg-type]
        pass


def against_numpy(maker: Maker) -> float:
    """Prints the ratios to the peer and to NumPy in blocks; a colony-day of the compiled season. [ns]"""
    from season_peer import peer

    few, many = maker.ensemble(24), maker.ensemble(MEMBERS)
    read = run(*few.arguments(), engine="reference", flows=True)
    by_loop = peer(*few.arguments())
    wanted = np.stack([read.adults, read.brood, read.store_g, read.income_g])
    apart = np.abs(by_loop - wanted).max() / np.abs(wanted).max()
    if apart > 1e-10:
        raise SystemExit(f"the loop over colonies is another model: apart by {apart:.0e} of the largest")
    compiled = run(*few.arguments(), engine="lanes", flows=True)
    same = all(np.array_equal(getattr(read, f.name), getattr(compiled, f.name)) for f in fields(read)[:-1])
    to_ns = 1e9 / DAYS
    loop = least_s(lambda: peer(*few.arguments()), 3) / 24 * to_ns
    lanes = least_s(lambda: through(many, "lanes"), 7) / MEMBERS * to_ns
    blocks = least_s(lambda: through(many, "reference"), 1) / MEMBERS * to_ns
    print(f"season, {MEMBERS:,} members × {DAYS} days, one core; shortest of several runs")
    print(f"  compiled: {lanes:.0f} ns a colony-day; equal to the reference to the last digit: {same}")
    print(f"  a loop over colonies: {loop:,.0f} ns, {loop / lanes:.0f}× (aim: 600×); apart by {apart:.0e}")
    print(f"  NumPy in blocks: {blocks:.0f} ns, {blocks / lanes:.1f}× (aim: 5×)")
    return lanes


class Tally(np.ndarray):
    """Numbers that count what is done to them."""

    done: ClassVar[Counter[str]] = Counter()

    def __array_ufunc__(self, ufunc, method, *inputs, out=None, **asked):  # type: ignore[no-untyped-def]
        bare = [np.asarray(x) for x in inputs]
        if out is not None:
            asked["out"] = tuple(np.asarray(x) for x in out)
        told = getattr(ufunc, method)(*bare, **asked)
        Tally.done[ufunc.__name__] += np.size(told) * (2 if ufunc.__name__ == "clip" else 1)
        return np.asarray(told).view(Tally)


KINDS = {
    "add": "add", "subtract": "add", "negative": "add", "multiply": "multiply", "divide": "divide",
    "sqrt": "root", "minimum": "smaller", "maximum": "smaller", "clip": "smaller", "greater": "smaller",
}  # fmt: skip


def operations(maker: Maker) -> Counter[str]:
    """What a colony-day of the reference does, counted as it runs: one member, one day. [operations]"""
    from breadline.need.season_day import Day, today
    from breadline.need.season_signal import laying

    one = maker.ensemble(1)
    here = one.drivers

    def counted(whole):  # type: ignore[no-untyped-def]
        return type(whole)(**{f.name: getattr(whole, f.name).view(Tally) for f in fields(whole)})

    par = counted(one.par)
    day, season = Day(counted(one.start), par, one.const, one.worth.view(Tally)), laying(LATITUDE, par)
    Tally.done.clear()
    of_the_day = (float(one[0]) for one in (here.rho, here.trend, here.turn))
    shares = [season.share(*of_the_day)]
    day.live(today(one.drivers, shares, 0))
    kinds: Counter[str] = Counter()
    for name, times in Tally.done.items():
        kinds[KINDS[name]] += times
    return kinds


def bare_ns() -> dict[str, float]:
    """One operation of each kind in a loop that does nothing else, compiled like the season. [ns]"""
    import bare_loops

    x = np.random.default_rng(3).uniform(1.0, 2.0, 256)
    spent = {}
    for kind, loop in bare_loops.LOOPS.items():
        spent[kind] = least_s(lambda loop=loop: loop(x, 20_000), 7) / (256 * 20_000 * bare_loops.DEEP) * 1e9  # type: ignore[misc]
    return spent


def against_the_bound(maker: Maker, lanes_ns: float) -> None:
    """Prints operations × their bare cost, and how far from that the compiled season is."""
    counts, cost = operations(maker), bare_ns()
    bound = sum(counts[kind] * cost[kind] for kind in counts)
    told = ", ".join(f"{counts[k]} {k} at {cost[k]:.3f}" for k in sorted(counts))
    print(f"  bare operations: {told} ns")
    print(
        f"  together {bound:.1f} ns; the compiled season takes {lanes_ns / bound:.1f}× that (aim: under 4×)"
    )


def growth(maker: Maker) -> None:
    """Prints cost and memory from a thousand members to a million, made block by block."""
    for members in (10**3, 10**4, 10**5, 10**6):
        spent = 0.0
        for first in range(0, members, AT_ONCE):
            some = maker.ensemble(min(AT_ONCE, members - first), seed=first)
            spent += least_s(lambda some=some: through(some, "lanes"), max(1, 30_000 // members))  # type: ignore[misc]
        most = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        each = spent / members / DAYS * 1e9
        print(f"  {members:>9,} members: {each:.0f} ns a colony-day; peak memory so far {most:.0f} MB")


FIRST = """
import time
begun = time.process_time()
import season_kernel as bench
few = bench.Maker().ensemble(64)
ready = time.process_time()
bench.through(few, "lanes")
print(time.process_time() - ready)
"""


def first_season() -> None:
    """Prints what the first season of a process spends on numba, with nothing kept and with code kept."""
    with tempfile.TemporaryDirectory() as kept:
        where = {**os.environ, "NUMBA_CACHE_DIR": kept, "PYTHONPATH": os.pathsep.join(sys.path)}
        waits = []
        for _ in range(2):
            told = subprocess.run(
                [sys.executable, "-c", FIRST], env=where, capture_output=True, text=True, check=True
            )
            waits.append(float(told.stdout))
    print(f"  first season of a process: {waits[0]:.1f} s of one core, {waits[1]:.1f} s where it is kept")


if __name__ == "__main__":
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {min(os.sched_getaffinity(0))})
    here = Maker()
    first_season()
    growth(here)
    against_the_bound(here, against_numpy(here))
