"""What an analysis may say about the worth of a feed: next to nothing, and it says so.

How much feeding adds is learnt from trials and from a yard's own check group. An analysis never sets the
level of that belief. Real pollen in the feed may shift it, by at most what feeds with and without pollen
differed by when compared head to head.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from breadline.knowledge.ingredient import Content
from breadline.knowledge.ingredients import ingredients
from breadline.knowledge.shelf import Reader
from breadline.language import say, say_as
from breadline.ration.analysis import Analysis
from breadline.ration.bases import of_a_part
from breadline.ration.label import LabelReading
from breadline.span import Z95


@dataclass(frozen=True)
class Shift:
    """A normal shift of the belief in a feed. [log ratio of bees]

    ``part`` is how much of the whole contrast it is. [share]
    """

    mean: float
    sd: float
    part: float

    @property
    def sentence(self) -> str:
        """As it is told."""
        return f"{say('An analysis does not say what a feed is worth to a colony.')} {self.of_pollen}"

    @property
    def of_pollen(self) -> str:
        """What its real pollen may shift, in a sentence of its own."""
        if self.part == 0:
            return say("There is no real pollen in it, so it shifts that belief not at all.")
        low, high = (math.exp(self.mean + z * self.sd) for z in (-Z95, Z95))
        if _by(low) == _by(high):
            return say(
                "It holds a trace of real pollen, too little to shift that belief by "
                "even 1 %; nothing else in the analysis does."
            )
        return say(
            "Its real pollen may shift that belief by {by}, anywhere from {low} to "
            "{high}; nothing else in the analysis does. Your own check group decides.",
            by=_by(math.exp(self.mean)),
            low=_by(low),
            high=_by(high),
        )


def worth_shift(analysis: Analysis, reader: Reader) -> Shift:
    """How far the analysis may shift the belief; the shelf's ``analysis.product_contrast`` at most.

    From ``analysis.pollen_counts_from`` of dry weight on it is the whole contrast, below in proportion.
    """
    return shift_of_pollen(pollen_of_dry(analysis), reader)


def label_shift(label: LabelReading, reader: Reader) -> Shift:
    """How far a label may shift the belief: as ``worth_shift``, by the real pollen that it states."""
    return shift_of_pollen(pollen_of_label(label), reader)


def shift_of_pollen(of_dry: float, reader: Reader) -> Shift:
    """How far real pollen may shift the belief; ``of_dry`` is its least part of the dry weight [share]."""
    span = reader.span("analysis.product_contrast")
    part = min(1.0, of_dry / reader.typical("analysis.pollen_counts_from"))
    return Shift(part * span.typical, part * (span.high - span.low) / (2.0 * Z95), part)


def pollen_of_dry(analysis: Analysis) -> float:
    """Least share of real pollen in the dry weight of the mix. [share]"""
    if analysis.pollen_share == 0:
        return 0.0
    dry = sum(
        share * (100.0 - (kind.content("water") or Content(0.0, 100.0)).high)
        for key, kind in analysis.ingredients.items()
        if "pollen" in kind.traits and (share := analysis.shares[key])
    )
    return of_a_part(Content(dry, dry), analysis.dry_matter).low / 100.0


def pollen_of_label(label: LabelReading) -> float:
    """Least share of real pollen in the dry weight of a bought feed; 0 where none is stated. [share]"""
    if not label.pollen_share:
        return 0.0
    wet = ingredients()["bee_pollen"].content("water") or Content(0.0, 100.0)
    dry = 100.0 - label.water.low  # at most
    return min(1.0, label.pollen_share * (100.0 - wet.high) / dry) if dry > 0 else 0.0


def _by(ratio: float) -> str:
    per_cent = round(100 * abs(ratio - 1))
    if per_cent == 0:
        return say_as("by", "nothing")
    return say("{n} % down", n=per_cent) if ratio < 1 else say("{n} % up", n=per_cent)
