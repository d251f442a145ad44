"""A benefit with its unit, weighed ones in both systems."""

from breadline.trial.amounts import benefit_words
from breadline.trial.design import Outcome


def test_honey_is_said_in_kilograms_and_pounds_and_bees_in_frames():
    """A pound is 0.45359237 kg by definition: 3 / 0.45359237 = 6.61."""
    assert benefit_words(3.0, Outcome.HONEY) == "3 kg (6.6 lb) of honey"
    assert benefit_words(0.683, Outcome.MAKING_GRADE) == "0.68 frames of bees"
    assert benefit_words(25.4, Outcome.HONEY) == "25 kg (56 lb) of honey"
