"""The joint search: its data, its rules, and that it goes on where it stopped."""

from __future__ import annotations

import tomllib
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scripts.season_search import search as search_module
from scripts.season_search.experiments import fitted_facts
from scripts.season_search.facts import TARGETS, Fact, facts, total_misfit
from scripts.season_search.places import CLIMATES
from scripts.season_search.priors import FIXED, SEARCHED, inside, parameters, ranges
from scripts.season_search.search import search
from scripts.season_search.ship import agreement
from scripts.season_search.sources_table import narrowed

from breadline.knowledge.season_draws import shipped_draws
from breadline.knowledge.shelf import load
from breadline.need.forecast import constants
from breadline.need.parameters import NAMES

CONST = constants(load().reader())
ROOT = Path(__file__).resolve().parents[2]


def test_the_held_out_facts_are_the_four_that_were_named() -> None:
    held_out = {f.key for f in facts().values() if f.use == "held_out"}
    assert held_out == {"march_adults", "winter_reared", "workers_48_days", "dearth_gain"}


def test_the_search_never_sees_what_is_held_out() -> None:
    par = parameters(np.random.default_rng(1).random((4, len(SEARCHED))))
    worked = fitted_facts(par, CONST, 1, 1)
    fitted = {f.key for f in facts().values() if f.use == "fitted"}
    assert set(worked) == fitted
    assert np.array_equal(total_misfit(worked), total_misfit({**worked, "march_adults": np.full(4, 1e9)}))


def test_every_fact_names_a_climate_and_a_source_that_exist() -> None:
    known = set(tomllib.loads((ROOT / "src/breadline/knowledge/sources.toml").read_text("utf-8")))
    climates = {*tomllib.loads(CLIMATES.read_text("utf-8")), "none"}
    for fact in facts().values():
        assert fact.source in known, fact.key
        assert fact.climate in climates, fact.key
        assert fact.read in {"itself", "quoted", "judged"}, fact.key
        assert fact.tolerance > 0, fact.key


def test_a_misfit_is_counted_in_tolerances() -> None:
    plain = Fact("k", "", 100.0, 10.0, "bees", "none", "s", "itself", "fitted")
    assert plain.misfit(np.array([120.0]))[0] == pytest.approx(2.0)
    ratio = replace(plain, log=True, tolerance=0.1)
    assert ratio.misfit(np.array([100.0 * np.exp(0.2)]))[0] == pytest.approx(2.0)
    known_as_range = replace(plain, low=90.0, high=110.0)
    assert known_as_range.misfit(np.array([95.0, 120.0, 80.0])).tolist() == [0.0, 1.0, -1.0]


def test_points_come_back_from_the_walls_of_the_ranges() -> None:
    assert inside(np.array([-0.2, 0.3, 1.1, 2.4])).tolist() == pytest.approx([0.2, 0.3, 0.9, 0.4])
    corners = parameters(np.array([np.zeros(len(SEARCHED)), np.ones(len(SEARCHED))]))
    for name, (low, high, _) in ranges().items():
        assert getattr(corners, name).tolist() == pytest.approx([low, high])


def test_a_search_that_was_stopped_goes_on_as_if_it_had_not(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(search_module, "CHAINS", 12)
    whole = search(tmp_path / "whole.npz", CONST, seed=5, generations=4, years=1)
    search(tmp_path / "part.npz", CONST, seed=5, generations=2, years=1)
    resumed = search(tmp_path / "part.npz", CONST, seed=5, generations=4, years=1)
    assert np.array_equal(whole.unit, resumed.unit)
    assert np.array_equal(whole.misfit, resumed.misfit)


def test_a_search_comes_nearer_to_the_facts(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(search_module, "CHAINS", 32)
    begun = search(tmp_path / "s.npz", CONST, seed=2, generations=1, years=1).misfit
    gone_on = search(tmp_path / "s.npz", CONST, seed=2, generations=15, years=1).misfit
    assert np.median(gone_on) < np.median(begun)


def test_what_is_shipped_lies_within_the_ranges_searched() -> None:
    shipped = shipped_draws()
    assert set(shipped) == set(NAMES) - set(FIXED)
    for name, values in shipped.items():
        low, high, _ = ranges()[name]
        assert values.shape == (600,)
        assert (values >= low * (1 - 1e-4)).all(), name
        assert (values <= high * (1 + 1e-4)).all(), name


def test_the_shelf_shows_the_percentiles_of_what_is_shipped() -> None:
    shelf = load()
    for name, values in shipped_draws().items():
        span = shelf[f"season.{name}"].span
        found = np.quantile(values, [0.05, 0.5, 0.95])
        assert [span.low, span.typical, span.high] == pytest.approx(found.tolist(), rel=2e-3, abs=1e-4), name


def test_seeds_that_agree_are_told_from_seeds_that_do_not() -> None:
    rng = np.random.default_rng(1)
    same = {k: rng.random((400, len(SEARCHED))) for k in (1, 2, 3)}
    apart = {k: 0.1 * rng.random((400, len(SEARCHED))) + 0.3 * k for k in (1, 2, 3)}
    assert max(agreement(same).values()) < 1.05
    assert min(agreement(apart).values()) > 2
    assert np.abs(narrowed(same[1])).max() < 0.1


def test_the_targets_say_what_they_are() -> None:
    head = TARGETS.read_text("utf-8").splitlines()[0]
    assert head.startswith("# Published facts")
