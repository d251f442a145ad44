"""A benefit a colony with its unit, in both systems where it is weighed."""

from __future__ import annotations

from breadline.plan.cuts import GRAMS_A_POUND
from breadline.trial.design import Outcome


def benefit_words(value: float, outcome: Outcome) -> str:
    """ "0.68 frames of bees", "3 kg (6.7 lb) of honey" [frames or kg]."""
    if outcome is not Outcome.HONEY:
        return f"{value:.2g} frames of bees"
    return f"{value:.2g} kg ({1000.0 * value / GRAMS_A_POUND:.2g} lb) of honey"
