"""Soy trypsin inhibitor: heat takes it away; raw soy brings it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from breadline.knowledge.shelf import Reader
from breadline.language import say
from breadline.ration.analysis import Analysis

Risk = Literal["raw soy in it", "heated soy only", "no soy"]


@dataclass(frozen=True)
class InhibitorRisk:
    """How much raw and heated soy is in a mix. [share of the mix as fed]"""

    raw: float
    heated: float

    @property
    def risk(self) -> Risk:
        """In a few words."""
        if self.raw > 0:
            return "raw soy in it"
        return "heated soy only" if self.heated > 0 else "no soy"

    def sentence(self, reader: Reader) -> str:
        """As it is told; the shelf's ``feed_rule.inhibitor_*``."""
        harmful = reader.typical("feed_rule.inhibitor_harm")
        syrup = reader.typical("feed_rule.inhibitor_syrup_harm")
        if self.risk == "raw soy in it":
            return say(
                "{share} of it is raw soy, which brings trypsin inhibitor: {harmful:g} % "
                "of that in a pollen diet harmed bees, and {syrup:g} % in syrup cut "
                "their lives. How much this soy has is not known. Use toasted soy.",
                share=_share(self.raw),
                harmful=harmful,
                syrup=syrup,
            )
        if self.risk == "heated soy only":
            return say(
                "Its soy counts as heat-treated; if yours is not, leave it out: raw soy holds back digestion."
            )
        return say("No soy in it, so no trypsin inhibitor from soy.")


def inhibitor_risk(analysis: Analysis) -> InhibitorRisk:
    """Raw and heated soy in a mix, by the traits of its ingredients."""
    raw = analysis.share_of("raw soy")
    soy = sum(
        share for key, share in analysis.shares.items()
        if {"soy", "raw soy"} & analysis.ingredients[key].traits
    )  # fmt: skip
    return InhibitorRisk(raw, soy - raw)


def _share(share: float) -> str:
    return f"{100 * share:.0f} %" if share >= 0.01 else say("A little")
