"""When a limit on a share of drawn trials is decided: the rule of both long proofs, settled before looking.

A share is known to its Monte Carlo error only. A limit counts as decided once the share lies more than three
of its standard errors on one side of it; until then further rounds of trials are drawn, up to the most that
are run. Then the share itself decides. No limit is moved by the error: a share beyond it fails.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
from scipy import stats

CLEAR = 3.0  # standard errors between a share and its limit
FAMILY = 0.01  # chance that a right forecast of everything is called wrong anywhere in a run [share]
ROUNDING = 1e-9
T = TypeVar("T")


@dataclass(frozen=True)
class Limit:
    """What a share has to keep to, in words where it does not."""

    share: float
    bound: float
    above: bool  # whether it has to be at least the bound, and not at most
    said: str

    @property
    def kept(self) -> bool:
        """Whether the share is on the right side."""
        past = self.bound - self.share if self.above else self.share - self.bound
        return past <= ROUNDING

    def clear(self, trials: int) -> bool:
        """Whether so many trials say on which side it is."""
        error = np.sqrt(max(self.share * (1 - self.share), 1 / trials) / trials)
        return bool(abs(self.share - self.bound) > CLEAR * error)


def rounds(
    one: Callable[[int], T], limits: Callable[[list[T]], list[Limit]], trials: int, most: int
) -> list[T]:
    """Rounds of so many ``trials``, by their number, until every limit is clear, or ``most`` of them."""
    seen: list[T] = []
    while len(seen) < most:
        seen.append(one(len(seen)))
        if all(limit.clear(trials * len(seen)) for limit in limits(seen)):
            break
    return seen


def wrongly_foretold(seen: int, trials: int, foretold: int, drawn: int) -> float:
    """P value of trials in a class against those drawn for its forecast, by Fisher's exact test."""
    return float(stats.fisher_exact([[seen, trials - seen], [foretold, drawn - foretold]])[1])
