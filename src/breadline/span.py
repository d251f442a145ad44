"""A figure known only as a range."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal, NoReturn

import numpy as np
from numpy.typing import NDArray

from breadline.errors import FigureError
from breadline.language import say

FloatArray = NDArray[np.float64]
Scale = Literal["log", "linear", "share"]

Z95 = 1.6448536269514722  # standard normal quantile of 0.95


@dataclass(frozen=True)
class Span:
    """Low, typical and high of a shipped figure.

    Low and high are its 5th and 95th percentile, typical its median. A span is
    drawn from, never multiplied: every range that Breadline computes is a
    quantile of draws.

    Parameters
    ----------
    low, typical, high
        5th percentile, median, 95th percentile, in the unit of the figure.
    scale
        Scale on which each half is normal: ``log`` for positive quantities,
        ``share`` (logit) for shares strictly between 0 and 1, else ``linear``.

    Errors
    ------
    FigureError
        If the three are not in order, not finite, or do not fit the scale.
    """

    low: float
    typical: float
    high: float
    scale: Scale = "linear"

    def __post_init__(self) -> None:
        values = (self.low, self.typical, self.high)
        if not all(np.isfinite(values)):
            raise FigureError(
                "span",
                say("{values} is not all finite", values=values),
                say("three numbers"),
                say("Give low, typical and high"),
            )
        if not self.low <= self.typical <= self.high:
            raise FigureError(
                "span",
                say("{values} is not in order", values=values),
                say("low, typical, high from small to large"),
            )
        if self.low < self.high and self.scale == "log" and self.low <= 0:
            raise FigureError(
                "span", say("low {low} cannot be drawn on a log scale", low=self.low), say("a low above 0")
            )
        if self.low < self.high and self.scale == "share" and not 0 < self.low <= self.high < 1:
            raise FigureError(
                "span", say("{values} is not a share", values=values), say("numbers strictly between 0 and 1")
            )

    def at(self, z: FloatArray) -> FloatArray:
        """Values at standard normal scores ``z``; the shape of ``z``, in the span's unit."""
        if self.low == self.high:
            return np.full_like(z, self.typical)
        below, middle, above = (self._to(v) for v in (self.low, self.typical, self.high))
        spread = np.where(z < 0, (middle - below) / Z95, (above - middle) / Z95)
        return self._back(middle + z * spread)

    def draws(self, rng: np.random.Generator, n: int) -> FloatArray:
        """``n`` independent draws, shape (n,), in the span's unit."""
        return self.at(rng.standard_normal(n))

    def _to(self, value: float) -> float:
        if self.scale == "log":
            return float(np.log(value))
        if self.scale == "share":
            return float(np.log(value / (1.0 - value)))
        return value

    def _back(self, value: FloatArray) -> FloatArray:
        if self.scale == "log":
            return np.exp(value)
        if self.scale == "share":
            return 1.0 / (1.0 + np.exp(-value))
        return value

    def _never(self, *_: object) -> NoReturn:
        raise TypeError("A Span is drawn from, never multiplied: use draws(rng, n) and take quantiles.")

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = __truediv__ = __rtruediv__ = _never
