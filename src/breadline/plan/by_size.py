"""What colonies of one size today come to on the day: fed nothing, half or all of a plan's pieces."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from scipy.special import ndtri

from breadline.plan.targets import Frames, Target
from breadline.plan.tried import Question, Tried
from breadline.plan.value import Reached, Worth, worth
from breadline.span import FloatArray

NODES = 48  # colonies, evenly by rank, that stand for the yard


@dataclass(frozen=True)
class BySize:
    """A yard's colonies by their size today.

    A colony keeps its rank in part: ``lasts`` is the correlation of its strength today with that on the
    day, the rest is drawn anew and lies in the spread.
    """

    question: Question
    done: Tried  # "do nothing", the plan with half of its pieces, the plan
    frames_today: float  # of the average colony [frames]
    lasts: float  # [share]
    draw: np.ndarray  # which draw of the model each member of ``done`` has, shape (members,)

    @property
    def scores(self) -> FloatArray:
        """Normal scores for what is drawn beside the seasons, even over the members, shape (members,). [sd]

        By the number of the draw, which hangs together with nothing.
        """
        rank = np.empty(self.draw.size)
        rank[np.argsort(self.draw, kind="stable")] = np.arange(self.draw.size)
        return np.asarray(ndtri((rank + 0.5) / self.draw.size))

    @property
    def today(self) -> FloatArray:
        """Colonies of even rank that stand for the yard, shape (nodes,). [frames]"""
        sd, z = self.question.spread.log_sd, ndtri((np.arange(NODES) + 0.5) / NODES)
        return np.asarray(self.frames_today * np.exp(sd * z - sd * sd / 2))

    def against_average(self, frames: FloatArray) -> FloatArray:
        """The middle of colonies of so many ``frames`` today, on the day, against the average. [ratio]"""
        s = self.question.spread.log_sd
        lift = self.lasts * s * s / 2.0 - (self.lasts * s) ** 2 / 2.0
        return np.asarray((frames / self.frames_today) ** self.lasts * np.exp(lift))

    def seen(self, gets: int, size: FloatArray) -> Worth:
        """What colonies are worth that are ``size`` times [ratio] the average; shape (members, sizes)."""
        done, spread = self.done, self.question.spread
        about = replace(spread, log_sd=spread.log_sd * float(np.sqrt(1 - self.lasts * self.lasts)))
        frames, brood, nurses = (of[gets][:, None] * size for of in (done.frames, done.brood, done.nurses))
        reached = Reached(frames, brood, np.ones(frames.shape), nurses)
        found = worth(single(self.question.target), reached, about)
        left = done.left[gets][:, None]
        return Worth(found.money * left, found.making * left)

    @property
    def costs(self) -> FloatArray:
        """Without travel, shape (3, members). [money/colony]"""
        return np.asarray(self.done.costs.total - self.done.costs.travel)


def single(target: Target) -> Target:
    """The target as one colony meets it."""
    return replace(target, paid="hive_by_hive") if isinstance(target, Frames) else target
