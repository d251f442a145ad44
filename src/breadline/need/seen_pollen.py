"""Bloom as the keeper sees it today, which outranks the calendar for some days."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import numpy as np

from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.need.words import day_and_year
from breadline.need.yard import Forage, PollenSeen
from breadline.span import FloatArray


@dataclass(frozen=True)
class SeenBloom:
    """What was seen, how much bloom that is, and how long it holds (``seen_pollen.*`` on the shelf)."""

    seen: PollenSeen
    strength: FloatArray  # 1 = the best pollen weeks, shape (paths,) [-]
    sure_days: float  # today the first [d]
    gone_days: float  # from the look on [d]
    seen_on: date | None = None  # None where it was today

    def weight(self, days: int, seen: int) -> FloatArray:
        """How much the eye counts against the calendar, shape (days,). [share]

        Wholly on the sure days, then less by the day; backwards from the look, which was
        ``seen`` days after the count, as forwards: bloom of yesterday is much like today's.
        """
        away = np.abs(np.arange(days) - seen).astype(np.float64)
        fading = max(self.gone_days - (self.sure_days - 1.0), 1e-9)
        return np.asarray(np.clip((self.gone_days - away) / fading, 0.0, 1.0))

    def laid_over(self, pollen: FloatArray, seen: int, share: float) -> FloatArray:
        """The calendar's pollen, shape (days, paths), with what was seen laid over it. [-]

        Plenty only ever raises it. ``share`` is what the bees of the neighbourhood
        leave of a bloom, as it is already in ``pollen``.
        """
        gap = self.strength[None, :] * share - pollen
        if self.seen == "plenty":
            gap = np.maximum(gap, 0.0)
        return np.asarray(pollen + self.weight(pollen.shape[0], seen)[:, None] * gap)

    @property
    def note(self) -> str:
        """What the outlook says of it."""
        what = {
            "none": say("No pollen"),
            "little": say("A little pollen"),
            "plenty": say("Plenty of pollen"),
        }[self.seen]
        when = (
            say("today")
            if self.seen_on is None
            else say("on {day_and_year}", day_and_year=day_and_year(self.seen_on))
        )
        return say(
            "{what} coming in, as seen {when}: the outlook holds to that for {sure_days:g} days "
            "and is back at the bloom calendar after {gone_days:g}.",
            what=what,
            when=when,
            sure_days=self.sure_days,
            gone_days=self.gone_days,
        )


def seen_bloom(forage: Forage, reader: Reader, rng: np.random.Generator, paths: int) -> SeenBloom | None:
    """What the keeper's look says of the bloom; None where it says nothing.

    On a day too cold for bees to fetch pollen "none" is no word on the bloom. A draw
    for each of the ``paths``; a single path gets the typical value, not one by chance.
    """
    seen = forage.coming_in
    if seen is None or (seen == "none" and _too_cold_to_tell(forage, reader)):
        return None
    key = f"seen_pollen.{seen}"
    if seen == "none":
        strength = np.zeros(paths)
    else:
        strength = np.array([reader.typical(key)]) if paths == 1 else reader.draws(key, rng, paths)
    return SeenBloom(
        seen,
        strength,
        reader.typical("seen_pollen.sure_days"),
        reader.typical("seen_pollen.gone_days"),
        forage.seen_on,
    )


def _too_cold_to_tell(forage: Forage, reader: Reader) -> bool:
    return forage.outside_c is not None and forage.outside_c <= reader.typical("flight.start_c")
