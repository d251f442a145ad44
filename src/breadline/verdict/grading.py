"""How well colonies were graded: two people's readings of the same ones, and guesses of the group."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from breadline.verdict.ends_of import Came

FEWEST = 3  # colonies graded twice below which nothing is said
UPPER = 1.64  # standard errors that guesses have to lie above luck to be told from it [-]


@dataclass(frozen=True)
class TwoReadings:
    """Colonies that two people graded.

    Parameters
    ----------
    colonies
        How many.
    one_reading
        Standard deviation of a single reading. [unit of the outcome]
    apart
        Second less first reading, on average. [unit of the outcome]
    """

    colonies: int
    one_reading: float
    apart: float


@dataclass(frozen=True)
class Guesses:
    """How often the grader guessed the group right.

    Parameters
    ----------
    asked, right
        Colonies.
    by_luck
        Share that is right by luck, given how often each group stands there. [share]
    """

    asked: int
    right: int
    by_luck: float

    @property
    def told(self) -> bool:
        """Whether it is more than luck makes: then the grader could tell the groups apart."""
        spread = float(np.sqrt(self.by_luck * (1.0 - self.by_luck) / self.asked))
        return self.right / self.asked > self.by_luck + UPPER * max(spread, 1e-9)


def two_readings(came: Came) -> TwoReadings | None:
    """From the double readings; None with fewer than three."""
    pairs = [
        (row.outcome, row.again) for row in came.ended if row.outcome is not None and row.again is not None
    ]
    if len(pairs) < FEWEST:
        return None
    apart = np.array([second - first for first, second in pairs])
    return TwoReadings(len(pairs), float(np.sqrt(np.mean(apart**2) / 2.0)), float(apart.mean()))


def guesses(came: Came) -> Guesses | None:
    """From the guesses on the grading sheets; None where nobody guessed."""
    pairs = [
        (row.guessed, arm)
        for row, arm in zip(came.ended, came.ends.arm.tolist(), strict=True)
        if row.guessed is not None
    ]
    if not pairs:
        return None
    guessed, true = (np.array(column) for column in zip(*pairs, strict=True))
    by_luck = sum(float(np.mean(guessed == arm) * np.mean(true == arm)) for arm in np.unique(true))
    return Guesses(len(pairs), int(np.sum(guessed == true)), by_luck)
