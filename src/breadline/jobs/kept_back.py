"""What a check group that runs keeps back in a yard."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from breadline.language import say
from breadline.need.words import half_frames
from breadline.trial.design import CheckArm


@dataclass(frozen=True)
class CheckHive:
    """A hive of a check group: the tag it wears, its name in the trial and in its yard, its frames.

    ``worn_by`` is the hive that is listed by the tag worn, where one is.
    """

    worn: str
    hive: str
    listed: str
    worn_by: str = ""
    frames: float | None = None  # of bees before the draw [frames]

    @property
    def names(self) -> frozenset[str]:
        """Every name that it goes by."""
        return frozenset(one for one in (self.worn, self.hive, self.listed, self.worn_by) if one)


@dataclass(frozen=True)
class Kept:
    """What a trial keeps back in one yard, up to its day of grading: some hives, or the whole of it."""

    gets: CheckArm
    rescue_below: float
    last: date
    hives: tuple[CheckHive, ...]
    whole: bool
    since: date = date.min  # it was locked; nobody knew of its hives before
    drawn: date = date.min

    @property
    def rescue(self) -> str:
        """Which of them are fed all the same; empty where none is."""
        if self.rescue_below <= 0.0:
            return ""
        frames = half_frames(self.rescue_below)
        return say("One under {frames} frames of bees is fed all the same.", frames=frames)
