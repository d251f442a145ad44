"""A difference between arms with its standard error and degrees of freedom."""

from __future__ import annotations

from dataclasses import dataclass

from scipy import stats


@dataclass(frozen=True)
class Contrast:
    """A difference between arms, on the scale of Student's t.

    Parameters
    ----------
    estimate, se
        The difference and its standard error. [unit of the outcome]
    df
        Degrees of freedom of the standard error. [-]
    """

    estimate: float
    se: float
    df: float

    def interval(self, level: float) -> tuple[float, float]:
        """Two-sided interval at ``level`` [share], low and high [unit of the outcome]."""
        reach = float(stats.t.ppf((1.0 + level) / 2.0, self.df)) * self.se
        return self.estimate - reach, self.estimate + reach

    def p_above(self, line: float) -> float:
        """One-sided p value [share] of the true difference being at most ``line`` [unit of the outcome]."""
        return float(stats.t.sf((self.estimate - line) / self.se, self.df))

    def p_two_sided(self) -> float:
        """Two-sided p value of no difference [share]."""
        return float(2.0 * stats.t.sf(abs(self.estimate) / self.se, self.df))
