"""Bees counted in at the entrance, those with pollen among them, and what that can tell."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from math import sqrt
from typing import Literal

from scipy.special import ndtri

from breadline.errors import YardError
from breadline.language import say
from breadline.need.pollen_loads import colony_eats_g
from breadline.need.yard import Forage, PollenSeen

LEVEL = 0.95  # of the range; the usual one for a share that was counted
MOST_WORTH_COUNTING = 2000  # bees; beyond it a count is not worth the time
Against = Literal["over", "under", "open"]


@dataclass(frozen=True)
class EntranceCount:
    """Bees that came in, and how many of them carried pollen; several hives added up."""

    on: date
    bees_in: int
    with_pollen: int
    minutes: float | None = None  # counted in all, hive by hive [min]
    hives: int = 1

    def __post_init__(self) -> None:
        if not 0 <= self.with_pollen <= self.bees_in or self.bees_in == 0:
            raise YardError(
                "count at the entrance",
                say(
                    "{with_pollen} with pollen of {bees_in} bees",
                    with_pollen=self.with_pollen,
                    bees_in=self.bees_in,
                ),
                say("no more with pollen than came in, and at least one bee"),
            )
        if self.minutes is not None and not self.minutes > 0.0:
            raise YardError("minutes counted", f"{self.minutes:g}", say("more than 0 minutes"))
        if self.hives < 1:
            raise YardError("hives counted at", f"{self.hives}", say("1 or more"))

    @property
    def share(self) -> float:
        """Bees with pollen among those that came in [share]."""
        return self.with_pollen / self.bees_in

    @property
    def range(self) -> tuple[float, float]:
        """Wilson's range of that share, 95 in 100 [share]."""
        return wilson(self.with_pollen, self.bees_in, LEVEL)

    def against(self, threshold: float) -> Against:
        """Whether the whole range lies over, or under, a threshold [share]."""
        low, high = self.range
        if low >= threshold:
            return "over"
        return "under" if high < threshold else "open"


def wilson(with_pollen: int, bees_in: int, level: float) -> tuple[float, float]:
    """Wilson's score interval of a counted share, without correction for continuity [share].

    Parameters
    ----------
    level
        How often such ranges hold the true share. [share]

    Errors
    ------
    YardError
        If the level is not strictly between 0 and 1.
    """
    if not 0.0 < level < 1.0:
        raise YardError("level of the range", f"{level:g}", say("a share strictly between 0 and 1"))
    z = float(ndtri(0.5 + level / 2.0))
    extra = z * z / bees_in
    share = with_pollen / bees_in
    middle = (share + extra / 2.0) / (1.0 + extra)
    half = sqrt(share * (1.0 - share) * extra + extra * extra / 4.0) / (1.0 + extra)
    low = 0.0 if with_pollen == 0 else max(0.0, middle - half)
    high = 1.0 if with_pollen == bees_in else min(1.0, middle + half)
    return low, high


def added_up(counts: Sequence[EntranceCount]) -> EntranceCount:
    """Counts of several hives on one day as one.

    Errors: YardError if there is none, or they are of different days.
    """
    if len({count.on for count in counts}) != 1:
        raise YardError(
            "counts at the entrance",
            say("{counts} of several days", counts=len(counts)),
            say("counts of one day"),
        )
    minutes = [count.minutes for count in counts]
    return EntranceCount(
        counts[0].on,
        sum(count.bees_in for count in counts),
        sum(count.with_pollen for count in counts),
        None if None in minutes else sum(m for m in minutes if m is not None),
        sum(count.hives for count in counts),
    )


def bees_to_tell(count: EntranceCount, threshold: float) -> int | None:
    """Bees to count in all until the range leaves the threshold [share], were the share to stay as it is.

    None where the two lie so close that no count worth making would tell them apart.
    """
    size = count.bees_in
    while size <= MOST_WORTH_COUNTING:
        hits = round(count.share * size)
        if EntranceCount(count.on, size, hits).against(threshold) != "open":
            return size
        size += max(1, size // 20)
    return None


def pollen_seen(count: EntranceCount, threshold: float) -> PollenSeen:
    """The count in the words of a yard's facts: plenty where clearly over the threshold [share]."""
    if count.with_pollen == 0:
        return "none"
    return "plenty" if count.against(threshold) == "over" else "little"


def forage_counted(forage: Forage, count: EntranceCount, threshold: float, arcs: bool | None) -> Forage:
    """A yard's forage with what was counted and seen put in: what the season model is run on again.

    Parameters
    ----------
    threshold
        From it pollen counts as coming in. [share]
    arcs
        Fresh arcs in most hives; None leaves what was known.
    """
    seen = forage.fresh_arcs if arcs is None else arcs
    return replace(forage, coming_in=pollen_seen(count, threshold), fresh_arcs=seen, seen_on=count.on)


def income_g_day(count: EntranceCount, flight_hours: float, load_mg: float) -> tuple[float, float]:
    """Pollen a colony brings in on such a day, by the range of the share [g/day].

    Parameters
    ----------
    flight_hours
        Hours of the day as good as those counted in. [h]
    load_mg
        Pollen in one bee's two pellets. [mg]

    Errors
    ------
    YardError
        If nobody noted for how long was counted.
    """
    if count.minutes is None:
        raise YardError(
            "minutes counted",
            say("not known"),
            say("how long was counted"),
            say("Note the minutes next time"),
        )
    bees_a_day = count.bees_in / count.minutes * 60.0 * flight_hours
    low, high = count.range
    return colony_eats_g(bees_a_day * low, load_mg), colony_eats_g(bees_a_day * high, load_mg)
