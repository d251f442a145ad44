"""Draws like the one that fell, by exchanging labels within sets, where too few are found by trying.

Check hives are kept apart along a row and so many of each set are fed. The sets tie places together that
lie far apart, so arrangements cannot be counted along the row. They need not be: a walk whose every step
is as likely as its return, started at the draw that fell and taken back to a hub, and many walks from the
hub onwards along the same steps, give draws of which the one that fell is any. A permutation test on them
keeps its level however short the walks [besag_clifford1989]; long ones bring every arrangement that can be
reached about equally often.

Walks go side by side, one a bit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from breadline.trial.rows import Neighbours
from breadline.verdict.ends import IntArray

BoolArray = NDArray[np.bool_]
Bits = NDArray[np.uint64]
Step = tuple[tuple[int, int], ...]  # one or two pairs of colonies of one set, whose labels are exchanged
STEPS = 96  # of each walk, for each colony of the yard
WORD = 64  # walks in a word
ALL = np.uint64(2**64 - 1)


@dataclass(frozen=True, eq=False)
class _Walks:
    """Check hives as bits, shape (colonies, words), and walks with the larger of two shares at the ends."""

    check: Bits
    larger: Bits


def exchanged(
    check: BoolArray, sets: Sequence[IntArray], near: Neighbours, draws: int, rng: np.random.Generator
) -> BoolArray:
    """So many draws that could have fallen as well, shape (draws, colonies): which colonies stay unfed.

    Parameters
    ----------
    check
        Which did in the draw that fell, shape (colonies,).
    sets
        Colonies of each set that may change places with each other.
    near
        Who stands beside whom; the draw that fell keeps to its rule.
    draws
        How many.
    rng
        For the steps.

    Sources
    -------
    [besag_clifford1989], the parallel method.
    """
    plan = _plan(check, sets, STEPS * len(check), rng)
    backwards = _walked(check, 1, plan[::-1], near, rng)
    hub = (backwards[:, 0] & np.uint64(1)).astype(bool)
    seen = _walked(hub, -(-draws // WORD), plan, near, rng)
    bits = np.unpackbits(seen.astype("<u8").view(np.uint8), axis=1, bitorder="little")
    return np.asarray(bits[:, :draws].T, dtype=bool)


def _plan(check: BoolArray, sets: Sequence[IntArray], steps: int, rng: np.random.Generator) -> list[Step]:
    """The same for all walks: pairs out of sets that hold both groups, one pair and two in turn."""
    both = [one for one in sets if 0 < int(check[one].sum()) < len(one)]
    if not both:
        return []
    which = rng.integers(0, len(both), 2 * steps).tolist()
    pairs = [tuple(rng.choice(both[n], 2, replace=False).tolist()) for n in which]
    return [
        (a, b) if number % 2 and not set(a) & set(b) else (a,)
        for number, (a, b) in enumerate(zip(pairs[::2], pairs[1::2], strict=True))
    ]


def _walked(
    start: BoolArray, words: int, plan: Sequence[Step], near: Neighbours, rng: np.random.Generator
) -> Bits:
    """Where walks from one draw come to, shape (colonies, words)."""
    least, most = near.at_ends(start)
    at_ends = int(start[near.ends].sum())
    walks = _Walks(
        np.repeat(np.where(start, ALL, np.uint64(0))[:, None], words, axis=1),
        np.full(words, ALL if most > least and at_ends == most else 0, dtype=np.uint64),
    )
    touching: list[list[Any]] = [[] for _ in start]
    for triple in near.triples.tolist():
        for n in triple:
            touching[n].append(tuple(triple))
    ends = frozenset(near.ends.tolist())
    lots = rng.integers(0, ALL, (len(plan), words), dtype=np.uint64, endpoint=True) if words == 1 else None
    for number, step in enumerate(plan):
        lot = lots[number] if lots is not None else rng.integers(0, ALL, words, np.uint64, endpoint=True)
        _stepped(walks, step, (touching, ends, most > least), lot)
    return walks.check


def _stepped(
    walks: _Walks, step: Step, rule: tuple[list[list[Any]], frozenset[int], bool], lot: Bits
) -> None:
    """Exchange the labels of each pair where the lot falls so and the rule allows what comes of it."""
    touching, ends, two_shares = rule
    check = walks.check
    differ = [check[i] ^ check[j] for i, j in step]
    after = {n: check[n] ^ d for pair, d in zip(step, differ, strict=True) for n in pair}
    may = lot.copy()
    for a, b, c in {triple for n in after for triple in touching[n]}:
        may &= ~(after.get(a, check[a]) & after.get(b, check[b]) & after.get(c, check[c]))
    changes = _changes_at_ends(check, step, differ, ends)
    if changes is not None:
        more, fewer, twice = changes
        may &= ~twice
        may &= ~((more & walks.larger) | (fewer & ~walks.larger)) if two_shares else ~(more | fewer)
        walks.larger[:] ^= may & (more | fewer)
    for (i, j), d in zip(step, differ, strict=True):
        flips = d & may
        check[i] ^= flips
        check[j] ^= flips


def _changes_at_ends(
    check: Bits, step: Step, differ: list[Bits], ends: frozenset[int]
) -> tuple[Bits, Bits, Bits] | None:
    """Walks in which the exchange brings one check hive more to the ends, one fewer, two either way."""
    more = fewer = twice = None
    for (i, j), d in zip(step, differ, strict=True):
        if (i in ends) == (j in ends):
            continue
        at_end = check[i if i in ends else j]
        up, down = d & ~at_end, d & at_end
        if more is None or fewer is None:
            more, fewer, twice = up, down, np.zeros_like(up)
        else:
            twice = (more & up) | (fewer & down)
            changed = more ^ up, fewer ^ down
            more, fewer = changed[0] & ~(fewer | down), changed[1] & ~(more | up)
    return None if more is None or fewer is None or twice is None else (more, fewer, twice)
