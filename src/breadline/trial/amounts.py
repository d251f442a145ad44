"""A benefit a colony with its unit, in both systems where it is weighed."""

from __future__ import annotations

from breadline.language import say
from breadline.plan.cuts import GRAMS_A_POUND
from breadline.trial.design import Outcome


def benefit_words(value: float, outcome: Outcome) -> str:
    """ "0.68 frames of bees", "1 frame of bees", "3 kg (6.7 lb) of honey" [frames or kg]."""
    if outcome is not Outcome.HONEY:
        if f"{value:.2g}" == "1":
            return say("1 frame of bees")
        return say("{value:.2g} frames of bees", value=value)
    pounds = 1000.0 * value / GRAMS_A_POUND
    return say("{value:.2g} kg ({pounds:.2g} lb) of honey", value=value, pounds=pounds)
