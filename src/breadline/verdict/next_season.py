"""How many more colonies would settle it, were the true effect the one seen.

The answer wants the lots to say so too. A draw that can fall in few ways tests at less than its level: of
32 ways only the one most striking is within 5 in 100, so it is a test at 1 in 32, and asks for more units.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, comb, sqrt

from scipy import optimize, stats

from breadline.trial.classes import LEVEL
from breadline.trial.design import Design, Unit
from breadline.trial.size import Precision, chance_told_above
from breadline.verdict.contrast import Contrast
from breadline.verdict.permutation import PermutationP

CHANCE = 0.80  # with which that many more would settle it [share]
MANY_WAYS = 10**9  # for lots to fall: the level is met
ROUNDING = 1e-9  # of a share [share]
TOO_CLOSE = 0.5  # standard errors from break-even within which no sensible number would [-]


@dataclass(frozen=True)
class More:
    """How many more.

    Parameters
    ----------
    check, fed
        Colonies (or yards) more in each group, the groups in the proportion of this time.
    too_close
        Whether the effect seen lies so near to break-even that no sensible number would settle it.
    """

    check: int
    fed: int
    too_close: bool


@dataclass(frozen=True)
class Lots:
    """How units are drawn: in sets of one of the rarer group each, or in one heap."""

    in_sets: bool

    def level(self, check: int, fed: int) -> float:
        """Level of the interval that lots come to with so many units, at most that of the answer [share]."""
        few, many = sorted((check, fed))
        ways = (1 + many // few) ** few if self.in_sets else comb(check + fed, fed)
        one_sided = (1.0 - LEVEL) / 2.0
        return 1.0 - 2.0 * int(one_sided * ways + ROUNDING) / ways if ways < MANY_WAYS else LEVEL


def lots_of(design: Design) -> Lots:
    """How the design drew."""
    return Lots(design.unit is Unit.COLONY or any(one.block for one in design.started))


def seen_by_lots(found: Contrast, line: float, tested: PermutationP) -> Contrast:
    """The difference as near to the line as lots see it, where that is nearer than the model has it.

    Where the draw that fell is the most striking of all that could have, its p says how few those are and
    nothing of the difference: it stays as the model has it.

    Parameters
    ----------
    found
        The difference seen. [unit of the outcome]
    line
        What it is to be told from. [unit of the outcome]
    tested
        The permutation test of a benefit as large as the line.
    """
    if at_its_least(found, line, tested):
        return found
    away = abs(found.estimate - line)
    p = tested.p_above if found.estimate > line else tested.p_below
    apart = max(float(stats.t.isf(p, found.df)), ROUNDING)
    return found if apart >= away / found.se else Contrast(found.estimate, away / apart, found.df)


def at_its_least(found: Contrast, line: float, tested: PermutationP) -> bool:
    """Whether no other arrangement is as striking as the draw that fell: its p is the least there can be.

    ``line`` is what the difference is to be told from. [unit of the outcome]
    """
    p = tested.p_above if found.estimate > line else tested.p_below
    return tested.draws == 0 and p * tested.arrangements <= 1.0 + ROUNDING


def more_to_settle(
    found: Contrast, break_even: float, groups: tuple[int, int], lots: Lots | None = None
) -> More:
    """Colonies that would tell an effect as seen from the break-even, four times in five.

    Parameters
    ----------
    found
        The difference seen. [unit of the outcome]
    break_even
        What it is to be told from. [unit of the outcome]
    groups
        Units of the check group and of the fed group that ``found`` comes from.
    lots
        How they are drawn, where lots have to tell it too; None by the model alone.
    """
    apart = abs(found.estimate - break_even) / found.se
    if apart < TOO_CLOSE:
        return More(0, 0, True)
    times = _times(apart, found.df) - 1.0
    more = More(max(1, ceil(times * groups[0])), max(1, ceil(times * groups[1])), False)
    while lots is not None and not _told_by(lots, apart, found.df, groups, more):
        rarer = min(groups)
        more = More(more.check + ceil(groups[0] / rarer), more.fed + ceil(groups[1] / rarer), False)
    return more


def _told_by(lots: Lots, apart: float, df: float, groups: tuple[int, int], more: More) -> bool:
    """Whether so many more are told at the level that their lots come to."""
    check, fed = groups[0] + more.check, groups[1] + more.fed
    level = lots.level(check, fed)
    times = (1.0 / groups[0] + 1.0 / groups[1]) / (1.0 / check + 1.0 / fed)
    seen = Precision(1.0 / sqrt(times), df * times)
    return level == LEVEL or (level < 1.0 and chance_told_above(0.0, apart, seen, level) >= CHANCE)


def _times(apart: float, df: float) -> float:
    """How many times as many colonies tell a difference ``apart`` standard errors from the line [-].

    Few colonies judge their own spread badly, so it is by Student's t, whose degrees of freedom grow too.
    """

    def short(times: float) -> float:
        seen = Precision(1.0 / sqrt(times), df * times)
        return chance_told_above(0.0, apart, seen, LEVEL) - CHANCE

    if short(1.0) >= 0.0:
        return 1.0
    high = 2.0
    while short(high) < 0.0:
        high *= 2.0
    return float(optimize.brentq(short, 1.0, high, xtol=1e-6))
