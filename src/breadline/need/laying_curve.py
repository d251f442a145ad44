"""Schmickl and Crailsheim's curve of the laying year at Graz.

Kept as a measure for other season curves: it is fixed to one place, while the
season model takes its year from the length of the day. Source: schmickl2007.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from breadline.span import FloatArray


@dataclass(frozen=True)
class LayingYear:
    """Shape of the two branches: spring rises, late summer falls."""

    most: float  # eggs laid on the best day of an endless summer [1/day]
    spring: float  # weight of the rising branch [1]
    autumn: float  # weight of the falling branch [1]
    turn_day: float  # day of year about which the falling branch turns [day]
    slowness: float  # days in which a branch changes by e² [day]


def winter_rest(day: ArrayLike, year: LayingYear) -> FloatArray:
    """How far the colony rests from laying [0-1]; the shape of ``day``, day of year from 1."""
    t = np.asarray(day, dtype=np.float64)
    rising = 1.0 - 1.0 / (1.0 + year.spring * np.exp(-2.0 * t / year.slowness))
    falling = 1.0 / (1.0 + year.autumn * np.exp(-2.0 * (t - year.turn_day) / year.slowness))
    return np.maximum(rising, falling)


def laying(day: ArrayLike, year: LayingYear) -> FloatArray:
    """Eggs laid on a day with nothing else in the way [1/day]; the shape of ``day``."""
    return year.most * (1.0 - winter_rest(day, year))
