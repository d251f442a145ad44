"""Growing degree days: what a target in degree days means, and when it is reached.

A sum of degree days has no meaning without its base, cap and method: on the
same weather the two methods can differ by more than half, as McMaster and
Wilhelm showed for wheat and maize.
"""

from __future__ import annotations

from typing import Literal

import numpy as np
from numpy.typing import ArrayLike

from breadline.errors import WeatherError
from breadline.language import say
from breadline.span import FloatArray

Method = Literal["average", "clipped"]


def celsius_days(fahrenheit_days: float) -> float:
    """A sum in °F·day as [°C·day]: a difference, so no 32 is taken off."""
    return fahrenheit_days * 5.0 / 9.0


def degree_days(
    high: ArrayLike,
    low: ArrayLike,
    base: float,
    cap: float | None = None,
    method: Method = "average",
) -> FloatArray:
    """Degree days of each day, in the degrees of ``base`` [°C·day]; the shape of ``high``.

    ``average``: the mean of high and low, held below ``cap``, less the base, never
    below 0. ``clipped``: high and low are each held between base and cap before the
    mean is taken. A missing day stays missing (NaN).

    Errors: WeatherError if a low is above its high, or the cap is not above the base.
    """
    top = np.asarray(high, dtype=np.float64)
    bottom = np.asarray(low, dtype=np.float64)
    if np.any(bottom > top):
        raise WeatherError(
            "degree days",
            say("a day's low is above its high"),
            say("low ≤ high"),
            say("Check which column is which"),
        )
    if cap is not None and cap <= base:
        raise WeatherError(
            "degree days",
            say("cap {cap} is not above base {base}", cap=cap, base=base),
            say("a cap above the base"),
        )
    ceiling = np.inf if cap is None else cap
    if method == "clipped":
        return np.asarray((np.clip(top, base, ceiling) + np.clip(bottom, base, ceiling)) / 2.0 - base)
    return np.asarray(np.clip((top + bottom) / 2.0, base, ceiling) - base)


def days_at(temperature: float, known_days: float, known_temperature: float, base: float) -> float:
    """How long a stage takes at a held temperature, from its length at another one [day].

    Assumes one degree-day sum above ``base`` at both; infinite at or below the base.
    All temperatures in the same degrees; the answer in the unit of ``known_days``.
    """
    if temperature <= base:
        return float("inf")
    return known_days * max(known_temperature - base, 0.0) / (temperature - base)
