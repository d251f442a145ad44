"""The season made ready before the first page asks for one."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest

from breadline.jobs.warm import made_ready, warm_up
from breadline.need import ranks, season_lanes
from breadline.need.ranks import at_ranks, by_sorting
from breadline.need.season import run
from tests.need.colonies import colony, drawn, place

KERNELS = ("breadline.need.season_kernel", "breadline.need.ranks_kernel")


@pytest.fixture
def cold(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """As in a program that has just begun."""
    brought_in = (season_lanes._kernel, ranks.quickest)
    for one in brought_in:
        one.cache_clear()
    for name in KERNELS:
        monkeypatch.delitem(sys.modules, name, raising=False)
    yield
    for one in brought_in:
        one.cache_clear()


def signatures() -> tuple[list[Any], list[Any]]:
    return season_lanes._kernel().signatures, ranks.quickest().signatures  # type: ignore[attr-defined]


@pytest.mark.usefixtures("cold")
def test_a_season_finds_everything_compiled() -> None:
    assert made_ready()
    before = [list(kinds) for kinds in signatures()]
    assert [len(kinds) for kinds in before] == [1, 1]
    par, const = drawn(3)
    run(
        colony(par, const, adults=9_000, brood=7_000, bread_g=200),
        place(par, days=5),
        par,
        const,
        np.zeros(3),
    )
    at_ranks(np.arange(9.0), np.array([1, 4, 7]))
    assert [list(kinds) for kinds in signatures()] == before, "the season compiled something of its own"


@pytest.mark.usefixtures("cold")
def test_it_is_made_once_however_many_ask(monkeypatch: pytest.MonkeyPatch) -> None:
    made = []

    def jitted(**_: object) -> Callable[[object], object]:
        time.sleep(0.05)  # the others come in meanwhile
        return lambda function: made.append(function) or function

    monkeypatch.setattr("numba.njit", jitted)
    asking = [threading.Thread(target=ranks.quickest) for _ in range(8)]
    for one in asking:
        one.start()
    for one in asking:
        one.join()
    assert len(made) == 1


@pytest.mark.usefixtures("cold")
def test_the_background_does_not_keep_a_program_from_ending() -> None:
    thread = warm_up()
    assert thread.daemon
    thread.join()
    assert all(name in sys.modules for name in KERNELS)


@pytest.mark.usefixtures("cold")
def test_without_numba_there_is_nothing_to_make_ready(monkeypatch: pytest.MonkeyPatch) -> None:
    for name in KERNELS:
        monkeypatch.setitem(sys.modules, name, None)
    assert not made_ready()
    assert ranks.quickest() is by_sorting


SERVED = """
import sys, uvicorn
from pathlib import Path
from breadline.cli import serving
from breadline.jobs import warm

begun = []
warm.warm_up = lambda: begun.append(True)
uvicorn.Server.run = lambda *a, **k: print("compiling" if begun else "cold")
serving._open(Path("book.sqlite"), serving.Where(0), None, browser=False, to=sys.stderr)
"""


def test_serving_begins_to_compile_before_it_answers() -> None:
    told = subprocess.run([sys.executable, "-c", SERVED], capture_output=True, text=True, check=False)
    assert told.stdout.strip() == "compiling", told.stderr
