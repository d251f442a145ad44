"""What the colonies of a trial came to, as the analyses take it: one row a colony started."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from breadline.errors import TrialError
from breadline.language import say
from breadline.span import FloatArray

IntArray = NDArray[np.int64]


@dataclass(frozen=True, eq=False)
class Ends:
    """One row a colony started, in the arm it was drawn into; a dead colony's outcome is 0.

    Parameters
    ----------
    outcome
        What was graded at the locked date, shape (colonies,). [unit of the outcome]
    arm
        0 for the check group, 1 and up for the fed arms, shape (colonies,).
    block
        The block that the colony was drawn in (set, yard), any whole number, shape (colonies,).
    baseline
        What was graded before the draw, shape (colonies, measures); no column where nothing
        was. [unit of each measure]

    Errors
    ------
    TrialError
        If a colony has no end or no baseline, lengths differ, or an arm has no colony.
    """

    outcome: FloatArray
    arm: IntArray
    block: IntArray
    baseline: FloatArray

    def __post_init__(self) -> None:
        n = len(self.outcome)
        if self.baseline.ndim != 2 or {len(self.arm), len(self.block), len(self.baseline)} != {n}:
            raise TrialError(
                "colonies", say("outcome, arm, block and baseline differ in length"), say("one row a colony")
            )
        self._refuse_missing()
        if n == 0 or not np.array_equal(np.unique(self.arm), np.arange(self.arms)) or self.arms < 2:
            raise TrialError(
                "arms",
                say("an arm has no colony"),
                say("colonies in the check group (0) and in every fed arm (1 and up)"),
                say("Give the colonies of both arms"),
            )

    def _refuse_missing(self) -> None:
        without = int(np.sum(~np.isfinite(self.outcome)))
        if without:
            raise TrialError(
                "ends",
                say(
                    "{without} of {outcome} colonies have no end", without=without, outcome=len(self.outcome)
                ),
                say("an end for every colony started; 0 for a dead one"),
                say("Say what became of each; for ends that cannot be known see the bounds"),
            )
        without = int(np.sum(~np.all(np.isfinite(self.baseline), axis=1)))
        if without:
            raise TrialError(
                "baseline",
                say("{without} colonies have none", without=without),
                say("a baseline for every colony, or for none"),
            )

    @property
    def arms(self) -> int:
        """How many arms, the check group counted."""
        return int(self.arm.max()) + 1
