"""The joint search draws from the law that it is asked for."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from scipy.stats import truncnorm
from scripts.season_search import search as search_module
from scripts.season_search.priors import SEARCHED
from scripts.season_search.search import WIDER, search

from breadline.knowledge.shelf import load
from breadline.need.forecast import constants

TIGHT, AT_A_WALL, FREE, PAIR = slice(0, 10), slice(10, 15), slice(15, 20), (20, 21)


def test_the_chains_settle_on_a_law_that_can_be_written_down(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    # Ten parameters normal about the middle, five normal about a place beside a wall and cut off there, five
    # told nothing, and two told only to be like each other: each law widened as the search says it widens.
    middle, sd = np.full(len(SEARCHED), 0.5), np.full(len(SEARCHED), np.inf)
    sd[TIGHT], sd[AT_A_WALL], middle[AT_A_WALL], apart = 0.04, 0.1, 0.02, 0.05

    def misfit(unit, *_):
        together = (unit[:, PAIR[0]] - unit[:, PAIR[1]]) / apart
        return (((unit - middle) / sd) ** 2).sum(1) + together**2

    monkeypatch.setattr(search_module, "_misfit", misfit)
    kept = search(tmp_path / "law.npz", constants(load().reader()), seed=1, generations=400).kept
    wall = truncnorm(-0.02 / (0.1 * WIDER), 0.98 / (0.1 * WIDER), loc=0.02, scale=0.1 * WIDER)
    assert kept[:, TIGHT].mean() == pytest.approx(0.5, abs=0.01)
    assert kept[:, TIGHT].std(0).mean() == pytest.approx(0.04 * WIDER, rel=0.05)
    assert kept[:, AT_A_WALL].mean() == pytest.approx(wall.mean(), rel=0.06)
    assert kept[:, AT_A_WALL].std(0).mean() == pytest.approx(wall.std(), rel=0.06)
    assert kept[:, FREE].std(0).mean() == pytest.approx(1 / np.sqrt(12), rel=0.03)
    assert np.diff(kept[:, PAIR], axis=1).std() == pytest.approx(apart * WIDER, rel=0.15)
