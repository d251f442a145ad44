"""Bloom as the keeper sees it today, which outranks the calendar for some days."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.need.yard import Forage, PollenSeen
from breadline.span import FloatArray


@dataclass(frozen=True)
class SeenBloom:
    """What was seen, how much bloom that is, and how long it holds (``seen_pollen.*`` on the shelf)."""

    seen: PollenSeen
    strength: FloatArray  # 1 = the best pollen weeks, shape (members,) [-]
    sure_days: float  # today the first [d]
    gone_days: float  # from today [d]

    def weight(self, days: int, today: int) -> FloatArray:
        """How much the eye counts against the calendar, shape (days,). [share]

        Wholly on the sure days, then less by the day; backwards from ``today`` (days
        after the count) as forwards, because bloom of yesterday is much like today's.
        """
        away = np.abs(np.arange(days) - today).astype(np.float64)
        fading = max(self.gone_days - (self.sure_days - 1.0), 1e-9)
        return np.asarray(np.clip((self.gone_days - away) / fading, 0.0, 1.0))

    def laid_over(self, pollen: FloatArray, today: int, share: float) -> FloatArray:
        """The calendar's pollen, shape (days, members), with what was seen laid over it. [-]

        Plenty only ever raises it. ``share`` is what the bees of the neighbourhood
        leave of a bloom, as it is already in ``pollen``.
        """
        gap = self.strength[None, :] * share - pollen
        if self.seen == "plenty":
            gap = np.maximum(gap, 0.0)
        return np.asarray(pollen + self.weight(pollen.shape[0], today)[:, None] * gap)

    @property
    def note(self) -> str:
        """What the outlook says of it."""
        what = {"none": "No pollen", "little": "A little pollen", "plenty": "Plenty of pollen"}[self.seen]
        return (
            f"{what} is coming in, as seen today: the outlook holds to that for {self.sure_days:g} days "
            f"and is back at the bloom calendar after {self.gone_days:g}."
        )


def seen_bloom(forage: Forage, reader: Reader, rng: np.random.Generator, members: int) -> SeenBloom | None:
    """What the keeper's look says of the bloom; None where it says nothing.

    On a day too cold for bees to fetch pollen "none" is no word on the bloom.
    """
    seen = forage.coming_in
    if seen is None or (seen == "none" and _too_cold_to_tell(forage, reader)):
        return None
    strength = np.zeros(members) if seen == "none" else reader.draws(f"seen_pollen.{seen}", rng, members)
    return SeenBloom(
        seen, strength, reader.typical("seen_pollen.sure_days"), reader.typical("seen_pollen.gone_days")
    )


def _too_cold_to_tell(forage: Forage, reader: Reader) -> bool:
    return forage.outside_c is not None and forage.outside_c <= reader.typical("flight.start_c")
