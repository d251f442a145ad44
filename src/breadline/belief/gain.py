"""The likely gain from feeding, from published trials, in the situation a yard is in."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np

from breadline.knowledge.shelf import Reader

Situation = Literal["dearth", "poor_weather", "pollen"]
IN_WORDS: dict[Situation, str] = {
    "dearth": "through a real pollen dearth",
    "poor_weather": "before spring, in poor flying weather",
    "pollen": "while pollen comes in",
}


@dataclass(frozen=True)
class LikelyGain:
    """Bees of fed colonies over those of unfed ones; nine in ten trials lie within. [ratio]"""

    situation: Situation
    low: float  # 5th percentile
    typical: float  # median
    high: float  # 95th percentile

    @property
    def sentence(self) -> str:
        """As it is told, with its range."""
        usual = f"{_by(self.typical)} bees than" if round(100 * (self.typical - 1)) else "as many bees as"
        return (
            f"In published trials colonies fed {IN_WORDS[self.situation]} had {usual} unfed ones in the "
            f"middle case, and anything from {_by(self.low)} to {_by(self.high)} (our judgement of those "
            "trials)."
        )


def likely_gain(situation: Situation, reader: Reader) -> LikelyGain:
    """What feeding is likely to add in a ``situation``; the shelf's ``belief.<situation>_gain``."""
    span = reader.span(f"belief.{situation}_gain")
    low, typical, high = (float(np.exp(v)) for v in (span.low, span.typical, span.high))
    return LikelyGain(situation, low, typical, high)


def _by(ratio: float) -> str:
    per_cent = round(100 * abs(ratio - 1))
    return f"{per_cent} % {'fewer' if ratio < 1 else 'more'}"
