"""Labels drawn again as the draw let them fall: check hives kept apart in the rows of their yard.

The draw takes one out of those arrangements in which no three check hives stand side by side and
the ends of rows are shared as the arms are. A permutation that let labels fall anywhere would count
arrangements that could not have been drawn: where ends differ along a row it says "chance" too seldom,
or too often.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import combinations
from math import comb, prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from breadline.trial.colonies import CHECK, Started
from breadline.trial.design import Allocation, Design, Unit
from breadline.trial.draw import apart_in_rows, neighbours
from breadline.verdict.ends import IntArray
from breadline.verdict.ends_of import Came
from breadline.verdict.exchanges import exchanged

LISTED = 100_000  # arrangements of a yard that are all looked at
CELLS = 8_000_000  # labels of colonies tried, over all yards, where there are more
AT_ONCE = 2_000_000  # of them held in memory
FIRST = 200_000  # labels tried to see how many are kept
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class YardRule:
    """One yard whose draw kept check hives apart.

    Parameters
    ----------
    colonies
        All that were drawn in it, those with an end nobody knows and of other arms among them.
    arms
        Theirs, shape (colonies,).
    at
        Places in ``colonies`` of those that are compared, shape (compared,).
    rows
        Rows of the same in the ends that are compared, shape (compared,).
    """

    colonies: tuple[Started, ...]
    arms: IntArray
    at: IntArray
    rows: IntArray

    def kept(self, fed: BoolArray) -> BoolArray:
        """Which labels, shape (draws, compared), the draw would have let stand, shape (draws,)."""
        arms = np.tile(self.arms[:, None], (1, len(fed)))
        arms[self.at] = np.where(fed.T, max(1, int(self.arms.max())), CHECK)
        return apart_in_rows(self.colonies, arms.T)


def rules_of(design: Design, came: Came) -> tuple[YardRule, ...]:
    """The yards whose colonies the program drew apart in their rows; none where it drew freely."""
    by_program = design.allocation is Allocation.DRAWN and design.seed is not None
    if design.unit is not Unit.COLONY or not by_program or design.staggered is not True:
        return ()
    compared = ~came.missing & ((came.ends.arm == CHECK) | (came.ends.arm == design.primary))
    row_of = np.cumsum(compared) - 1
    found = []
    for yard in range(len(came.yards)):
        here = np.flatnonzero(came.yard == yard)
        colonies, arms = tuple(came.started[n] for n in here), came.ends.arm[here]
        if any(one.place is None for one in colonies) or not apart_in_rows(colonies, arms[None, :])[0]:
            continue
        at = np.flatnonzero(compared[here])
        found.append(YardRule(colonies, arms, at, row_of[here[at]]))
    return tuple(found)


def fed_sums(
    values: NDArray[Any], fed: BoolArray, block: IntArray, rules: Sequence[YardRule],
    rng: np.random.Generator, wanted: int,
) -> list[tuple[NDArray[Any], bool]]:  # fmt: skip
    """For each yard with a rule the sum of ``values`` of its fed colonies, one an arrangement.

    Parameters
    ----------
    values, fed, block
        Of what is compared, each of shape (units,); ``values`` in any unit. [unit of the values]
    rules
        The yards.
    rng
        Where there are too many arrangements to look at all.
    wanted
        How many are drawn then.

    Returns
    -------
    list of (array, bool)
        The sums of a yard [unit of the values], and whether every arrangement is among them; else so
        many draws as were ``wanted``, each as likely as the draw that fell.
    """
    found = []
    for rule in rules:
        own, labels = block[rule.rows], fed[rule.rows]
        sets = [np.flatnonzero(own == b) for b in np.unique(own)]
        ways = prod(comb(len(one), int(labels[one].sum())) for one in sets)
        listed = ways <= LISTED
        if listed:
            picks = [_picks(len(one), int(labels[one].sum())) for one in sets]
            chosen = _all_of(sets, picks, ways, len(labels))
            chosen = chosen[rule.kept(chosen)]
        else:
            tried = _tried(rule, labels, sets, (wanted, CELLS // len(rules)), rng)
            chosen = _exchanged(rule, sets, wanted, rng) if tried is None else tried
        found.append((_sums(chosen, values[rule.rows]), listed))
    return found


def _sums(chosen: BoolArray, values: NDArray[Any]) -> NDArray[Any]:
    """Sum of the chosen values of each arrangement, some arrangements at a time."""
    rows = max(1, AT_ONCE // max(1, chosen.shape[1]))
    return np.concatenate([chosen[at : at + rows] @ values for at in range(0, len(chosen), rows)])


def _picks(size: int, fed: int) -> BoolArray:
    """All labels of a set of which so many are fed, shape (ways, size)."""
    chosen = list(combinations(range(size), fed))
    labels = np.zeros((len(chosen), size), dtype=bool)
    labels[np.repeat(np.arange(len(chosen)), fed), np.array(chosen, dtype=np.int64).ravel()] = True
    return labels


def _all_of(sets: Sequence[IntArray], picks: Sequence[BoolArray], ways: int, colonies: int) -> BoolArray:
    """Every arrangement of a yard, shape (ways, colonies)."""
    number = np.unravel_index(np.arange(ways), [len(one) for one in picks])
    chosen = np.zeros((ways, colonies), dtype=bool)
    for one, pick, which in zip(sets, picks, number, strict=True):
        chosen[:, one] = pick[which]
    return chosen


def _tried(
    rule: YardRule, labels: BoolArray, sets: Sequence[IntArray], enough: tuple[int, int],
    rng: np.random.Generator,
) -> BoolArray | None:  # fmt: skip
    """Arrangements drawn freely, of which those are kept that the draw would have let stand.

    ``enough`` has how many are wanted, and the most labels that are tried; None where those would not do.
    """
    wanted, cells = enough
    colonies = len(rule.colonies)
    found: list[BoolArray] = []
    have, tried = 0, 0
    while have < wanted:
        rows = max(1, (AT_ONCE if tried else min(FIRST, cells)) // colonies)
        chosen = np.empty((rows, len(labels)), dtype=bool)
        for one in sets:
            chosen[:, one] = _dealt(len(one), int(labels[one].sum()), rows, rng)
        found.append(chosen[rule.kept(chosen)])
        have, tried = have + len(found[-1]), tried + rows
        if have < wanted and wanted * tried * colonies > cells * max(have, 1):
            return None
    return np.concatenate(found)[:wanted]


def _exchanged(rule: YardRule, sets: Sequence[IntArray], wanted: int, rng: np.random.Generator) -> BoolArray:
    """Who is fed in so many draws that might have fallen, by exchanges; shape (draws, compared)."""
    check = rule.arms == CHECK
    seen = exchanged(check, [rule.at[one] for one in sets], neighbours(rule.colonies), wanted, rng)
    return ~seen[:, rule.at]


def _dealt(size: int, fed: int, rows: int, rng: np.random.Generator) -> BoolArray:
    """Labels of one set drawn so many times, shape (rows, size)."""
    if min(fed, size - fed) == 0:
        return np.full((rows, size), fed > 0)
    if min(fed, size - fed) == 1:
        alone = rng.integers(0, size, rows)[:, None] == np.arange(size)
        return np.asarray(alone if fed == 1 else ~alone)
    return np.asarray(np.argsort(np.argsort(rng.random((rows, size)), axis=1), axis=1) < fed)
