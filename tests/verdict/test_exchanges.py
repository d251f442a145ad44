"""Draws by exchange: every one that could have fallen as often, and a test that keeps its level."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import combinations, product

import numpy as np
import pytest
from scipy import stats

from breadline.trial.colonies import CHECK
from breadline.trial.rows import apart_in_rows, neighbours
from breadline.verdict import exchanges
from breadline.verdict.exchanges import exchanged

RARE = 1e-3  # a chi-square that a right sampler falls below once in a thousand seeds; the seed is fixed


@dataclass(frozen=True)
class Hive:
    yard: str
    row: int
    place: int


def yard(sets: list[int], check: list[int], rows: list[int], seed: int):
    """Hives in rows, their sets scattered along them, and every draw that keeps check hives apart."""
    hives = [Hive("y", 1 + r, n + 1) for r, long in enumerate(rows) for n in range(long)]
    order = np.random.default_rng(seed).permutation(len(hives))
    members = np.split(order[: sum(sets)], np.cumsum(sets)[:-1])
    ways = [list(combinations(one, k)) for one, k in zip(members, check, strict=True)]
    draws = np.zeros((int(np.prod([len(w) for w in ways])), len(hives)), dtype=bool)
    for draw, chosen in zip(draws, product(*ways), strict=True):
        draw[[n for some in chosen for n in some]] = True
    kept = draws[apart_in_rows(hives, np.where(draws, CHECK, 1))]
    return hives, members, kept, len(draws)


YARDS = {
    "pairs, the ends shared exactly": ([2] * 8, [1] * 8, [8, 8], 3),
    "pairs, ends of either of two shares": ([2] * 7, [1] * 7, [5, 5, 4], 8),
    "sets of three and four, one hive outside": ([3, 4, 3, 4], [1, 1, 2, 2], [7, 8], 5),
}


@pytest.mark.parametrize("name", YARDS)
def test_every_draw_that_could_have_fallen_comes_as_often(name: str) -> None:
    hives, sets, kept, free = yard(*YARDS[name])
    draws = 100 * len(kept)
    found = exchanged(kept[1], sets, neighbours(hives), draws, np.random.default_rng(11))
    number = {row.tobytes(): n for n, row in enumerate(kept)}
    seen = np.bincount([number[row.tobytes()] for row in found], minlength=len(kept))  # no other: a KeyError
    assert len(kept) > 20
    assert len(kept) < free / 2  # the rows do decide
    assert stats.chisquare(seen).pvalue > RARE


def test_a_test_on_exchanges_keeps_its_level_however_short_the_walks(monkeypatch) -> None:
    monkeypatch.setattr(exchanges, "STEPS", 1)
    hives, sets, kept, _ = yard([2] * 9, [1] * 9, [9, 9], 3)
    rng = np.random.default_rng(12)
    along = np.array([hive.place in (1, 2, 8, 9) for hive in hives]) + rng.normal(0, 0.05, len(hives))
    p = []
    for start in np.repeat(kept, 6, axis=0):
        sums = exchanged(start, sets, neighbours(hives), 39, rng) @ along
        p.append((1 + np.sum(sums >= start @ along - 1e-9)) / 40)
    for level in (0.05, 0.2, 0.5):
        share = np.mean(np.array(p) <= level + 1e-9)
        assert share <= level + 3 * np.sqrt(level * (1 - level) / len(p))
    assert share > 0.3  # and not by never telling


def test_a_long_yard_of_pairs_keeps_to_its_rule_and_leaves_where_it_began() -> None:
    """Of 96 hives in pairs hardly any draw by free lot keeps check hives apart."""
    hives = [Hive("y", 1 + n // 12, n % 12 + 1) for n in range(96)]
    start = np.array([(n + n // 12) % 2 == 0 for n in range(96)])
    sets = [np.array([2 * k, 2 * k + 1]) for k in range(48)]
    found = exchanged(start, sets, neighbours(hives), 640, np.random.default_rng(5))
    assert apart_in_rows(hives, np.where(found, CHECK, 1)).all()
    assert all((found[:, one].sum(axis=1) == 1).all() for one in sets)
    assert len({row.tobytes() for row in found}) == 640
    assert abs((found != start).mean() - 0.5) < 0.05
