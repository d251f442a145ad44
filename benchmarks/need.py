"""How quick the first step of the loop is, against a peer and the limit, in one run.

    uv run python benchmarks/need.py

Prints ratios: times on one machine mean little, their ratios carry over. Nothing
here is a test.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path
from unittest.mock import patch

import numpy as np

from breadline.jobs.demo import FIRST_YARD
from breadline.jobs.season import Asked, limits, season_answer
from breadline.jobs.yard_file import read_yard
from breadline.knowledge.shelf import load
from breadline.need import ranks, season_lanes
from breadline.weather.read import read_weather
from breadline.weather.table import Daily, Hourly
from breadline.weather.years import flying_days
from breadline.web.pages.season import season_page

RUNS = 5


def median_s(work: Callable[[], object], runs: int = RUNS) -> float:
    """Median of several runs after one that is not counted. [s]"""
    work()
    times = []
    for _ in range(runs):
        begun = time.perf_counter()
        work()
        times.append(time.perf_counter() - begun)
    return float(np.median(times))


def season() -> None:
    """30 weather years × 500 draws and the whole page, against bare NumPy over the same numbers."""
    yard = read_yard(FIRST_YARD / "yard.toml")
    weather = read_weather(FIRST_YARD / "weather.csv", latitude=yard.place.latitude, today=yard.today)
    assert isinstance(weather.table, Daily)
    # Fifteen more years: the same ones, fifteen years (with their leap days) before.
    daily = weather.table
    earlier = daily.date - np.timedelta64(5479, "D")
    both = {
        f: np.concatenate([getattr(daily, f)] * 2)
        for f in ("tmin_c", "tmax_c", "tmean_c", "rain_mm", "wind_ms")
    }
    long = replace(weather, table=Daily(np.concatenate([earlier, daily.date]), station=daily.station, **both))
    shelf = load()
    answer = season_answer(yard, long, shelf, Asked(draws=500, years=30))
    assert answer.outlook is not None
    colony_days = answer.outlook.members * len(answer.outlook.dates)
    model = median_s(lambda: season_answer(yard, long, shelf, Asked(draws=500, years=30)))
    page = median_s(lambda: season_page("", answer))
    one = median_s(lambda: season_answer(yard, long, shelf, Asked(draws=1, years=30)))
    floor = _bare_numpy(colony_days)
    html = len(season_page("", answer).body) / 1000
    print(f"season: {answer.outlook.members:,} members × {len(answer.outlook.dates)} days")
    print(f"  answer {model:.2f} s + page {page:.2f} s = {model + page:.2f} s (aim: under 1 s warm)")
    print(f"  the page: three charts, their table and all else, {html:.0f} kB of HTML, drawn anew each time")
    ratios = (
        f"{(model + page) / floor:.2f}× that, the answer {model / floor:.2f}×, the page {page / floor:.2f}×"
    )
    print(f"  the same arithmetic in bare NumPy: {floor:.2f} s; both take {ratios}")
    few = 30 * len(answer.outlook.dates)
    ratio = (one / few) / (model / colony_days)
    print(f"  a colony-day costs {model / colony_days * 1e9:.0f} ns; with one draw a year {ratio:.0f}× that")
    with without_numba():
        slow = median_s(lambda: season_answer(yard, long, shelf, Asked(draws=500, years=30)), 2)
    print(f"  without numba the answer takes {slow:.2f} s, {slow / model:.1f}× as long")


@contextmanager
def without_numba() -> Iterator[None]:
    """As where it is not installed: blocked NumPy, and ranks by sorting."""
    sorting = patch.object(ranks, "quickest", lambda: ranks.by_sorting)
    with patch.object(season_lanes, "available", lambda: False), sorting:
        yield


def made_ready() -> None:
    """What ``serve`` does in the background as it begins, in a Python of its own."""
    ready = [sys.executable, "-c", "from breadline.jobs.warm import made_ready; made_ready()"]
    with tempfile.TemporaryDirectory() as empty:
        env, times = os.environ | {"NUMBA_CACHE_DIR": empty}, []
        for _ in range(2):
            begun = time.perf_counter()
            subprocess.run(ready, check=True, env=env)
            times.append(time.perf_counter() - begun)
    print(f"season made ready: {times[0]:.1f} s the first time on a machine, then {times[1]:.1f} s a start")


def _bare_numpy(colony_days: int) -> float:
    """The kernel's own count of operations, with nothing around them. [s]

    About 330 additions, multiplications and comparisons and 6 powers or
    exponentials a colony-day (counted in ``need/season.py``), in cache-sized blocks.
    """
    block = np.random.default_rng(1).random(2048)
    out = np.empty_like(block)

    def sweep() -> None:
        for _ in range(330):
            np.multiply(block, 1.01, out=out)
        for _ in range(6):
            np.exp(block, out=out)

    return median_s(sweep, 50) / 2048 * colony_days


def hourly_year() -> None:
    """A year of hourly weather read, checked and turned into flight hours, against numpy's own reader."""
    rng = np.random.default_rng(3)
    hours = np.arange("2025-01-01T00", "2026-01-01T00", dtype="datetime64[h]")
    rows = [
        f"{h},{t:.1f},{r:.1f},{w:.1f},{s:.0f}"
        for h, t, r, w, s in zip(
            hours, rng.normal(15, 6, len(hours)), rng.gamma(0.1, 1, len(hours)), rng.gamma(2, 2, len(hours)),
            rng.uniform(0, 800, len(hours)), strict=True,
        )
    ]  # fmt: skip
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "year.csv"
        path.write_text(
            "time,temp [°C],rain [mm],wind [m/s],sun [W/m²]\n" + "\n".join(rows), encoding="utf-8"
        )
        flight = limits(load().reader())

        def ours() -> None:
            read = read_weather(path, latitude=34.0)
            assert isinstance(read.table, Hourly)
            flying_days(read, 34.0, flight)

        def bare() -> None:
            np.genfromtxt(path, delimiter=",", skip_header=1, usecols=(1, 2, 3, 4), encoding="utf-8")

        mine, peer = median_s(ours), median_s(bare)
    print(f"hourly year: {mine:.2f} s (aim: under 1 s), {mine / peer:.1f}× numpy.genfromtxt, unchecked")


def first_words() -> None:
    """``breadline --help`` against a Python that does nothing."""
    exe = Path(sys.executable).parent / "breadline"
    help_s = median_s(lambda: subprocess.run([exe, "--help"], check=True, capture_output=True))
    bare = median_s(lambda: subprocess.run([sys.executable, "-c", "pass"], check=True))
    print(f"breadline --help: {help_s:.2f} s (aim: under 0.3 s), {help_s / bare:.0f}× an empty Python")


if __name__ == "__main__":
    first_words()
    hourly_year()
    made_ready()
    season()
