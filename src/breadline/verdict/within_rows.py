"""Labels drawn again as the draw let them fall: check hives kept apart in the rows of their yard.

The draw takes one out of those arrangements in which no three check hives stand side by side and
the ends of rows are shared as the arms are. A permutation that let labels fall anywhere would count
arrangements that could not have been drawn: where ends differ along a row it says "chance" too seldom,
or too often.

A draw writes down in which yards it kept to that rule. Where it did not, as draws of before, whether a
yard was drawn by it is not known, nor, where hives of the yard were no part of the trial, which hives
stood at the ends of its rows. Then only what holds either way is drawn again: hives at the ends of rows
keep their group, and three check hives side by side stand so in every arrangement or in none.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations
from math import comb, prod
from typing import Any

import numpy as np
from numpy.typing import NDArray

from breadline.going_on import still_wanted
from breadline.language import noted
from breadline.trial.colonies import CHECK, Started
from breadline.trial.design import Allocation, Design, Unit
from breadline.trial.rows import Neighbours, apart_in_rows, neighbours, no_three_together, row_ends
from breadline.verdict.ends import IntArray
from breadline.verdict.ends_of import Came
from breadline.verdict.exchanges import exchanged

LISTED = 100_000  # arrangements of a yard that are all looked at
CELLS = 8_000_000  # labels of colonies tried, over all yards, where there are more
AT_ONCE = 2_000_000  # of them held in memory
FIRST = 200_000  # labels tried to see how many are kept
YARDS_DRAWN = noted("The draw is repeated in {n:,} of {all:,} yards.")
BoolArray = NDArray[np.bool_]


@dataclass(frozen=True, eq=False)
class YardRule:
    """One yard whose draw kept check hives apart, or may have.

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
    told
        Whether the draw wrote down that it kept them apart.
    """

    colonies: tuple[Started, ...]
    arms: IntArray
    at: IntArray
    rows: IntArray
    told: bool = True

    @cached_property
    def near(self) -> Neighbours:
        """Who stands beside whom."""
        return neighbours(self.colonies)

    @property
    def held(self) -> BoolArray:
        """Which of those compared keep their group in every arrangement, shape (compared,)."""
        return np.zeros(len(self.at), dtype=bool) if self.told else np.isin(self.at, row_ends(self.colonies))

    @property
    def three_stand(self) -> bool:
        """Whether three check hives stood side by side in the draw that fell."""
        return not bool(no_three_together(self.near, (self.arms == CHECK)[None, :])[0])

    def kept(self, fed: BoolArray) -> BoolArray:
        """Which labels, shape (draws, compared), might have fallen as well, shape (draws,)."""
        arms = np.tile(self.arms[:, None], (1, len(fed)))
        arms[self.at] = np.where(fed.T, max(1, int(self.arms.max())), CHECK)
        if self.told:
            return apart_in_rows(self.colonies, arms.T)
        return np.asarray(no_three_together(self.near, arms.T == CHECK) != self.three_stand)


@dataclass(frozen=True, eq=False)
class YardSums:
    """The sums of a yard, one an arrangement.

    Parameters
    ----------
    sums
        Of the values of fed colonies, shape (arrangements,). [unit of the values]
    listed
        Whether every arrangement is among them; else they are draws.
    walked
        Whether those draws are walks from one draw, and so hang together.
    """

    sums: NDArray[Any]
    listed: bool
    walked: bool = False


def rules_of(design: Design, came: Came) -> tuple[YardRule, ...]:
    """The yards whose colonies the program drew apart in their rows, or may have; none if drawn freely."""
    if not _drawn_by_rows(design):
        return ()
    compared = ~came.missing & ((came.ends.arm == CHECK) | (came.ends.arm == design.primary))
    row_of = np.cumsum(compared) - 1
    found = []
    for yard, name in enumerate(came.yards):
        here = np.flatnonzero(came.yard == yard)
        colonies, arms = tuple(came.started[n] for n in here), came.ends.arm[here]
        drawn_freely = design.apart is not None and name not in design.apart
        if drawn_freely or any(one.place is None for one in colonies):
            continue
        told = design.apart is not None and bool(apart_in_rows(colonies, arms[None, :])[0])
        at = np.flatnonzero(compared[here])
        found.append(YardRule(colonies, arms, at, row_of[here[at]], told))
    return tuple(found)


def rows_not_told(design: Design) -> bool:
    """Whether the program drew colonies in known places and did not write down which yards it kept so."""
    placed = any(one.place is not None for one in design.started)
    return _drawn_by_rows(design) and design.apart is None and placed


def _drawn_by_rows(design: Design) -> bool:
    by_program = design.allocation is Allocation.DRAWN and design.seed is not None
    return by_program and design.unit is Unit.COLONY


def fed_sums(
    values: NDArray[Any], fed: BoolArray, block: IntArray, rules: Sequence[YardRule],
    rng: np.random.Generator, wanted: int,
) -> list[YardSums]:  # fmt: skip
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
    list of YardSums
        Of each yard, every arrangement or so many draws as were ``wanted``, each as likely as the draw
        that fell. [unit of the values]
    """
    found = []
    for n, rule in enumerate(rules):
        still_wanted(n, len(rules), YARDS_DRAWN)
        found.append(_yard_sums(rule, (values, fed, block), rng, (wanted, CELLS // len(rules))))
    return found


def _yard_sums(
    rule: YardRule, of: tuple[NDArray[Any], BoolArray, IntArray], rng: np.random.Generator,
    enough: tuple[int, int],
) -> YardSums:  # fmt: skip
    values, labels, own = of[0][rule.rows], of[1][rule.rows], of[2][rule.rows]
    held = rule.held
    sets = [np.flatnonzero((own == b) & ~held) for b in np.unique(own[~held])]
    if prod(comb(len(one), int(labels[one].sum())) for one in sets) <= LISTED:
        chosen = _all_of(sets, labels)
        return YardSums(_sums(chosen[rule.kept(chosen)], values), True)
    tried = _tried(rule, labels, sets, enough, rng)
    if tried is not None:
        return YardSums(_sums(tried, values), False)
    if not rule.told and rule.three_stand:  # no walk keeps three together; the yard stands as it fell
        return YardSums(_sums(labels[None, :], values), True)
    return YardSums(_sums(_exchanged(rule, sets, enough[0], rng), values), False, True)


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


def _all_of(sets: Sequence[IntArray], labels: BoolArray) -> BoolArray:
    """Every arrangement of a yard, shape (ways, colonies), those outside the sets as they are."""
    picks = [_picks(len(one), int(labels[one].sum())) for one in sets]
    ways = prod(len(one) for one in picks)
    number = np.unravel_index(np.arange(ways), [len(one) for one in picks]) if picks else ()
    chosen = np.tile(labels, (ways, 1))
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
        still_wanted()
        rows = max(1, (AT_ONCE if tried else min(FIRST, cells)) // colonies)
        chosen = np.tile(labels, (rows, 1))
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
    seen = exchanged(check, [rule.at[one] for one in sets], rule.near, wanted, rng)
    return ~seen[:, rule.at]


def _dealt(size: int, fed: int, rows: int, rng: np.random.Generator) -> BoolArray:
    """Labels of one set drawn so many times, shape (rows, size)."""
    if min(fed, size - fed) == 0:
        return np.full((rows, size), fed > 0)
    if min(fed, size - fed) == 1:
        alone = rng.integers(0, size, rows)[:, None] == np.arange(size)
        return np.asarray(alone if fed == 1 else ~alone)
    return np.asarray(np.argsort(np.argsort(rng.random((rows, size)), axis=1), axis=1) < fed)
