"""How long pieces lie, and how much of them bees clear in that time: by appetite and by beetles."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import ceil, inf

from breadline.plan.plans import Plan
from breadline.plan.portions import LONGEST_ROUND

JUST = 1e-6  # g by which a piece that was cut to fit may seem to be larger [g]


def lying_days(plan: Plan) -> tuple[int, ...]:
    """Until the next round, of each piece; the last one as long as its round, else to its own end. [d]"""
    gaps = [later.day - piece.day for piece, later in pairwise(plan.pieces)]
    last = plan.interval or (gaps[-1] if gaps else LONGEST_ROUND)
    return tuple([*gaps, last] if plan.pieces else [])


@dataclass(frozen=True)
class Clears:
    """What colonies of a yard clear of a piece while it lies, by the middle appetite."""

    a_frame_g: float  # a frame of bees and day [g]
    frames: float  # of bees, of the average colony [frames]
    limit_days: int  # a piece lies at most [d]
    beetles: bool = False  # taken as there: a colony gets no more than its own size clears
    least_frames: float = 0.0  # of a colony that gets any [frames]

    def days(self, lying: int) -> int:
        """In how many days a piece is to be gone that lies to the next round. [d]

        Where no beetles are, what is left is eaten beside the next piece: the limit alone counts.
        """
        return min(lying, self.limit_days) if self.beetles else self.limit_days

    def most_g(self, lying: int) -> float:
        """What the average colony clears of a piece that lies so many days. [g]"""
        return self.a_frame_g * self.frames * self.days(lying)

    def too_large(self, plan: Plan) -> int | None:
        """In how many days the first piece that is too large was to be gone; None where none is. [d]"""
        lying = zip(plan.pieces, lying_days(plan), strict=True)
        return next((self.days(d) for piece, d in lying if piece.grams > self.most_g(d) + JUST), None)

    def left_beside(self, plan: Plan) -> float:
        """What lies of earlier pieces, at most, when a later one of the plan goes on. [g]"""
        left, most = 0.0, 0.0
        for piece, lying in list(zip(plan.pieces, lying_days(plan), strict=True))[:-1]:
            left = max(0.0, left + piece.grams - self.a_frame_g * self.frames * lying)
            most = max(most, left)
        return most

    def from_frames(self, plan: Plan, share: float) -> float:
        """Of how many frames a colony is, up to the half, that clears ``share`` of every piece. [frames]"""
        if not self.beetles:
            return 0.0
        lying = zip(plan.pieces, lying_days(plan), strict=True)
        of = [share * (piece.grams - JUST) / self.days(d) for piece, d in lying]
        least = max(of, default=0.0) / self.a_frame_g if self.a_frame_g else inf
        return max(self.least_frames, ceil(2.0 * least) / 2.0 if least < inf else inf)
