"""The compiled season against the one that is written to be read; and everything without numba."""

from __future__ import annotations

import re
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, fields, replace
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from breadline.need import season_lanes, season_rows
from breadline.need.season import STATE, Block, Colony, Course, Drivers, each_block, lived, run
from breadline.need.season_signal import exponential
from tests.need.colonies import colony, drawn, place, with_feed

MEMBERS = 70  # more than two rounds of lanes, and a rest
PAR, CONST = drawn(MEMBERS, seed=11)


@dataclass(frozen=True, repr=False)
class Case:
    """Colonies somewhere, and what they are fed."""

    start: Colony
    drivers: Drivers
    worth: np.ndarray


@st.composite
def cases(draw: st.DrawFn) -> Case:
    chance = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    amount = st.floats(0, 1)
    start = colony(
        PAR,
        CONST,
        adults=draw(st.floats(0, 60_000)),
        brood=draw(st.floats(0, 40_000)),
        bread_g=draw(st.sampled_from([0.0, 5.0, 60.0, 900.0, 5_000.0])),
    )
    shape = (draw(st.integers(1, 90)), draw(st.integers(1, 4)))
    on = draw(st.sampled_from(["2027-01-05", "2027-04-01", "2027-06-21", "2027-10-10"]))
    calm = place(PAR, start=on, days=shape[0], latitude=draw(st.sampled_from([-37.0, 0.0, 28.0, 45.0, 63.0])))
    drivers = replace(
        calm,
        flight_h=chance.uniform(0, 14, shape) * draw(amount),
        pollen=chance.uniform(0, 1, shape) * draw(st.sampled_from([0.0, 0.1, 1.0])),
        quality=chance.uniform(0.3, 1.5, shape),
        nectar=chance.uniform(0, 1, shape) * draw(amount),
        path=chance.integers(0, shape[1], MEMBERS),
    )
    drivers = with_feed(
        drivers, every=draw(st.integers(1, 30)), grams=draw(st.sampled_from([0.0, 30.0, 900.0]))
    )
    worth = chance.uniform(0, 1.3, MEMBERS) * draw(st.sampled_from([0.0, 1e-12, 1.0]))
    return Case(start, drivers, worth)


def columns(course: Course) -> Iterator[tuple[str, np.ndarray]]:
    for f in fields(Course):
        if f.name != "flows":
            yield f.name, getattr(course, f.name)
    if course.flows is not None:
        for f in fields(course.flows):
            yield f"flows.{f.name}", getattr(course.flows, f.name)


def course(case: Case, engine: str, **asked: bool) -> Course:
    return run(case.start, case.drivers, PAR, CONST, case.worth, engine=engine, **asked)


def test_numba_is_installed_here_or_this_file_proves_nothing() -> None:
    assert season_lanes.available()


@settings(max_examples=60, deadline=None)
@given(case=cases())
def test_the_compiled_season_is_the_reference_to_the_last_digit(case: Case) -> None:
    read, compiled = course(case, "reference", flows=True), course(case, "lanes", flows=True)
    for (name, wanted), (_, had) in zip(columns(read), columns(compiled), strict=True):
        assert np.array_equal(wanted, had), f"{name}: off by {np.abs(wanted - had).max()}"


@settings(max_examples=20, deadline=None)
@given(case=cases(), engine=st.sampled_from(["lanes", "reference"]))
def test_a_feed_worth_nothing_changes_nothing_but_the_feed(case: Case, engine: str) -> None:
    worthless = replace(case, worth=np.zeros(MEMBERS))
    bare = replace(worthless, drivers=replace(case.drivers, put_on_g=np.zeros_like(case.drivers.put_on_g)))
    fed, unfed = course(worthless, engine, flows=True), course(bare, engine, flows=True)
    for (name, with_it), (_, without) in zip(columns(fed), columns(unfed), strict=True):
        if name != "eaten_g":
            assert np.array_equal(with_it, without), name


