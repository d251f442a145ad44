"""The joint search: many chains that learn their steps from each other.

Differential-evolution Markov chains (ter Braak 2006) on a likelihood of squared
misfits. The likelihood is flattened by ``WIDER``², because the facts were chosen and
their tolerances set by us: the shipped draws are wider than the facts alone ask for.
"""

from __future__ import annotations

import time
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from scripts.season_search.experiments import fitted_facts
from scripts.season_search.facts import total_misfit
from scripts.season_search.priors import SEARCHED, inside, parameters

from breadline.need.season import Constants

WIDER = 1.5
CHAINS = 320
YEARS = 6  # random years of weather at once
JITTER = 1e-3


@dataclass
class State:
    """Where a search stands; kept on disk so that it can go on."""

    unit: np.ndarray  # (chains, searched)
    misfit: np.ndarray  # (chains,)
    generation: int
    kept: np.ndarray  # points of later generations, (kept, searched)

    def save(self, path: Path, rng: np.random.Generator) -> None:
        """Write it beside the last one, then in its place."""
        path.parent.mkdir(parents=True, exist_ok=True)
        half = path.with_suffix(".half.npz")
        np.savez(half, unit=self.unit, misfit=self.misfit, generation=self.generation, kept=self.kept,
                 rng=np.array([repr(rng.bit_generator.state)]))  # fmt: skip
        half.replace(path)


def search(
    path: Path, const: Constants, *, seed: int, generations: int, years: int = YEARS, keep_every: int = 20
) -> State:
    """Go on from ``path``, or begin there; prints where it stands."""
    rng = np.random.default_rng(seed)
    state = _resumed(path, rng) or _begun(rng, const, years, seed)
    began = time.monotonic()
    while state.generation < generations:
        _generation(state, rng, const, years, seed)
        if state.generation >= generations // 2 and state.generation % keep_every == 0:
            state.kept = np.concatenate([state.kept, state.unit])
        if state.generation % 20 == 0 or state.generation == generations:
            state.save(path, rng)
            print(
                f"seed {seed}: generation {state.generation} of {generations}, misfit best "
                f"{state.misfit.min():.1f}, middle {np.median(state.misfit):.1f}, "
                f"{time.monotonic() - began:.0f} s",
                flush=True,
            )
    return state


def _begun(rng: np.random.Generator, const: Constants, years: int, seed: int) -> State:
    unit = rng.random((CHAINS * 12, len(SEARCHED)))
    misfit = _misfit(unit, const, years, seed)
    best = np.argsort(misfit)[:CHAINS]
    return State(unit[best], misfit[best], 0, np.empty((0, len(SEARCHED))))


def _misfit(unit: np.ndarray, const: Constants, years: int, seed: int) -> np.ndarray:
    return total_misfit(fitted_facts(parameters(unit), const, years, seed))


def _generation(state: State, rng: np.random.Generator, const: Constants, years: int, seed: int) -> None:
    chains, size = state.unit.shape
    a = (np.arange(chains) + rng.integers(1, chains, chains)) % chains
    b = (np.arange(chains) + rng.integers(1, chains, chains)) % chains
    # Each step moves some of the parameters only: with thirty of them a full step is seldom taken.
    moved = rng.random((chains, size)) < rng.choice([0.15, 0.4, 1.0], size=(chains, 1))
    gamma = 2.38 / np.sqrt(2 * np.maximum(moved.sum(1, keepdims=True), 1))
    gamma = np.where(rng.random((chains, 1)) < 0.1, 1.0, gamma)
    step = gamma * (state.unit[a] - state.unit[b]) + JITTER * rng.standard_normal((chains, size))
    tried = inside(state.unit + np.where(moved, step, 0.0))
    misfit = _misfit(tried, const, years, seed)
    better = np.log(rng.random(chains)) < (state.misfit - misfit) / (2 * WIDER**2)
    state.unit[better], state.misfit[better] = tried[better], misfit[better]
    state.generation += 1


def _resumed(path: Path, rng: np.random.Generator) -> State | None:
    if not path.exists():
        return None
    from ast import literal_eval

    with np.load(path) as found:
        rng.bit_generator.state = literal_eval(str(found["rng"][0]))
        return State(found["unit"], found["misfit"], int(found["generation"]), found["kept"])
