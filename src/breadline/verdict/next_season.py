"""How many more colonies would settle it, were the true effect the one seen."""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, sqrt

from scipy import optimize

from breadline.trial.classes import LEVEL
from breadline.trial.size import Precision, chance_told_above
from breadline.verdict.contrast import Contrast

CHANCE = 0.80  # with which that many more would settle it [share]
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


def more_to_settle(found: Contrast, break_even: float, groups: tuple[int, int]) -> More:
    """Colonies that would tell an effect as seen from the break-even, four times in five.

    Parameters
    ----------
    found
        The difference seen. [unit of the outcome]
    break_even
        What it is to be told from. [unit of the outcome]
    groups
        Units of the check group and of the fed group that ``found`` comes from.
    """
    apart = abs(found.estimate - break_even) / found.se
    if apart < TOO_CLOSE:
        return More(0, 0, True)
    times = _times(apart, found.df) - 1.0
    return More(max(1, ceil(times * groups[0])), max(1, ceil(times * groups[1])), False)


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