@settings(max_examples=25, deadline=None)
@given(case=cases(), first=st.integers(0, MEMBERS - 1), many=st.integers(1, MEMBERS))
def test_a_member_fares_the_same_in_any_company(case: Case, first: int, many: int) -> None:
    some = slice(first, min(first + many, MEMBERS))
    drivers = case.drivers.part(some)
    for engine in ("lanes", "reference"):
        whole = course(case, engine)
        alone = run(case.start.part(some), drivers, PAR.take(some), CONST, case.worth[some], engine)
        for (name, wanted), (_, had) in zip(columns(whole), columns(alone), strict=True):
            assert np.array_equal(wanted[:, some], had), f"{engine} {name}"


def test_blocks_come_in_order_and_hold_every_member_once() -> None:
    par, const = drawn(2_500, seed=3)
    start, drivers = colony(par, const, adults=9_000, brood=7_000, bread_g=200), place(par, days=10)
    worth = np.zeros(par.draws)
    for engine in ("lanes", "reference"):
        whole = run(start, drivers, par, const, worth, engine)
        at = 0
        for part, some in each_block(start, drivers, par, const, worth, engine):
            assert part.start == at
            assert np.array_equal(some.adults, whole.adults[:, part])
            at = part.stop
        assert at == par.draws


def test_what_is_wanted_of_a_course_is_the_same_and_the_rest_holds_no_number() -> None:
    par, const = drawn(1_500, seed=3)  # more than one block
    start, drivers = colony(par, const, adults=9_000, brood=7_000, bread_g=200), place(par, days=9)
    whole = run(start, drivers, par, const, np.zeros(par.draws))
    some = lived(Block(start, drivers, par, const, np.zeros(par.draws)), ("adults", "need_g"))
    for name, column in columns(some):
        if name in ("adults", "need_g"):
            assert np.array_equal(column, getattr(whole, name)), name
        else:
            assert column.shape == whole.adults.shape
            assert np.isnan(column).all(), name


def test_two_seasons_worked_at_once_do_not_write_over_each_other() -> None:
    """As two pages asked for at the same time do."""
    start = colony(PAR, CONST, adults=9_000, brood=7_000, bread_g=200)
    poor, rich = place(PAR, pollen=0.0, days=40), place(PAR, pollen=0.9, days=40)
    worth = np.zeros(MEMBERS)
    wanted = [run(start, where, PAR, CONST, worth, "lanes").adults for where in (poor, rich)]
    both = zip(*(each_block(start, where, PAR, CONST, worth, "lanes") for where in (poor, rich)), strict=True)
    for (part, one), (_, other) in both:
        assert np.array_equal(one.adults, wanted[0][:, part])
        assert np.array_equal(other.adults, wanted[1][:, part])


def test_a_run_leaves_what_it_was_given_as_it_was() -> None:
    start = colony(PAR, CONST, adults=9_000, brood=7_000, bread_g=200)
    before = {name: getattr(start, name).copy() for name in STATE}
    run(start, with_feed(place(PAR), 7, 400), PAR, CONST, np.ones(MEMBERS), engine="lanes")
    assert all(np.array_equal(before[name], getattr(start, name)) for name in STATE)


def test_every_fixed_number_has_the_row_of_its_own_name() -> None:
    for k, name in enumerate(season_rows.FIXED):
        assert getattr(season_rows, name.upper()) == season_rows.STATE_ROWS + k, name


def test_without_numba_the_quickest_is_the_reference(monkeypatch: pytest.MonkeyPatch) -> None:
    case = Case(
        colony(PAR, CONST, adults=9_000, brood=7_000, bread_g=200),
        with_feed(place(PAR), 7, 400),
        np.ones(MEMBERS),
    )
    with_it = course(case, "quickest")

    def missing() -> None:
        raise ImportError("no numba here")

    monkeypatch.setattr(season_lanes, "_kernel", missing)
    assert not season_lanes.available()
    without = course(case, "quickest")
    for (name, wanted), (_, had) in zip(columns(with_it), columns(without), strict=True):
        assert np.array_equal(wanted, had), name


