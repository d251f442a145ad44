"""Classes of a yard: colonies of so many frames of bees, and what they get."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

import numpy as np

from breadline.span import FloatArray

Gets = Literal["none", "half", "full"]
GETS: tuple[Gets, ...] = ("none", "half", "full")


@dataclass(frozen=True)
class Band:
    """Colonies of so many frames today, and what they get."""

    from_frames: float  # [frames]
    to_frames: float  # inf for the last [frames]
    gets: Gets
    share: float  # of the colonies [share]


def class_of(bands: Sequence[Band], frames: FloatArray) -> np.ndarray:
    """What colonies of so many ``frames`` [frames] get by the line: 0 none, 1 half of the pieces, 2 all."""
    at = np.searchsorted(np.array([band.from_frames for band in bands[1:]]), frames, side="right")
    return np.array([GETS.index(band.gets) for band in bands])[at]
