"""How often counts fell inside their bands, and what chance leaves open of that."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from breadline.need.foretold import SURE, Compared

FEWEST = 5  # counts below which a share says nothing
FEWEST_SEASONS = 10  # seasons of yards below which what chance leaves open is not told
MIDWINTER = {True: (12, 21), False: (6, 21)}  # north of the equator, and south of it; (month, day)


@dataclass(frozen=True)
class Coverage:
    """How many counts fell inside their bands, and what chance leaves open. [share]

    ``low`` and ``high`` are the 95 % interval of Clopper and Pearson for as many counts as the
    seasons of yards are worth; None below 10 of them.
    """

    inside: int
    of: int
    low: float | None
    high: float | None
    expected: float  # how many would fall inside on average, were the bands right [counts]
    seasons: int  # of yards, behind the counts

    @property
    def too_few(self) -> bool:
        """Whether so few counts say nothing."""
        return self.of < FEWEST


def coverage(rows: Iterable[Compared]) -> Coverage:
    """How many of the counts fell inside, and what chance leaves open of the share.

    Counts of one yard in one season go together, so such a season is one trial, however often
    it was counted. Below ``FEWEST_SEASONS`` of them nothing is said of chance.
    """
    held = list(rows)
    inside, of = sum(row.place == "inside" for row in held), len(held)
    sizes = list(Counter(row.season for row in held).values())
    low, high = None, None
    if len(sizes) >= FEWEST_SEASONS:
        alone = worth(sizes)
        low, high = share_range(inside / of * alone, alone)
    return Coverage(inside, of, low, high, sum(row.hoped for row in held), len(sizes))


def worth(sizes: Sequence[int]) -> float:
    """How many counts that stand by themselves seasons of so many counts are worth. [counts]

    Taken as if counts of one season all fell alike, the most they can go together: the variance of
    the share is then p(1 − p) Σn² / (Σn)².
    """
    return float(sum(sizes) ** 2 / sum(size**2 for size in sizes))


def share_range(inside: float, of: float) -> tuple[float, float]:
    """What chance leaves open of a share: the 95 % interval of Clopper and Pearson. [share]

    ``inside`` [counts] of ``of`` [counts], which need not be whole numbers; where they are, it is exact.
    """
    from scipy.stats import beta  # here: it is slow to load and seldom needed

    tail = (1 - SURE) / 2
    low = float(beta.ppf(tail, inside, of - inside + 1)) if inside > 0 else 0.0
    high = float(beta.ppf(1 - tail, inside + 1, of - inside)) if inside < of else 1.0
    return low, high


def season_of(on: date, latitude: float) -> int:
    """The season of a day, from midwinter to midwinter, by the year it ends in; ``latitude`` in [°]."""
    return on.year + ((on.month, on.day) >= MIDWINTER[latitude >= 0])