NO_NUMBA = """
import sys
sys.modules["numba"] = None  # as where it is not installed: importing it fails
sys.modules["llvmlite"] = None
import numpy as np
from breadline.need.season import run
from tests.need.colonies import colony, drawn, place
par, const = drawn(5)
start = colony(par, const, adults=9_000, brood=7_000, bread_g=200)
course = run(start, place(par, days=20), par, const, np.zeros(5))
print(float(course.adults[-1].min()) > 0)
"""


def test_a_python_that_has_no_numba_runs_a_season() -> None:
    told = subprocess.run([sys.executable, "-c", NO_NUMBA], capture_output=True, text=True, check=False)
    assert told.stdout.strip() == "True", told.stderr


def test_numba_is_not_imported_before_a_season_is_run() -> None:
    look = (
        "import sys, breadline.cli.app, breadline.need.season_lanes, breadline.need.forecast\n"
        "print('numba' in sys.modules)"
    )
    told = subprocess.run([sys.executable, "-c", look], capture_output=True, text=True, check=False)
    assert told.stdout.strip() == "False", told.stderr


@pytest.fixture(scope="module")
def nowhere() -> Iterator[Any]:
    """The season compiled where neither the package nor the user's cache can be written."""
    from numba.core import caching

    from breadline.need.season_kernel import compiled

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(caching.CacheImpl, "_locator_classes", [])
        kernel = compiled()
        patch.setattr(season_lanes, "_kernel", lambda: kernel)
        yield kernel


def test_where_nothing_can_be_written_it_is_compiled_all_the_same(nowhere: Any) -> None:
    start, fed = (
        colony(PAR, CONST, adults=9_000, brood=7_000, bread_g=200),
        with_feed(place(PAR, days=9), 7, 400),
    )
    had = run(start, fed, PAR, CONST, np.ones(MEMBERS), "lanes")
    wanted = run(start, fed, PAR, CONST, np.ones(MEMBERS), "reference")
    assert nowhere.signatures, "it was used"
    assert np.array_equal(had.brood, wanted.brood)
    assert type(nowhere._cache).__name__ == "NullCache", "and kept nowhere"


def test_every_step_of_the_day_is_worked_for_several_members_at_once(nowhere: Any) -> None:
    """One loop that the compiler cannot take several at a time costs more than all others together."""
    start = colony(PAR, CONST, adults=9_000, brood=7_000, bread_g=200)
    run(start, place(PAR, days=1), PAR, CONST, np.ones(MEMBERS), "lanes")
    assert len(nowhere.signatures) == 1, "compiled once, whatever the arrays look like"
    code = nowhere.inspect_llvm(nowhere.signatures[0])
    together = re.findall(r"= f(?:mul|div) <\d+ x double>", code)
    alone = re.findall(r"= f(?:mul|div) double ", code)
    # Where two rows might overlap the compiler keeps a copy for that case, never used; one
    # of seven loops has it. A loop that it gave up on brings this to more than a half.
    assert len(alone) < 0.25 * len(together)


def test_the_kept_code_is_told_apart_by_what_was_compiled(monkeypatch: pytest.MonkeyPatch) -> None:
    """The cache on disk knows one file; another row in another file must not bring back the old code."""
    from breadline.need import season_kernel

    before = season_kernel.stamp()
    assert season_kernel.stamp() == before
    monkeypatch.setattr(season_rows, "STORE", season_rows.RESERVE)
    assert season_kernel.stamp() != before


@pytest.mark.parametrize(("reach", "close"), [(1.0, 1e-13), (9.0, 1e-13), (60.0, 1e-6)])
def test_the_exponential_is_as_close_as_it_says(reach: float, close: float) -> None:
    x = np.linspace(-reach, reach, 20_001)
    assert np.abs(exponential(x) / np.exp(x) - 1).max() < close
    assert np.abs(1 / (1 + exponential(x)) - 1 / (1 + np.exp(x))).max() < 1e-14
